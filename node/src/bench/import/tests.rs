//! What a trial table may say, and every way in which it may be wrong.

use super::*;

const HEADER: &str =
    "trial,species,started,started_on,arm,kind,wood,lift_on,lift_alive,lift_rooted,lift_dead,lift_lost";

fn read_rows(rows: &str, existing: Option<&Trial>) -> Result<Import, TableError> {
    let table = format!("{HEADER}\n{rows}");
    read(
        "trials.csv",
        &table,
        &Options::default(),
        |code| existing.filter(|trial| trial.code == code),
        || "00".repeat(16),
    )
}

fn message(rows: &str, existing: Option<&Trial>) -> String {
    let error = read_rows(rows, existing).expect_err("refused");
    format!("{error}\nhint: {}", error.hints().join("\nhint: "))
}

fn trial() -> Trial {
    let import = read_rows("M1,Morus nigra,24,2026-06-05,A,stem cutting,semi-ripe,2026-09-12,17,0,7,0", None);
    import.expect("a good row").trials.remove(0).trial
}

#[test]
fn a_good_row_becomes_a_trial() {
    let trial = trial();
    assert_eq!((trial.code.as_str(), trial.started(), trial.arms[0].number), ("M1", 24, 1));
    assert_eq!(trial.arms[0].lift.expect("counted").alive, Some(17));
    assert_eq!(trial.arms[0].spring, None, "absent is not counted");
}

#[test]
fn a_second_table_adds_the_spring_count_and_keeps_the_lift() {
    let before = trial();
    let table = "trial,species,started,started_on,arm,spring_on,spring_alive,spring_rooted\n\
                 M1,Morus nigra,24,2026-06-05,A,2027-04-20,9,3\n";
    let import =
        read("spring.csv", table, &Options::default(), |_| Some(&before), String::new).expect("a good table");
    let Planned { trial, change } = &import.trials[0];
    assert_eq!(*change, Change::Updated);
    assert_eq!((trial.arms[0].lift, &trial.series), (before.arms[0].lift, &before.series));
    assert_eq!(trial.arms[0].spring.expect("counted").rooted, Some(3));
    let again =
        read("spring.csv", table, &Options::default(), |_| Some(trial), String::new).expect("a good table");
    assert_eq!(again.trials[0].change, Change::Same);
}

#[test]
fn every_bad_cell_is_named_with_a_way_on() {
    let before = trial();
    let cases = [
        ("M2,Morus nigra,,2026-06-05,A,,,,,,,", "row 2, column \"started\"", "number put in is missing"),
        ("M2,Morus nigra,-3,2026-06-05,A,,,,,,,", "row 2, column \"started\"", "negative"),
        ("M2,Morus nigra,many,2026-06-05,A,,,,,,,", "row 2, column \"started\"", "not a whole number"),
        ("M2,Morus nigra,0,2026-06-05,A,,,,,,,", "row 2, column \"started\"", "1 to 10000"),
        ("M2,Morus nigra,12,05/06/2026,A,,,,,,,", "row 2, column \"started_on\"", "can be read as"),
        ("M2,12 mulberries,12,2026-06-05,A,,,,,,,", "row 2, column \"species\"", "not a plant name"),
        ("M2,Morus nigra,12,2026-06-05,A,,semiripe wod,,,,,", "row 2, column \"wood\"", "semiripe wod"),
        (
            "M2,Morus nigra,12,2026-06-05,A,,,2026-09-12,13,0,0,0",
            "column \"lift_alive\"",
            "only 12 were put in",
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
        ("M1,Morus nigra,24,2026-06-05,B,,,,,,,", "row 2, column \"arm\"", "no arm \"B\""),
        ("M2,Morus nigra,12,2026-06-05", "row 2", "cells where the header has"),
    ];
    for (rows, place, why) in cases {
        let message = message(rows, Some(&before));
        assert!(message.contains("cannot import the trials: trials.csv"), "{message}");
        assert!(message.contains(place) && message.contains(why), "{rows}\n{message}");
        assert!(message.contains("\nhint: "), "{message}");
    }
}

#[test]
fn a_misspelt_word_is_met_with_what_was_perhaps_meant() {
    let message = message("M2,Morus nigra,12,2026-06-05,A,,semi-rip,,,,,", None);
    assert!(message.contains("did you mean semi-ripe"), "{message}");
}

#[test]
fn one_bad_row_keeps_the_whole_table_out() {
    let rows = "M2,Morus nigra,12,2026-06-05,A,,,,,,,\nM3,Morus nigra,,2026-06-05,A,,,,,,,";
    assert!(read_rows(rows, None).is_err());
}
