//! In which words a sentence is given: the slots that a kind of propagation fills, in the dialect of who reads.
//!
//! Every sentence of [`crate::words::sentences`] takes such a wording first. The record keeps one set of keys for all.

mod details;
mod reader;
mod slots;
#[cfg(test)]
mod tests;
pub mod units;

use std::ops::Deref;

use propagule_bench::kind::Kind;
use propagule_bench::locale::{Dialect, Locale};
use propagule_bench::{Stage, Trial};
use propagule_evidence::{Family, Outcome};

use crate::number::grouped;
pub use details::{described, detail, details, in_our_words, method, typed_key};
pub use reader::{reads, set_reader};
pub use slots::{Slots, StageSlots, dialect_words, in_dialect};

/// The words of a kind for one reader.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct KindWords {
    /// How the reader reads.
    pub locale: Locale,
    /// The kind of propagation.
    pub kind: Kind,
    slots: Slots,
}

/// What a success is called.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Success {
    /// Behind a count: rooted, took.
    pub ok: &'static str,
    /// Behind a rate: root, take.
    pub to_ok: &'static str,
    /// Behind "had", and as a heading: rooted, taken.
    pub oked: &'static str,
}

impl Deref for KindWords {
    type Target = Slots;

    fn deref(&self) -> &Slots {
        &self.slots
    }
}

impl KindWords {
    /// The words of a kind for whoever reads this program's screens.
    pub fn of(kind: Kind) -> Self {
        Self::read_as(kind, reads())
    }

    /// The words of a kind for a reader.
    pub const fn read_as(kind: Kind, locale: Locale) -> Self {
        Self { locale, kind, slots: Slots::of(kind, locale.dialect) }
    }

    /// The words of a trial.
    pub fn of_trial(trial: &Trial) -> Self {
        let words = Self::of(trial.kind());
        let named = |arm: &propagule_bench::Arm| arm.facets.get("kind").cloned().unwrap_or_default();
        let first = trial.arms.first().map(named).unwrap_or_default();
        let is_shared = trial.arms.iter().all(|arm| named(arm) == first);
        if is_shared { Self { slots: words.slots.named(&first), ..words } } else { words }
    }

    /// The words of a family of methods.
    pub fn of_family(family: Family) -> Self {
        Self::of(match family {
            Family::Mixed => return Self { slots: Slots::of_results(), ..Self::of(Kind::Mixed) },
            Family::Cuttings => Kind::Cutting,
            Family::Grafts => Kind::Graft,
            Family::Buds => Kind::Bud,
            Family::Seed => Kind::Seed,
            Family::Layers => Kind::Layer,
            Family::Division => Kind::Division,
        })
    }

    /// `12 cuttings`, `1 graft`; a bare number where kinds are mixed.
    pub fn many(&self, count: impl Into<u64>) -> String {
        let count = count.into();
        let noun = if count == 1 { self.unit } else { self.units };
        if noun.is_empty() { grouped(count) } else { format!("{} {noun}", grouped(count)) }
    }

