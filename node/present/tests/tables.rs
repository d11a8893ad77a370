//! What a trial table may say, and every way in which it may be wrong.

use std::collections::BTreeMap;

use propagule_app::tables::{Change, Checks, Import, Known, Options, Planned, read};
use propagule_bench::{Entry, Trial, What};
use propagule_present::fault;

const HEADER: &str =
    "trial,species,started,started_on,arm,kind,wood,lift_on,lift_alive,lift_rooted,lift_dead,lift_lost";

fn read_table(table: &str, known: Option<&Planned>, options: &Options) -> Import {
    let entries: Vec<(u64, &Entry)> = known
        .map(|known| (1..).zip(known.entries.iter().map(|(_, entry)| entry)).collect())
        .unwrap_or_default();
    let of = |code: &str| Known {
        trial: known.map(|known| &known.trial).filter(|trial| trial.code == code),
        entries: entries.clone(),
    };
    let read = read("trials.csv", table.as_bytes(), options, |_| BTreeMap::new(), of, || "00".repeat(16));
    read.expect("a table")
}

fn read_rows(rows: &str, known: Option<&Planned>) -> Import {
    read_table(&format!("{HEADER}\n{rows}"), known, &Options::default())
}

fn message(rows: &str, known: Option<&Planned>) -> String {
    let import = read_rows(rows, known);
    assert!(import.is_open() || !import.refused.is_empty(), "{rows}");
    fault::text(&import.error("trials.csv"))
}

fn planned() -> Planned {
    let mut import =
        read_rows("M1,Morus nigra,24,2026-06-05,A,stem cutting,semi-ripe,2026-09-12,17,0,7,0", None);
    import.trials.remove(0)
}

fn stands(planned: &Planned) -> Trial {
    let entries = (1..).zip(planned.entries.iter().map(|(_, entry)| entry));
    propagule_bench::Season::new(&planned.trial, entries).as_it_stands()
}

#[test]
fn a_good_row_becomes_a_trial_with_its_count_as_an_entry() {
    let planned = planned();
    let trial = &planned.trial;
    assert_eq!((trial.code.as_str(), trial.started(), trial.arms[0].number), ("M1", 24, 1));
    assert_eq!(trial.arms[0].lift, None, "counts are entries");
    let once = planned.entries[0].1.once.as_deref();
    assert_eq!((planned.entries.len(), once), (1, Some("import M1 2026-09-12 lift")));
    let lift = stands(&planned).arms[0].lift.expect("counted");
    assert_eq!((lift.alive, lift.rooted, lift.dead), (Some(17), Some(0), Some(7)));
}

#[test]
fn a_second_table_adds_the_spring_count_and_keeps_the_lift() {
    let before = planned();
    let table = "trial,species,started,started_on,arm,spring_on,spring_rooted\n\
                 M1,Morus nigra,24,2026-06-05,A,2027-04-20,3\n";
    let import = read_table(table, Some(&before), &Options::default());
    let spring = &import.trials[0];
    assert_eq!(spring.change, Change::Updated);
    assert_eq!(spring.entries.len(), 1, "the lift is known");
    assert!(
        matches!(&spring.entries[0], (None, Entry { what: What::Counted { tallies, .. }, .. }) if tallies[0].rooted == Some(3))
    );
    let again =
        read_rows("M1,Morus nigra,24,2026-06-05,A,stem cutting,semi-ripe,2026-09-12,17,0,7,0", Some(&before));
    assert_eq!((again.trials[0].change, again.trials[0].entries.len()), (Change::Same, 0));
}

