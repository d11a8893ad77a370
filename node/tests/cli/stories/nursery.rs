//! B: a nursery with sixty lots, from last year's sheet.

use std::fmt::Write;

use super::{has, placed, says};
use crate::home::{IN_SPRING, TestHome};

/// Sixty lots; three without the number put in, one with a share that does not exist.
fn sheet() -> String {
    let mut table = String::from("Lot,Plant,PutIn,Date,Rooted,Lifted\n");
    for lot in 1..=60 {
        let (mut put_in, mut rooted) = if lot % 2 == 1 { ("20", "12") } else { ("30", "21") };
        if [7, 21, 44].contains(&lot) {
            (put_in, rooted) = ("", "70 %");
        }
        if lot == 33 {
            rooted = "71 %";
        }
        writeln!(table, "N{lot:02},Corymbella pallida,{put_in},05/06/2026,{rooted},09/10/2026")
            .expect("to a string");
    }
    table
}

fn imported() -> TestHome {
    let home = placed();
    let file = home.write("lots.csv", sheet());
    home.fails(1, &["trial", "import", &file, "--dates", "day-first", "--leave-out", "--yes"]);
    home
}

#[test]
fn the_dry_run_says_what_is_ready_and_what_is_not() {
    let home = TestHome::new();
    let file = home.write("lots.csv", sheet());
    let asked = home.run(&["trial", "import", &file, "--dry-run"]);
    assert_eq!((asked.code, asked.err.matches("can be read as").count()), (1, 0), "{}", asked.err);
    has(&asked.err, &["1 question is open; nothing was saved", "hint: answer with the same command"]);
    let asked = asked.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(asked.matches("can be read as").count(), 1, "asked once: {asked}");
    has(&asked, &["2026-06-05 (day first) or 2026-05-06 (month first)", "--date-order day-first"]);
    let text = says(&home, &["trial", "import", &file, "--dry-run", "--dates", "day-first"]);
    has(&text, &["56 trials ready: 1,410 stuck, 933 rooted (66%); lift count after 18 weeks", "4 refused:"]);
    for lot in ["N07", "N21", "N44"] {
        assert!(text.contains(&format!("{lot} (row")), "{lot}: {text}");
    }
    assert_eq!(text.matches("the number started is missing").count(), 3);
    has(
        &text,
        &[
            "N33 (row 34, Rooted: 71% of 20 is no whole number: 14 would be 70%, 15 would be 75%)",
            "Nothing was saved",
        ],
    );
    has(&says(&home, &["trial", "list"]), &["No trials yet"]);
}

#[test]
fn bad_rows_stop_the_import_unless_they_may_be_left_out() {
    let home = TestHome::new();
    let file = home.write("lots.csv", sheet());
    let refused = home.fails(1, &["trial", "import", &file, "--dates", "day-first", "--yes"]);
    has(&refused, &["row 8, column \"PutIn\": the number started is missing", "--leave-out"]);
    has(&says(&home, &["trial", "list"]), &["No trials yet"]);
    let left = home.fails(1, &["trial", "import", &file, "--dates", "day-first", "--leave-out", "--yes"]);
    has(&left, &["4 lines were left out: 8, 22, 34, 45; the others are saved"]);
    assert_eq!(home.json(&["trial", "list"])["trials"].as_array().map(Vec::len), Some(56));
}

#[test]
fn headings_of_the_grower_are_mapped_and_remembered() {
    let home = TestHome::new();
    let rows = |code: &str| format!("Bett,Plant,PutIn,Date\n{code},Corymbella pallida,20,2026-06-05\n");
    let (first, second) = (home.write("one.csv", rows("N1")), home.write("two.csv", rows("N2")));
    home.fails(1, &["trial", "import", &first, "--yes"]);
    let wrong = home.fails(2, &["trial", "import", &first, "--map", "Bett=tria", "--yes"]);
    has(&wrong, &["there is no column \"tria\"", "did you mean trial"]);
    home.ok(&["trial", "import", &first, "--map", "Bett=trial", "--yes"]);
    has(
        &says(&home, &["trial", "import", &second, "--yes"]),
        &["Bett as trial", "columns as last time", "new N2"],
    );
}

