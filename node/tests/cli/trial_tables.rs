//! Trial tables that contradict themselves or what is known already.

use crate::home::{TRIAL, TestHome};
use crate::serving::Serving;

const HEADER: &str = "trial,species,started,started_on,arm,lift_on,lift_alive,lift_rooted,lift_dead,spring_on,spring_rooted,place,note";

fn refused(rows: &str) -> String {
    let home = TestHome::with_trial();
    let before = home.ok(&["trial", "show", "M1"]);
    let file = home.write("odd.csv", format!("{HEADER}\n{rows}\n"));
    let message = home.fails(1, &["trial", "import", &file, "--yes"]);
    assert_eq!(home.ok(&["trial", "show", "M1"]), before, "nothing was changed");
    message
}

#[test]
fn counts_that_contradict_the_known_ones_are_refused() {
    // Known at lift: 17 alive, none rooted, 7 dead of 24.
    for (row, why) in [
        ("M1,Morus nigra,24,2026-06-05,A,2026-09-12,,20,,,,,", "20 rooted, but only 17 alive"),
        ("M1,Morus nigra,24,2026-06-05,A,2026-09-12,24,,,,,,", "= 31, but 24 were left"),
        (
            "M1,Morus nigra,24,2026-06-05,A,,,,,2026-07-01,0,,",
            "2026-07-01 is before the lift count (2026-09-12)",
        ),
        ("M1,Morus nigra,24,2026-06-06,A,,,,,,,,", "was 2026-06-05 when trial \"M1\" was entered"),
        ("M1,Morus alba,24,2026-06-05,A,,,,,,,,", "was Morus nigra when trial \"M1\" was entered"),
    ] {
        let message = refused(row);
        assert!(message.contains("odd.csv, row 2, column ") && message.contains(why), "{row}\n{message}");
    }
}

#[test]
fn a_correction_that_adds_up_replaces_the_count() {
    let home = TestHome::with_trial();
    let file =
        home.write("better.csv", format!("{HEADER}\nM1,Morus nigra,24,2026-06-05,A,2026-09-12,16,1,8,,,,\n"));
    home.fails(1, &["trial", "import", &file, "--yes"]);
    assert!(home.ok(&["trial", "import", &file, "--yes", "--update"]).contains("updated M1"));
    let lift = home.json(&["trial", "show", "M1"])["trial"]["arms"][0]["lift"].clone();
    assert_eq!((&lift["alive"], &lift["rooted"], &lift["dead"]), (&16.into(), &1.into(), &8.into()));
}

#[test]
fn rows_of_one_trial_must_agree_on_what_belongs_to_the_trial() {
    let first = "M2,Morus nigra,24,2026-06-05,A,2026-09-12,9,,,,,garden,";
    for (row, column) in [
        ("M2,Morus nigra,24,2026-06-05,B,2026-09-20,9,,,,,garden,", "lift_on"),
        ("M2,Morus nigra,24,2026-06-05,B,2026-09-12,9,,,,,shed,", "place"),
        ("M2,Cornus mas,24,2026-06-05,B,2026-09-12,9,,,,,garden,", "species"),
    ] {
        let message = refused(&format!("{first}\n{row}"));
        let place = format!("row 3, column \"{column}\": differs from an earlier row of trial \"M2\"");
        assert!(message.contains(&place), "{message}");
    }
}

#[test]
fn no_note_is_lost() {
    let home = TestHome::new();
    let rows = "M2,Morus nigra,24,2026-06-05,A,,,,,,,,\"wilted,\nthen fine\"\nM2,Morus nigra,24,2026-06-05,B,,,,,,,,in shade\n";
    let file = home.write("notes.csv", format!("{HEADER}\n{rows}"));
    home.ok(&["trial", "import", &file, "--yes"]);
    assert_eq!(home.json(&["trial", "show", "M2"])["trial"]["note"], "wilted,\nthen fine\nin shade");
}

#[test]
fn a_code_can_be_typed_after_a_command() {
    for code in ["-M2".to_owned(), "x".repeat(61)] {
        let message = refused(&format!("{code},Morus nigra,24,2026-06-05,A,,,,,,,,"));
        assert!(message.contains("row 2, column \"trial\": a code has 1 to 60 characters"), "{message}");
    }
}

#[test]
fn slips_in_names_are_asked_about_and_taken_as_typed() {
    let home = TestHome::new();
    let table = TRIAL.replace("Morus nigra", "Morus nigre").replace("lift_lost", "lift_lst");
    let file = home.write("slips.csv", table);
    let text = home.ok(&["trial", "import", &file, "--dry-run"]);
    assert!(
        text.contains("Morus nigre is not on the list; you can still use it. Did you mean Morus nigra?"),
        "{text}"
    );
    assert!(text.contains("Columns not used: lift_lst (did you mean lift_lost?)"), "{text}");
    // An invented species is as good as any other.
    let file = home.write("new.csv", TRIAL.replace("Morus nigra", "Lumetta rosea"));
    assert!(!home.ok(&["trial", "import", &file, "--yes"]).contains("Did you mean"));
}

#[test]
fn days_that_are_none_are_refused() {
    for day in ["2026-02-30", "32/06/2026", "Juno", "9999-12-31", "-001-01-01"] {
        let message = refused(&format!("M2,Morus nigra,24,{day},A,,,,,,,,"));
        assert!(message.contains(&format!("column \"started_on\": \"{day}\" is not a date")), "{message}");
    }
}

#[test]
fn a_share_that_does_not_exist_in_the_sheet_of_a_nursery_is_no_count() {
    // Lot N33 of the invented nursery: 71% of 20 is no whole number; 70 % of nothing known is worse.
    let home = TestHome::new();
    let rows = "N07,Corymbella pallida,,2026-06-05,2026-10-09,70 %\nN33,Corymbella pallida,20,2026-06-05,2026-10-09,71 %\n";
    let file =
        home.write("lots.csv", format!("trial,species,started,started_on,lift_on,lift_rooted\n{rows}"));
    let message = home.fails(1, &["trial", "import", &file, "--yes"]);
    assert!(message.contains("row 2, column \"started\": the number started is missing"), "{message}");
    assert!(message.contains("row 3, column \"lift_rooted\": 71% of 20 is no whole number"), "{message}");
}

/// The line of a total is told by its number, which the node has to read as one.
#[test]
fn what_a_line_is_can_be_said_while_the_node_serves() {
    let home = TestHome::with_trial();
    let table = home
        .write("sums.csv", "trial,species,started,started_on\nT1,Morus nigra,12,2026-06-05\nTotal,,12,\n");
    let words = ["trial", "import", &table, "--row", "3=total"];
    let alone = home.ok(&words);
    let _serving = Serving::start(home.command(&["serve", "--listen", "/ip4/127.0.0.1/tcp/0", "--no-page"]));
    assert_eq!(home.ok(&words), alone);
}
