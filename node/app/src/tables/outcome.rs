//! What becomes of each line of a file.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::kind::{kind_words, put_in};
use super::play::Dated;
use super::row::Row;
use propagule_bench::{Stage, Tally};
use propagule_present::kind::KindWords;

/// Why nothing became yet of a line that is asked about.
pub const WAITS: &str = "waits for an answer";

/// What becomes of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// It can be saved.
    Ready,
    /// All of it is known.
    Same,
    /// It says something else than is known.
    Changed,
    /// It waits for the answer to a question.
    Asked,
    /// It cannot be.
    Refused,
}

impl Outcome {
    /// In a word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Ready => "ready",
            Self::Same => "same",
            Self::Changed => "changed",
            Self::Asked => "asked",
            Self::Refused => "refused",
        }
    }
}

/// What becomes of a row of plants.
#[derive(Clone, Debug, PartialEq)]
pub struct RowOutcome {
    /// The line.
    pub line: u64,
    /// In short.
    pub outcome: Outcome,
    /// Code of the trial.
    pub trial: String,
    /// Label of the arm.
    pub arm: String,
    /// Code of the pot.
    pub pot: Option<String>,
    /// The plant.
    pub species: String,
    /// Pieces put in.
    pub started: u16,
    /// Who did the work.
    pub operator: Option<String>,
    /// Suckers removed.
    pub suckers: Option<u16>,
    /// Cells that were filled down: the heading, and from which line.
    pub filled: Vec<(String, u64)>,
    /// Why, where something is to be said.
    pub why: Option<String>,
    /// What was known, and what the table says.
    pub changed: Option<(String, String)>,
    /// Words of its kind.
    pub(super) words: KindWords,
    pub(super) played: Vec<Dated>,
}

impl RowOutcome {
    pub(super) fn ready(row: &Row, arm: &str, pot: Option<&str>, is_known: bool) -> Self {
        Self {
            line: row.line,
            outcome: if is_known { Outcome::Same } else { Outcome::Ready },
            trial: row.trial.clone(),
            arm: arm.to_owned(),
            pot: pot.map(str::to_owned),
            species: row.species.clone(),
            started: row.started,
            operator: row.operator.clone(),
            suckers: row.suckers,
            filled: row.filled.clone(),
            why: None,
            changed: None,
            words: kind_words(row),
            played: Vec::new(),
        }
    }

    /// Whether nothing of it was counted.
    pub fn is_pending(&self) -> bool {
        self.played.is_empty()
    }

    pub(super) fn set(&mut self, outcome: Outcome) {
        if self.outcome != Outcome::Changed {
            self.outcome = outcome;
        }
    }

    /// A cell says something else than is known.
    pub(super) fn change(&mut self, what: &str, was: &str, now: &str, may_update: bool) {
        self.outcome = Outcome::Changed;
        if self.changed.is_none() {
            let how =
                if may_update { "stored as a correction" } else { "needs --update: stored as a correction" };
            let what = self.words.state(what);
            self.why = Some(format!("{what} was {was}, now {now}; {how}, {was} stays in the history"));
            self.changed = Some((was.to_owned(), now.to_owned()));
        }
    }

    /// What the row says, in a line.
    pub fn says(&self) -> String {
        let mut parts = vec![format!("{} {}", self.started, put_in(&self.words))];
        for dated in &self.played {
            let when = dated.stage.map_or_else(
                || dated.on.to_string(),
                |stage| format!("{} {}", self.words.name(stage), dated.on),
            );
            parts.push(format!("{when}: {}", said(&dated.full, dated.stage, self.words.lead)));
            if let Some((count, base)) = dated.not_mentioned.filter(|(count, _)| *count > 0) {
                parts.push(format!("{count} of {base} are not mentioned"));
            }
        }
        if self.is_pending() {
            parts.push("not counted yet".to_owned());
        }
        if let Some(removed) = self.suckers {
            parts.push(format!("suckers {removed}"));
        }
        for (column, from) in &self.filled {
            parts.push(format!("{column} filled from line {from}"));
        }
        parts.join("; ")
    }

