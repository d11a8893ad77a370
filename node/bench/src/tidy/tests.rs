//! The table against its descriptor, and over random benches.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::*;
use crate::random_seasons;
use crate::{Stage, season};
use propagule_files::clock::Clock;
use propagule_files::journal::HomeId;

#[test]
fn the_descriptor_that_is_handed_out_is_made_from_the_columns() {
    let shipped: serde_json::Value = serde_json::from_str(DESCRIPTOR_TEXT).expect("JSON");
    assert_eq!(shipped, descriptor());
    assert_eq!(COLUMNS.len(), 69);
}

fn bench(seed: u64, seasons: usize) -> (tempfile::TempDir, Bench) {
    let folder = tempfile::tempdir().expect("a folder");
    let clock = Clock::Fixed("2027-11-25T12:00:00Z".parse().expect("a time"));
    let (mut bench, _) = Bench::open(folder.path(), HomeId([7; 16]), clock).expect("opens");
    bench.record_all(random_seasons::events(seed, seasons)).expect("is kept");
    (folder, bench)
}

/// A row by the names of its columns, as a statistics program sees it.
struct Seen(BTreeMap<&'static str, String>);

impl Seen {
    fn all(bench: &Bench) -> Vec<Self> {
        let rows = table(bench).into_iter().skip(1);
        rows.map(|row| Self(COLUMNS.iter().map(|column| column.name).zip(row).collect())).collect()
    }

    fn number(&self, column: &str) -> Option<i64> {
        let cell = &self.0[column];
        (!cell.is_empty()).then(|| cell.parse().unwrap_or_else(|_| panic!("{column}: {cell}")))
    }

    fn sum(&self, columns: &[&str]) -> i64 {
        columns.iter().map(|column| self.number(column).expect("a count")).sum()
    }
}

/// What the descriptor demands of a cell.
fn fits(column: &Column, cell: &str) -> bool {
    if cell.is_empty() {
        return !column.is_needed;
    }
    let is_of_kind = match column.kind {
        Kind::Text => true,
        Kind::Whole => cell.parse::<i64>().is_ok_and(|n| n >= 0 || !column.is_from_zero),
        Kind::Number => cell.parse::<f64>().is_ok(),
        Kind::YesNo => ["true", "false"].contains(&cell),
        Kind::Day => cell.parse::<propagule_protocol::Date>().is_ok(),
    };
    is_of_kind && (column.words.is_empty() || column.words.contains(&cell))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Every row keeps to the descriptor, names itself by its key, and accounts for every piece.
    #[test]
    fn every_row_keeps_to_the_descriptor_and_accounts_for_every_piece(seed in any::<u64>()) {
        let (_folder, bench) = bench(seed, 10);
        let rows = Seen::all(&bench);
        let mut keys = std::collections::BTreeSet::new();
        for row in &rows {
            for column in &COLUMNS {
                prop_assert!(fits(column, &row.0[column.name]), "{}: {}", column.name, row.0[column.name]);
            }
            prop_assert!(keys.insert(KEY.map(|name| row.0[name].clone())), "a key twice");
            let Some(started) = row.number("started") else {
                prop_assert_eq!(&row.0["event"], "planned");
                continue;
            };
            prop_assert_eq!(
                row.sum(&["alive", "not_known", "dead", "lost", "left_finished", "left_below"]), started
            );
            prop_assert_eq!(row.sum(&["waiting", "rooted_alive"]), row.sum(&["alive"]));
        }
    }

    /// Grouped by arm on the last day at lift, the rows give what a trial shows.
    #[test]
    fn grouped_by_arm_the_rows_give_what_a_trial_shows(seed in any::<u64>()) {
        let (_folder, bench) = bench(seed, 10);
        let rows = Seen::all(&bench);
        for trial in bench.trials() {
            let shown = bench.as_it_stands(trial);
            for arm in &shown.arms {
                let of_arm = || rows.iter().filter(|row| {
                    row.0["trial"] == trial.code && row.number("arm") == Some(arm.number.into())
                });
                let at_lift = of_arm().filter(|row| row.0["stage"] == Stage::Lift.word());
                let Some(day) = at_lift.map(|row| &row.0["date"]).max() else {
                    prop_assert!(arm.lift.is_none());
                    continue;
                };
                let sum = |column: &str| -> i64 {
                    of_arm().filter(|row| row.0["date"] == *day).map(|row| row.number(column).unwrap_or(0)).sum()
                };
                let Some(counts) = arm.lift else { continue };
                prop_assert_eq!(sum("started"), i64::from(arm.started));
                prop_assert_eq!(counts.lost.map(i64::from), Some(sum("lost")));
                for (shown, column) in [(counts.alive, "alive"), (counts.dead, "dead"), (counts.rooted, "rooted_alive")] {
                    prop_assert!(shown.is_none_or(|n| i64::from(n) == sum(column)), "{}", column);
                }
            }
        }
    }
}

#[test]
fn random_benches_hold_all_that_can_happen() {
    let mut words = BTreeMap::<&str, usize>::new();
    let mut faults = 0;
    for seed in 0..60 {
        let (_folder, bench) = bench(seed, 10);
        for (_, recorded) in bench.recorded() {
            *words
                .entry(recorded.entry.as_ref().map_or("taken back", |entry| entry.what.word()))
                .or_default() += 1;
        }
        faults += bench.trials().map(|trial| bench.season(trial).faults.len()).sum::<usize>();
        *words.entry("planned").or_default() += bench.trials().filter(|trial| trial.is_planned).count();
        *words.entry("parent").or_default() += bench.trials().filter(|trial| trial.parent.is_some()).count();
    }
    assert_eq!(faults, 0, "what contradicts a season is left out");
    assert_eq!(season::IMPORTED, 0, "typed entries have numbers from 1");
    for word in [
        "looked",
        "check",
        "lift",
        "season",
        "spring",
        "final",
        "move",
        "left",
        "stood",
        "suckers",
        "closed",
        "wrap cut",
        "note",
        "care",
        "taken back",
        "planned",
        "parent",
    ] {
        assert!(words.get(word).is_some_and(|count| *count >= 5), "{word}: {words:?}");
    }
}
