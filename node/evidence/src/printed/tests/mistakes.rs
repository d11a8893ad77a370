//! Tables with mistakes: the row is named with its file and column, and the others are used.

use propagule_present::fault;
use proptest::prelude::*;

use crate::printed::{PrintedTrials, read_printed, shipped};

const HEADER: &str =
    "source_id,use,species,trial,arm,kind,form,started,rooted,all_arms_reported,grade,weeks,season_month";
const GOOD: &str = "H01,answer,Morus nigra,H01-1,1,stem cutting,heel,40,12,yes,B,10,6";
const SOURCES: &str = "source_id,citation\nH01,\"A bulletin, 1931.\"\n";

fn with(rows: &[&str]) -> PrintedTrials {
    let table = format!("{HEADER}\n{}\n", rows.join("\n"));
    let read = |name: &str, text: &str| (name.to_owned(), read_printed(name, text.as_bytes()));
    PrintedTrials::default().with([read("mine.csv", &table), read("works.csv", SOURCES)])
}

/// What is said of the second row, where the first one is right.
fn said(row: &str) -> String {
    let trials = with(&[GOOD, row]);
    assert_eq!(trials.arms().len(), 1, "{row}: the row above it is used");
    let [error] = trials.unused() else { panic!("{row}: {:?}", trials.unused()) };
    assert!(!fault::hints(error).is_empty(), "{row}: nothing is said of how to mend it");
    fault::what(error)
}

#[test]
fn each_mistake_is_named_by_file_row_and_column() {
    let mistakes = [
        ("H01,answer,Morus,H01-1,2,stem cutting,,40,12,yes,B,,", "species"),
        ("H01,answer,,H01-1,2,stem cutting,,40,12,yes,B,,", "species"),
        ("H01,perhaps,Morus nigra,H01-1,2,stem cutting,,40,12,yes,B,,", "use"),
        ("H01,answer,Morus nigra,H01-1,2,stem,heal,40,12,yes,B,,", "form"),
        ("H01,answer,Morus nigra,H01-1,2,,,40,12,yes,B,,", "kind"),
        ("H01,answer,Morus nigra,H01-1,2,stem cutting,,40,41,yes,B,,", "rooted"),
        ("H01,answer,Morus nigra,H01-1,2,stem cutting,,0,0,yes,B,,", "started"),
        ("H01,answer,Morus nigra,H01-1,2,stem cutting,,40,30%,yes,B,,", "rooted"),
        ("H01,answer,Morus nigra,H01-1,2,stem cutting,,200000,1,yes,B,,", "started"),
        ("H01,answer,Morus nigra,H01-1,2,stem cutting,,40,12,maybe,B,,", "all_arms_reported"),
        ("H01,answer,Morus nigra,H01-1,2,stem cutting,,40,12,yes,D,,", "grade"),
        ("H01,answer,Morus nigra,H01-1,2,stem cutting,,40,12,yes,B,,13", "season_month"),
        ("H01,answer,Morus nigra,H01-1,2,stem cutting,,40,12,yes,B,soon,", "weeks"),
        ("H01,answer,Morus nigra,H01-1,1,stem cutting,,40,12,yes,B,,", "arm"),
        ("H99,answer,Morus nigra,H01-1,2,stem cutting,,40,12,yes,B,,", "source_id"),
    ];
    for (row, column) in mistakes {
        let said = said(row);
        let start = format!("cannot use the printed trials: mine.csv, row 3, column \"{column}\": ");
        assert!(said.starts_with(&start), "{row}: {said}");
    }
    let short = said("H01,answer,Morus nigra");
    assert!(short.starts_with("cannot use the printed trials: mine.csv, row 3: 3 cells"), "{short}");
}

#[test]
fn a_table_without_a_needed_column_is_named_and_the_others_are_used() {
    let read = |name: &str, text: &str| (name.to_owned(), read_printed(name, text.as_bytes()));
    let trials =
        shipped().with([read("mine.csv", "source_id,species\nH01,Morus nigra\n"), read("empty.csv", "")]);
    assert_eq!(trials.arms().len(), 175);
    let said: Vec<String> = trials.unused().iter().map(fault::what).collect();
    assert!(said[0].contains("mine.csv, column \"trial\": the column is missing"), "{said:?}");
    assert!(said[1].contains("empty.csv: the file is empty"), "{said:?}");
}

#[test]
fn a_table_of_a_home_adds_and_never_replaces() {
    let again = "source_id,use,species,trial,arm,kind,started,rooted,all_arms_reported,grade\n\
                 P02,answer,Juglans regia,P02-1,1,bud,30,0,yes,A\n\
                 P02,answer,Juglans regia,P02-9,1,bud,30,0,yes,A\n";
    let trials = shipped().with([("again.csv".to_owned(), read_printed("again.csv", again.as_bytes()))]);
    assert_eq!(trials.arms().len(), 176);
    let first = trials.arms().iter().find(|arm| (arm.trial.as_str(), arm.arm.as_str()) == ("P02-1", "1"));
    assert_eq!(first.map(|arm| arm.succeeded), Some(30));
}

/// A cell as people mistype them.
fn cell() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        "[a-z ]{1,12}",
        "-?[0-9]{1,7}",
        "[0-9]{1,3}[.,][0-9]{1,2} ?%?",
        any::<String>().prop_map(|text| text.replace(['"', ',', '\n', '\r'], " ")),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever stands in one cell, the other rows are used, and counts that are used can be true.
    #[test]
    fn one_wrong_cell_costs_at_most_its_row(column in 0..13_usize, cell in cell(), place in 0..3_usize) {
        let rows: Vec<String> = (0..3).map(|number| GOOD.replace(",1,stem", &format!(",{number},stem"))).collect();
        let mut cells: Vec<&str> = rows[place].split(',').collect();
        cells[column] = &cell;
        let spoilt = cells.join(",");
        let mut all: Vec<&str> = rows.iter().map(String::as_str).collect();
        all[place] = &spoilt;
        let trials = with(&all);
        let is_used = trials.arms().len() == 3;
        prop_assert!(trials.arms().len() >= 2, "{spoilt}: {:?}", trials.unused());
        prop_assert!(trials.arms().iter().all(|arm| arm.started > 0 && arm.succeeded <= arm.started));
        let is_named = trials.unused().iter().all(|error| fault::what(error).contains("mine.csv, row "));
        prop_assert!(is_named, "{:?}", trials.unused());
        prop_assert!(is_used || trials.unused().len() == 1 || column == 1, "{spoilt} is lost without a word");
    }
}