#[test]
fn every_bad_cell_is_named_with_a_way_on() {
    let before = planned();
    let cases = [
        ("M2,Morus nigra,,2026-06-05,A,,,,,,,", "row 2, column \"started\"", "number started is missing"),
        ("M2,Morus nigra,-3,2026-06-05,A,,,,,,,", "row 2, column \"started\"", "negative"),
        ("M2,Morus nigra,many,2026-06-05,A,,,,,,,", "row 2, column \"started\"", "not a whole number"),
        ("M2,Morus nigra,0,2026-06-05,A,,,,,,,", "row 2, column \"started\"", "1 to 10000"),
        ("M2,Morus nigra,12,05/06/2026,A,,,,,,,", "row 2, column \"started_on\"", "can be read as"),
        ("M2,12 mulberries,12,2026-06-05,A,,,,,,,", "row 2, column \"species\"", "a digit in a name"),
        ("M2,Morus nigra,12,2026-06-05,A,,semiripe wod,,,,,", "row 2, column \"wood\"", "semiripe wod"),
        (
            "M2,Morus nigra,12,2026-06-05,A,,,2026-09-12,13,0,0,0",
            "column \"lift_alive\"",
            "only 12 were stuck",
        ),
        ("M2,Morus nigra,12,2026-06-05,A,,,2026-09-12,5,6,7,0", "column \"lift_rooted\"", "only 5 alive"),
        ("M2,Morus nigra,12,2026-06-05,A,,,2026-09-12,5,0,6,0", "column \"lift_alive\"", "add up to 11"),
        ("M2,Morus nigra,12,2026-06-05,A,,,,5,0,7,0", "column \"lift_on\"", "no date"),
        ("M2,Morus nigra,12,2026-06-05,A,,,2025-09-12,5,0,7,0", "column \"lift_on\"", "before"),
        (
            "M2,Morus nigra,12,2026-06-05,A,,,,,,,\nM2,Morus nigra,12,2026-06-05,A,,,,,,,",
            "row 3, column \"arm\"",
            "earlier row",
        ),
        (
            "M2,Morus nigra,12,2026-06-05,A,,,,,,,\nM2,Cornus mas,12,2026-06-05,B,,,,,,,",
            "row 3, column \"species\"",
            "differs from an earlier row",
        ),
        ("M1,Morus nigra,23,2026-06-05,A,,,,,,,", "row 2, column \"started\"", "was 24"),
        ("M1,Morus nigra,24,2026-06-05,B,,,,,,,", "row 2, column \"arm\"", "no treatment \"B\""),
        ("M2,Morus nigra,12,2026-06-05", "row 2", "4 cells under 12 headings"),
        ("M2,Morus nigra,12,2026-06-05,A,,semi-rip,,,,,", "column \"wood\"", "did you mean semi-ripe"),
        (
            "M2,Morus nigra,12,2026-06-05,A,,,2026-09-12,dropped,,,",
            "column \"lift_alive\"",
            "what does the word mean?",
        ),
    ];
    for (rows, place, why) in cases {
        let message = message(rows, Some(&before));
        assert!(message.contains("cannot import the trials: trials.csv"), "{message}");
        assert!(message.contains(place) && message.contains(why), "{rows}\n{message}");
        assert!(message.contains("\nhint: "), "{message}");
    }
}

#[test]
fn a_total_that_does_not_add_up_is_asked_about() {
    let table = |total: u16| {
        format!(
            "Lot,Plant,n,Date\nN1,Ribes nigrum,55,2026-02-14\nN2,Ribes nigrum,63,2026-02-14\nTOTAL,,{total},\n"
        )
    };
    assert!(!read_table(&table(118), None, &Options::default()).is_open());
    let wrong = read_table(&table(120), None, &Options::default());
    assert!(fault::what(&wrong.error("t")).contains("TOTAL says 120, the rows add to 118"));
    let said = Options { rows: BTreeMap::from([(4, "total".to_owned())]), ..Options::default() };
    assert!(!read_table(&table(120), None, &said).is_open());
}

#[test]
fn a_row_that_is_the_sum_of_others_is_asked_about() {
    let rows = "M2,Morus nigra,12,2026-06-05,A,,,2026-09-12,5,3,,\nM3,Morus nigra,10,2026-06-05,A,,,2026-09-12,4,2,,\n\
                M4,Morus nigra,22,2026-06-05,A,,,2026-09-12,9,5,,";
    assert!(
        message(rows, None).contains("row 4: its numbers are the sums of the rows above"),
        "{}",
        message(rows, None)
    );
}