    /// As it is shown.
    pub fn shown(&self) -> RowShown {
        let stage = |stage| self.played.iter().rfind(|dated| dated.stage == Some(stage)).map(counts);
        let checks = self.played.iter().filter(|dated| dated.stage.is_none());
        RowShown {
            arm: self.arm.clone(),
            pot: self.pot.clone(),
            species: self.species.clone(),
            started: self.started,
            operator: self.operator.clone(),
            suckers: self.suckers,
            not_counted_yet: self.is_pending(),
            says: self.says(),
            was: self.changed.as_ref().map(|(was, _)| CellShown::of(was)),
            now: self.changed.as_ref().map(|(_, now)| CellShown::of(now)),
            filled: self
                .filled
                .iter()
                .map(|(column, line)| FilledDown { column: column.clone(), line: *line })
                .collect(),
            lift: stage(Stage::Lift),
            season: stage(Stage::Season),
            spring: stage(Stage::Spring),
            last: stage(Stage::Final),
            checks: checks.map(|dated| (dated.on.to_string(), counts(dated))).collect(),
        }
    }
}

/// What a row of plants says.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RowShown {
    /// Label of the arm.
    pub arm: String,
    /// Code of the pot.
    pub pot: Option<String>,
    /// The plant.
    pub species: String,
    /// Pieces put in.
    pub started: u16,
    /// Who did the work.
    pub operator: Option<String>,
    /// Suckers removed.
    pub suckers: Option<u16>,
    /// Nothing of it was counted.
    pub not_counted_yet: bool,
    /// All of it in a line.
    pub says: String,
    /// What was known.
    pub was: Option<CellShown>,
    /// What the table says instead.
    pub now: Option<CellShown>,
    /// Cells that were filled down.
    pub filled: Vec<FilledDown>,
    /// What was counted at the first stage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lift: Option<CountsShown>,
    /// At season end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub season: Option<CountsShown>,
    /// In spring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spring: Option<CountsShown>,
    /// At the end.
    #[serde(default, rename = "final", skip_serializing_if = "Option::is_none")]
    pub last: Option<CountsShown>,
    /// At each check, by its day.
    pub checks: BTreeMap<String, CountsShown>,
}

/// A cell that was filled down.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct FilledDown {
    /// The heading of its column.
    pub column: String,
    /// The line that it was filled from.
    pub line: u64,
}

/// A cell.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum CellShown {
    /// A whole number.
    Number(u64),
    /// Anything else.
    Text(String),
}

impl CellShown {
    fn of(text: &str) -> Self {
        text.parse().map_or_else(|_| Self::Text(text.to_owned()), Self::Number)
    }
}

/// Counts of a row on a day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CountsShown {
    /// The day.
    pub on: String,
    /// Alive.
    pub alive: Option<u16>,
    /// With the outcome.
    pub rooted: Option<u16>,
    /// Growing on.
    pub established: Option<u16>,
    /// Finished.
    pub finished: Option<u16>,
    /// Died since the count before.
    pub died: u16,
    /// Lost since.
    pub lost: u16,
    /// Neither known alive nor known dead.
    pub not_known: u16,
    /// Left at the count before.
    pub of: u16,
    /// Left as finished.
    pub left_as_finished: u16,
    /// Pieces that the table does not mention.
    pub not_mentioned: Option<u16>,
}

fn counts(dated: &Dated) -> CountsShown {
    let tally = &dated.full;
    let rest = dated.not_mentioned.filter(|(count, _)| *count > 0);
    CountsShown {
        on: dated.on.to_string(),
        alive: tally.alive,
        rooted: tally.rooted,
        established: tally.established,
        finished: tally.finished,
        died: tally.dead.unwrap_or(0),
        lost: tally.lost.unwrap_or(0),
        not_known: tally.not_known.unwrap_or(0),
        of: dated.base,
        left_as_finished: dated.left,
        not_mentioned: rest.map(|(count, _)| count),
    }
}

fn said(tally: &Tally, stage: Option<Stage>, lead: &str) -> String {
    let mut words = Vec::new();
    if let (Some(alive), None) = (tally.alive, stage) {
        words.push(format!("{alive} alive"));
    }
    let named = [
        (lead, tally.rooted),
        ("finished", tally.finished),
        ("died", tally.dead),
        ("lost", tally.lost),
        ("not known", tally.not_known),
    ];
    for (word, count) in named {
        let Some(count) = count else { continue };
        if count > 0 || (word == lead && stage.is_some()) {
            words.push(format!("{count} {word}"));
        }
    }
    words.join(", ")
}
