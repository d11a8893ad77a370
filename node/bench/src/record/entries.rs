//! Entries by number, and by the trial that they belong to.

use std::collections::{BTreeMap, BTreeSet};

use super::{Bench, Recorded};
use crate::compared;
use crate::entry::{Entry, What};
use crate::season::Season;
use crate::trial::Trial;

/// Numbers of the entries that stand, by the trial or spot that they name: one trial is put together without reading
/// the entries of all others. Care of spots stands apart, since every lot of a spot asks for it.
#[derive(Debug, Default)]
pub(super) struct ByTrial {
    named: BTreeMap<String, BTreeSet<u64>>,
    cares: BTreeSet<u64>,
}

impl ByTrial {
    /// An entry that stands from now on.
    pub(super) fn take_in(&mut self, number: u64, entry: Option<&Entry>) {
        if let Some(code) = entry.and_then(|entry| entry.what.trial()) {
            self.named.entry(code.to_owned()).or_default().insert(number);
        }
        if entry.is_some_and(is_care) {
            self.cares.insert(number);
        }
    }

    /// An entry that stands no more.
    pub(super) fn leave_out(&mut self, number: u64, entry: Option<&Entry>) {
        if let Some(numbers) =
            entry.and_then(|entry| entry.what.trial()).and_then(|code| self.named.get_mut(code))
        {
            numbers.remove(&number);
        }
        if entry.is_some_and(is_care) {
            self.cares.remove(&number);
        }
    }

    fn of(&self, code: &str) -> impl Iterator<Item = u64> {
        self.named.get(code).into_iter().flatten().copied()
    }
}

fn is_care(entry: &Entry) -> bool {
    matches!(entry.what, What::Cared { .. })
}

impl Bench {
    /// A trial with all that happened to it.
    pub fn season<'a>(&'a self, trial: &'a Trial) -> Season<'a> {
        Season::new(trial, self.entries_of(&trial.code))
    }

    /// A trial with the counts, days and facets that its entries and its spots amount to.
    pub fn as_it_stands(&self, trial: &Trial) -> Trial {
        let season = self.season(trial);
        let mut stands = season.as_it_stands();
        for arm in &mut stands.arms {
            arm.phases = self.phases(&season, arm);
            let (label, day) = (arm.number, trial.started_of(arm).middle());
            for (name, words) in self.environment(&season, label, day) {
                arm.facets.entry(name).or_insert(words);
            }
            self.take_stock_facets(arm);
            arm.others = compared::others(self, &season, trial, arm);
        }
        stands.parent_series = self.parent_series(trial);
        stands
    }

    /// Series of the trial that this one follows: of the same grower, and not kept private.
    fn parent_series(&self, trial: &Trial) -> Option<String> {
        let parent = self.trial(trial.parent.as_deref()?)?;
        let mark = |trial: &Trial| trial.entered_for.as_ref().map(|other| other.mark.clone());
        (!parent.is_private && mark(parent) == mark(trial)).then(|| parent.series.clone())
    }

    /// Entries that stand, by number.
    pub fn entries(&self) -> impl Iterator<Item = (u64, &Entry)> {
        self.entries.iter().filter_map(|(number, recorded)| Some((*number, recorded.entry.as_ref()?)))
    }

    /// Entries of one trial that stand, by number.
    pub fn entries_of(&self, code: &str) -> impl Iterator<Item = (u64, &Entry)> {
        self.by_trial.of(code).filter_map(|number| Some((number, self.entries.get(&number)?.entry.as_ref()?)))
    }

    /// Care of all spots that stands, by number.
    pub(super) fn cares(&self) -> impl Iterator<Item = (u64, &Entry)> {
        let cares = self.by_trial.cares.iter();
        cares.filter_map(|number| Some((*number, self.entries.get(number)?.entry.as_ref()?)))
    }

    /// Every entry with its corrections.
    pub fn recorded(&self) -> impl Iterator<Item = (u64, &Recorded)> {
        self.entries.iter().map(|(number, recorded)| (*number, recorded))
    }

    /// The number of the entry that was sent under this name.
    pub fn entry_once(&self, once: &str) -> Option<u64> {
        let named = |entry: &Entry| entry.once.as_deref() == Some(once);
        let ever = |recorded: &Recorded| {
            recorded.entry.iter().chain(recorded.earlier.iter().filter_map(|(e, _)| e.as_ref())).any(named)
        };
        self.entries.iter().find(|(_, recorded)| ever(recorded)).map(|(number, _)| *number)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::dates::When;
    use crate::event::{Event, Stamped};
    use crate::spot::Care;
    use propagule_files::clock::Clock;
    use propagule_files::journal::HomeId;

    fn cared(spot: &str) -> Entry {
        let care = Care::Light { let_through: 60 };
        Entry { what: What::Cared { spot: spot.to_owned(), care, until: None }, ..looked(spot) }
    }

    fn looked(code: &str) -> Entry {
        let on = When::day("2026-06-20".parse().expect("a day"));
        let what = What::Looked { trial: code.to_owned() };
        Entry { on, what, note: None, files: Vec::new(), once: None }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(40))]
        /// Entries, corrections to another trial, and take-backs in any order leave the index with exactly those
        /// entries that stand.
        #[test]
        fn the_index_holds_what_stands(steps in prop::collection::vec((0u8..5, 1u64..12, 0usize..3), 1..30)) {
            let folder = tempfile::tempdir().expect("a folder");
            let clock = Clock::Fixed("2026-11-25T12:00:00Z".parse().expect("an instant"));
            let home = HomeId([7; 16]);
            let (mut bench, _) = Bench::open(folder.path(), home, clock).expect("opens");
            let codes = ["M1", "M2", "M3"];
            for (number, (step, target, code)) in (1..).zip(steps) {
                let entry = looked(codes[code]);
                let event = match step {
                    0 => Event::Entered { entry },
                    3 => Event::Entered { entry: cared(codes[code]) },
                    4 => Event::Corrected { target, entry: Some(cared(codes[code])) },
                    1 => Event::Corrected { target, entry: Some(entry) },
                    _ => Event::Corrected { target, entry: None },
                };
                bench.apply(Stamped { number: Some(number), at: String::new(), event });
            }
            for code in codes {
                let indexed: Vec<u64> = bench.entries_of(code).map(|(number, _)| number).collect();
                let all = bench.entries().filter(|(_, entry)| entry.what.trial() == Some(code));
                prop_assert_eq!(indexed, all.map(|(number, _)| number).collect::<Vec<_>>());
                let cares = bench.entries().filter(|(_, entry)| is_care(entry));
                prop_assert!(bench.cares().eq(cares));
            }
        }
    }
}