    /// `cuttings`, or `of them` would be missed: what several are called, `plants` where kinds are mixed.
    pub const fn plural(&self) -> &'static str {
        if self.slots.units.is_empty() { "plants" } else { self.slots.units }
    }

    /// A trade word of the reader's dialect.
    pub fn trade(&self, us: &'static str) -> &'static str {
        in_dialect(us, self.locale.dialect)
    }

    const fn stage(&self, stage: Stage) -> &StageSlots {
        match stage {
            Stage::Lift => &self.slots.stages[0],
            Stage::Season => &self.slots.stages[1],
            Stage::Spring => &self.slots.stages[2],
            Stage::Final => &self.slots.stages[3],
        }
    }

    /// What succeeded at a stage, behind a count.
    pub const fn outcome(&self, stage: Stage) -> &'static str {
        self.stage(stage).ok
    }

    /// What a success is called, whatever counts as one.
    pub const fn success(&self, of: Outcome) -> Success {
        let (ok, to_ok, oked) = match of {
            Outcome::Rooted => (self.slots.ok, self.slots.to_ok, self.slots.oked),
            Outcome::Alive => ("stayed alive", "stay alive", "alive"),
            Outcome::Callused => ("callused", "callus", "callused"),
            Outcome::Established => ("established", "establish", "established"),
            Outcome::Final => ("finished", "finish", "finished"),
        };
        Success { ok, to_ok, oked }
    }

    /// What did not happen at a stage, behind "did not".
    pub const fn to_succeed(&self, stage: Stage) -> &'static str {
        self.stage(stage).to_ok
    }

    /// One of them, spoken of as the only one: cutting, graft, one.
    pub const fn only(&self) -> &'static str {
        if self.slots.unit.is_empty() { "one" } else { self.slots.unit }
    }

    /// Alive without the outcome, in two words: still green.
    pub fn green_short(&self) -> &'static str {
        self.slots.green.split(',').next().unwrap_or(self.slots.green)
    }

    /// What succeeded at a stage, as a heading.
    pub const fn outcome_named(&self, stage: Stage) -> &'static str {
        self.stage(stage).lead
    }

    /// The word under which data names what succeeded at a stage; it never changes.
    pub const fn in_data(&self, stage: Stage) -> &'static str {
        match (self.kind, stage) {
            (_, Stage::Final) => "finished",
            (Kind::Division, _) => "re-rooted",
            (Kind::Mixed, Stage::Lift | Stage::Spring) => "successful",
            _ => self.stage(stage).lead,
        }
    }

    /// The stage behind "at".
    pub fn at(&self, stage: Stage) -> String {
        format!("the {}", self.name(stage))
    }

    /// The stage without its article.
    pub const fn name(&self, stage: Stage) -> &'static str {
        self.stage(stage).name
    }

    /// The stage as a heading.
    pub fn title(&self, stage: Stage) -> String {
        capital(self.name(stage))
    }

    /// The command that counts a stage, by the word of this kind.
    pub const fn command(&self, stage: Stage) -> &'static str {
        self.stage(stage).command
    }

    /// A counted state, under the word of this kind.
    pub fn state(&self, key: &str) -> String {
        match key {
            "rooted" => self.lead.to_owned(),
            "green" => self.green.to_owned(),
            "established" => self.established.to_owned(),
            "of-rooted" | "of_rooted" => format!("of the dead had {}", self.oked),
            "not-known" | "not_known" => "not seen".to_owned(),
            other => other.replace(['-', '_'], " "),
        }
    }

    /// Without the outcome, behind "died".
    pub fn without(&self) -> String {
        format!("before {}", self.oking)
    }

    /// An example of a grower's own rule for the lead outcome.
    pub const fn rule_example(&self) -> &'static str {
        match self.kind {
            Kind::Graft | Kind::Bud => "Such as: new growth from the scion",
            Kind::Seed => "Such as: seed leaves open",
            Kind::Mixed => "Such as: new growth",
            Kind::Cutting | Kind::Layer | Kind::Division | Kind::Micropropagation => {
                "Roots seen, or for example: resists a gentle tug"
            }
        }
    }

    /// Examples of what may be counted beside the usual.
    pub const fn more_counts(&self) -> &'static str {
        match self.kind {
            Kind::Graft | Kind::Bud => "Such as callused=3, leafing=4, grade=0/1/2/5",
            Kind::Seed if matches!(self.locale.dialect, Dialect::Us) => {
                "Such as yellow=2, mold=some, grade=0/1/2/5"
            }
            Kind::Seed => "Such as yellow=2, mould=some, grade=0/1/2/5",
            _ => "Such as callused=3, yellow=2, leafing=4, root-counts=3/5/2, longest-root=40, grade=0/1/2/5",
        }
    }

    /// The word under which those without the lead outcome are typed.
    pub const fn typed_green(&self) -> &'static str {
        match self.kind {
            Kind::Graft | Kind::Bud | Kind::Mixed => "undecided",
            Kind::Seed => "waiting",
            _ => "green",
        }
    }

    /// Whether roots are what is looked for.
    pub const fn has_roots(&self) -> bool {
        matches!(self.kind, Kind::Cutting | Kind::Layer | Kind::Division | Kind::Micropropagation)
    }

    /// Heading of what was scored one by one.
    pub fn title_of_scores(&self) -> String {
        if self.has_roots() { "Roots".to_owned() } else { "Scores".to_owned() }
    }

    /// `rooting not checked yet`.
    pub fn not_looked_for(&self) -> String {
        format!("{} not checked yet", self.looked_for)
    }

    /// A mark by the word that the trade has for it: leaf drop, mold, roots showing.
    pub fn mark(&self, name: &str) -> String {
        match name {
            "leaf_dropped" => "leaf drop".to_owned(),
            "mould" => self.trade("mold").to_owned(),
            "new_shoot" => "new shoots".to_owned(),
            "roots_at_hole" => "roots showing".to_owned(),
            "leafing" => "leafing out".to_owned(),
            other => other.replace('_', " "),
        }
    }

    /// The same as one types it.
    pub fn typed_mark(&self, name: &str) -> String {
        self.mark(name).replace(' ', "-")
    }

    /// The same words for a reader of another dialect.
    #[must_use]
    pub const fn in_dialect_of(&self, dialect: Dialect) -> Self {
        Self::read_as(self.kind, Locale { dialect, ..self.locale })
    }
}

/// With its first letter large.
pub fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