#[test]
fn an_archive_that_holds_no_spreadsheet_is_refused_with_the_way_to_csv() {
    let home = TestHome::new();
    let file = home.write("lots.xlsx", b"PK\x03\x04\x14\x00\x06\x00");
    has(&home.fails(1, &["trial", "import", &file, "--yes"]), &["holds no spreadsheet", "CSV"]);
}

#[test]
fn care_is_entered_once_for_all_lots_on_the_spot() {
    let home = imported();
    home.ok(&["spot", "mist house", "--with", "growing_place=glass"]);
    has(
        &says(&home, &["spot", "mist house", "--lots", "all", "--on", "2026-06-05"]),
        &["56 trials on mist house from 5 Jun 2026"],
    );
    let care =
        says(&home, &["care", "mist house", "--mist", "8 s every 4 min 07:00–20:00", "--on", "2026-06-05"]);
    has(&care, &["195 mist cycles, 26 min a day", "on 56 trials", "licensed electrician", "Legionella"]);
    for lot in ["N01", "N32", "N60"] {
        has(
            &says(&home, &["trial", "show", lot]),
            &["195 mist cycles, 26 min a day", "structure greenhouse, mist on mist house"],
        );
    }
    let shade = home.fails(1, &["care", "mist house", "--shade", "4 %"]);
    has(&shade, &["blocked, or let through?"]);
    has(&says(&home, &["care", "mist house", "--shade", "40 % blocked"]), &["60% of the light let through"]);
    let slip = super::entry(&home, &["care", "mist house", "--heat", "30", "--on", "2026-06-06"]);
    has(&says(&home, &["trial", "show", "N01"]), &["30 °C"]);
    home.ok(&["care", "mist house", "--take-back", &slip]);
    assert!(!home.ok(&["trial", "show", "N01"]).contains("30 °C"), "a slip is taken back");
    has(
        &home.fails(1, &["care", "mist house", "--take-back", "1"]),
        &["entry 1 is not in the log of mist house"],
    );
    let shown = home.ok(&["trial", "show", "N01"]);
    assert!(!shown.contains("control") && !shown.contains("difference"), "a lot raises no question: {shown}");
}

#[test]
fn sold_plants_are_finished_on_that_day() {
    let home = imported();
    home.at(IN_SPRING);
    home.ok(&["move", "N12", "--sold", "15", "--on", "2027-03-20"]);
    has(&says(&home, &["trial", "show", "N12"]), &["15 of 30 finished so far; 6 kept, not counted yet"]);
    home.ok(&["final", "N12", "finished=4,dead=2", "--on", "2027-05-15"]);
    let text = says(&home, &["trial", "show", "N12"]);
    has(&text, &["19 of 30 finished (63%", "15 sold, given or planted out, and 4 of the 6 kept"]);
    assert!(!text.contains("4 of 30 finished"), "{text}");
    home.ok(&["publish", "N12", "--yes"]);
    let pool = home.json(&["pool", "Corymbella pallida", "--stage", "final", "--outcome", "final"]);
    assert_eq!((&pool["methods"][0]["rooted"], &pool["methods"][0]["started"]), (&19.into(), &30.into()));
}

#[test]
fn pieces_that_left_below_grade_are_not_known() {
    let home = imported();
    home.at(IN_SPRING);
    let text = says(&home, &["move", "N14", "--given", "3", "--below-grade", "--on", "2027-03-20"]);
    has(
        &text,
        &["3 given on 20 Mar 2027, before they were finished. Their outcome is unknown", "3 gone unfinished"],
    );
    let many = home.fails(1, &["move", "N14", "--sold", "40", "--on", "2027-03-20", "--again"]);
    has(&many, &["40 left, but only 18 were alive"]);
}