#[test]
fn blanks_below_a_value_are_asked_about_once() {
    let table = "Plant,Lot,n,Date\nMorus nigra,N1,55,2026-02-14\n,N2,63,2026-02-14\n,N3,5,2026-02-14\n";
    let open = read_table(table, None, &Options::default());
    assert!(fault::what(&open.error("t")).contains("lines 3 and 4 have no Plant: the same as line 2?"));
    let fill = Options { fill: vec!["plant".to_owned()], ..Options::default() };
    assert_eq!(read_table(table, None, &fill).trials.len(), 3);
}

#[test]
fn what_a_day_as_heading_holds_is_asked_or_said() {
    let table = "Lot,Plant,n,Date,14-Jun,28-Jun\nN1,Morus nigra,14,2026-05-31,2,5\n";
    let open = read_table(table, None, &Options::default());
    assert!(fault::what(&open.error("t")).contains("numbers never fall along a row: dead so far?"));
    let so_far = Options { checks: Some(Checks::DeadSoFar), ..Options::default() };
    let entries = read_table(table, None, &so_far).trials.remove(0).entries;
    let dead: Vec<_> = entries
        .iter()
        .map(|(_, entry)| match &entry.what {
            What::Counted { tallies, .. } => (entry.on.to_string(), tallies[0].dead),
            _ => panic!("a count"),
        })
        .collect();
    assert_eq!(dead, [("2026-06-14".to_owned(), Some(2)), ("2026-06-28".to_owned(), Some(3))]);
}

/// A sheet as a bench keeps it: a title, a column of trial numbers under a heading of its own, and other headings.
fn numbered_sheet(number: &str, put_in: &str) -> Import {
    let table = format!(
        "Mulberries on the mist bench,,,,\n{number};Plant;{put_in};Date stuck;Rooted;Lifted\n\
         26-01;Morus nigra;24;2026-06-05;9;2026-09-12\n\n26-02;Morus alba;12;2026-06-06;;\nTotal;;36;;9;\n"
    );
    read_table(&table, None, &Options::default())
}

#[test]
fn the_code_of_a_trial_is_found_under_its_everyday_headings() {
    for number in [
        "Trial no.",
        "trial number",
        "TRIAL NR",
        "Trial #",
        "No.",
        "no",
        "Nr",
        "nr.",
        "Number",
        "Code",
        "Batch",
        "Lot",
        "lot no.",
    ] {
        let import = numbered_sheet(number, "Cuttings");
        assert!(!import.is_open() && import.refused.is_empty(), "{number}: {:?}", import.error("t"));
        let codes: Vec<&str> = import.trials.iter().map(|planned| planned.trial.code.as_str()).collect();
        assert_eq!(codes, ["26-01", "26-02"], "{number}");
    }
}

#[test]
fn a_bare_number_is_the_number_put_in_where_nothing_else_says_it() {
    let names = |header: &str, row: &str| {
        let import = read_table(&format!("{header}\n{row}\n"), None, &Options::default());
        import.columns.into_iter().map(|column| column.name).collect::<Vec<_>>()
    };
    assert_eq!(names("Lot,Plant,No.,Date", "M1,Morus nigra,24,2026-06-05")[2], "started");
    let beside = names("No.,Lot,Plant,Cuttings,Date", "1,M1,Morus nigra,24,2026-06-05");
    assert_eq!((beside[0].as_str(), beside[1].as_str(), beside[3].as_str()), ("unused", "trial", "started"));
    let counted = names("No.,Plant,Cuttings,Date", "1,Morus nigra,24,2026-06-05");
    assert_eq!((counted[0].as_str(), counted[2].as_str()), ("trial", "started"));
}
