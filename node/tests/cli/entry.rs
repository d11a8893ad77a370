//! Daily entry as a grower types it: cells, the walk, slips asked back, and what is put right afterwards.

use std::io::Write;
use std::process::Stdio;

use crate::home::{Ran, TestHome, ran};

/// Four pots of twelve (invented plant), put in on a Monday.
fn four_pots() -> TestHome {
    let home = TestHome::new();
    home.ok(&["trial", "new", "M8", "Lumetta rosea", "--on", "2026-06-08", "--arm", "A: pots=4; pieces=12"]);
    home.ok(&["stick", "M8", "--on", "2026-06-08"]);
    home
}

/// What a row of keys does, at a shell: every character, and Enter.
fn keys(line: &str) -> usize {
    line.chars().count() + 1
}

/// Runs a line as it is typed.
fn typed(home: &TestHome, line: &str) -> String {
    let words: Vec<&str> = line.split(' ').skip(1).collect();
    home.ok(&words)
}

/// Runs a command with lines piped in.
fn answered(home: &TestHome, words: &[&str], lines: &str) -> Ran {
    let mut command = home.command(words);
    let mut child =
        command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("starts");
    child.stdin.take().expect("a pipe").write_all(lines.as_bytes()).expect("writes");
    ran(&child.wait_with_output().expect("ends"))
}

#[test]
fn the_usual_lines_take_no_more_keys_than_they_may() {
    let home = four_pots();
    let (check, correct) = ("propagule check M8 11 11 12 10", "propagule correct last 11r2 10r0 12 8");
    assert!(typed(&home, check).contains("44 of 48 alive"));
    home.ok(&["fix", "M8", "last", "11r3", "10r0", "12", "8"]);
    assert!(typed(&home, correct).contains("P1 3 \u{2192} 2 rooted."));
    assert_eq!((keys(check), keys(correct), keys("propagule check M8 ok")), (31, 38, 22));
}

#[test]
fn the_walk_asks_pot_by_pot_and_saves_with_one_yes() {
    let home = four_pots();
    let walk = ["check", "M8", "--on", "2026-06-22", "--walk"];
    let stopped = answered(&home, &walk, "11\nq\n");
    assert_eq!(stopped.code, 1, "{}", stopped.err);
    let refused = answered(&home, &walk, "11\n\n\n\nn\n");
    assert_eq!(refused.code, 1, "{}", refused.err);
    assert!(
        home.ok(&["trial", "history", "M8"]).contains("Nothing has been entered yet"),
        "nothing is saved"
    );
    // P1 11; P2 13 is too many, then 9; back, and P2 11; P3 as before; P4 not looked at.
    let saved = answered(&home, &walk, "11\n13\n9\nb\n11\n\n.\ny\n");
    assert_eq!(saved.code, 0, "{} {}", saved.out, saved.err);
    assert!(saved.out.contains("P1 (A), 12 alive") && saved.err.contains("P2 had 12 left"), "{}", saved.err);
    for line in [
        "P1 12 \u{2192} 11: 1 died",
        "P2 12 \u{2192} 11: 1 died",
        "P3 12: as before",
        "46 of 48 alive, 12 of them not counted this time",
    ] {
        assert!(saved.out.contains(line), "{line} in {}", saved.out);
    }
    let blind = answered(&home, &["check", "M8", "--on", "2026-07-06", "--walk", "--blind"], "\n\n\n\ny\n");
    assert!(!blind.out.contains("(A)") && blind.out.contains("All as before"), "{}", blind.out);
}

#[test]
fn half_a_pot_gone_is_asked_about_in_the_walk_too() {
    let home = four_pots();
    let walk = ["check", "M8", "--on", "2026-06-22", "--walk"];
    let no = answered(&home, &walk, "2\n\n\n\ny\nn\n");
    assert_eq!(no.code, 1, "{}", no.out);
    let yes = answered(&home, &walk, "2\n\n\n\ny\ny\n");
    assert_eq!(yes.code, 0, "{}", yes.err);
    assert!(yes.err.contains("10 died at once?") && yes.out.contains("38 of 48 alive"), "{}", yes.out);
}

#[test]
fn what_is_in_already_is_not_saved_again() {
    let home = four_pots();
    home.ok(&["spot", "frame", "--with", "growing place=cold frame"]);
    let day = ["--on", "2026-06-22"];
    let with_day = |words: &[&'static str]| words.iter().copied().chain(day).collect::<Vec<_>>();
    for words in [
        &["check", "M8", "P1:dead=1"][..],
        &["check", "M8", "P2:d1"],
        &["move", "M8", "P3", "--sold", "2"],
        &["lift", "M8", "P4:rooted=4", "--rest", "alive"],
    ] {
        home.ok(&with_day(words));
        let again = home.ok(&with_day(words));
        assert!(again.starts_with("Already saved as entry"), "{words:?}: {again}");
        let words: Vec<&str> = with_day(words).into_iter().chain(["--json"]).collect();
        assert!(home.ok(&words).contains("\"saved\": false"), "{words:?}");
    }
    let other = home.fails(1, &with_day(&["move", "M8", "P3", "--sold", "3"]));
    assert!(other.contains("2 sold then, 3 sold now") && other.contains("--again"), "{other}");
    home.ok(&with_day(&["move", "M8", "P3", "--sold", "3", "--again"]));
    let pots = home.json(&["pots", "M8"]);
    assert_eq!(pots["pots"][2]["left_finished"], 5);
    home.ok(&with_day(&["check", "M8", "P1:dead=2", "--instead"]));
    assert_eq!(home.json(&["pots", "M8"])["pots"][0]["dead"], 2);
    // A pot that is in with the same numbers is left out; the others are saved.
    let rest = home.ok(&with_day(&["check", "M8", "P1:dead=2", "P4:12"]));
    assert!(rest.contains("P4 12: as before") && !rest.contains("P1 "), "{rest}");
    let nothing = home.fails(1, &["check", "M8", "11", "11", ".", ".", "--on", "2026-06-29", "--instead"]);
    assert!(nothing.contains("nothing of 2026-06-29"), "{nothing}");
}

#[test]
fn a_note_is_never_dropped_with_an_entry_that_is_in() {
    let home = four_pots();
    home.ok(&["check", "M8", "11", ".", ".", ".", "--on", "2026-06-22"]);
    let noted = ["check", "M8", "11", ".", ".", ".", "--on", "2026-06-22", "--note", "pale"];
    assert!(home.fails(1, &noted).contains("only its note is new"));
}

#[test]
fn an_earlier_day_is_asked_about_and_a_coming_one_refused() {
    let home = four_pots();
    home.ok(&["check", "M8", "11", "11", "12", "12", "--on", "2026-07-06"]);
    let asked = home.fails(1, &["check", "M8", "12", "12", "12", "12", "--on", "2026-06-22"]);
    assert!(asked.contains("before the last entry of M8") && asked.contains("--yes"), "{asked}");
    home.ok(&["check", "M8", "12", "12", "12", "12", "--on", "2026-06-22", "--yes"]);
    home.fails(1, &["check", "M8", "11", "11", "12", "12", "--on", "2026-12-24", "--yes"]);
}

#[test]
fn messy_cells_are_read_or_say_what_is_wrong() {
    let home = four_pots();
    // A row pasted with commas, and a pot by name beside a cell.
    let text = home.ok(&["check", "M8", "11,12,.,=", "P1:cause=rot", "P3:a11", "--on", "yesterday"]);
    assert!(text.contains("P1 12 \u{2192} 11: 1 died, rot") && text.contains("P3 12 \u{2192} 11"), "{text}");
    assert!(text.contains("24 Nov 2026"), "yesterday of 25 November: {text}");
    for (cells, exit, says) in [
        (&["11", "11", "12"][..], 2, "M8 has 4 pots (P1 P2 P3 P4), 3 numbers came"),
        (&["11x", "=", "=", "="], 1, "`x` is no letter"),
        (&[".", ".", ".", "."], 1, "no pot of M8 was checked"),
        (&["4r", "1g", "1d", "1l"], 1, "after a letter comes a whole number"),
        (&["11", "=", "=", "=", "P1:alive=11"], 1, "\"P1\": it is counted twice"),
        (&["P9:11"], 1, "no such pot"),
        (&["8d1", "=", "=", "="], 1, "P1 had 11 left: 8 alive + 1 dead is 9. Did you mean 10d1?"),
    ] {
        let words: Vec<&str> = ["check", "M8"].into_iter().chain(cells.iter().copied()).collect();
        let message = home.fails(exit, &words);
        assert!(message.contains(says), "{cells:?}: {message}");
    }
}

#[test]
fn at_a_stage_the_first_number_is_the_lead_outcome() {
    let home = four_pots();
    home.ok(&["lift", "M8", "4g8", "5g5d2", ".", "12", "--on", "2026-09-12"]);
    let pots = home.json(&["pots", "M8"]);
    assert_eq!((&pots["pots"][1]["rooted_alive"], &pots["pots"][1]["dead"]), (&5.into(), &2.into()));
}

#[test]
fn the_sheet_is_alive_at_a_check_and_books_no_roots() {
    let home = four_pots();
    home.ok(&["trial", "layout", "M8", "--seed", "7"]);
    home.ok(&["check", "M8", "--in-order", "11 12 12 -", "--on", "2026-06-22"]);
    let total = &home.json(&["pots", "M8"])["total"];
    assert_eq!(
        (&total["alive"], &total["ever_rooted"], &total["looked_for"]),
        (&47.into(), &serde_json::Value::Null, &0.into())
    );
    assert!(
        home.fails(1, &["check", "M8", "--in-order", "1/2 1 1 1"])
            .contains("first number is how many are alive")
    );
}

#[test]
fn the_number_put_in_is_free_until_something_is_counted_and_then_only_rises() {
    let home = four_pots();
    home.ok(&["check", "M8", "--on", "2026-06-10"]);
    home.ok(&["trial", "correct", "M8", "--started", "P3=11"]);
    home.ok(&["check", "M8", "11", "=", "=", "=", "--on", "2026-06-22"]);
    let refused = home.fails(1, &["trial", "correct", "M8", "--started", "P3=9"]);
    assert!(refused.contains("hint: propagule check M8 P3:lost=2,cause=miscounted"), "{refused}");
    let raised = home.ok(&["trial", "correct", "M8", "--started", "P3=12"]);
    assert!(raised.contains("changed after the first count"), "{raised}");
    let trial = &home.json(&["trial", "show", "M8"])["trial"];
    assert_eq!(trial["is_started_changed"], true);
    let pasted = home.pasted(&refused).output().expect("runs");
    assert!(pasted.status.success(), "{}", String::from_utf8_lossy(&pasted.stderr));
}

#[test]
fn undo_says_what_it_takes_back_and_waits_for_a_yes() {
    let home = four_pots();
    let nothing = home.fails(1, &["undo"]);
    assert!(nothing.contains("nothing has been entered"), "{nothing}");
    home.ok(&["check", "M8", "11", "=", "=", "=", "--on", "2026-06-22"]);
    home.ok(&["note", "M8", "pale leaves"]);
    let asked = home.run(&["undo"]);
    assert_eq!(asked.code, 1);
    assert!(
        asked.out.contains("pale leaves") && asked.err.contains("hint: propagule undo --yes"),
        "{}",
        asked.out
    );
    home.ok(&["undo", "--yes"]);
    let back = home.ok(&["undo", "--yes"]);
    assert!(back.contains("check: P1 11 alive"), "{back}");
    assert_eq!(home.json(&["pots", "M8"])["total"]["alive"], 48);
    home.ok(&["spot", "frame", "--with", "growing place=cold frame"]);
    home.ok(&["care", "frame", "--water", "every 2 days", "--on", "2026-06-24"]);
    assert!(home.ok(&["undo", "--yes"]).contains("frame"));
}

#[test]
#[expect(clippy::too_many_lines, reason = "the commands of one grower, a word a line")]
fn a_trial_is_set_up_like_another_one() {
    let home = TestHome::new();
    home.ok(&[
        "trial",
        "new",
        "M1",
        "Lumetta rosea",
        "--arm",
        "dip: auxin=IBA 3000 mg/L quick dip",
        "--arm",
        "none: auxin=none",
        "--with",
        "kind=stem cutting; wood=softwood",
        "--pots",
        "3",
        "--pieces",
        "4",
        "--grade",
        "fills a 9 cm pot",
        "--done-by",
        "R: P1,P4",
        "--done-by",
        "S: P2,P5",
    ]);
    let show = |code: &str| home.json(&["trial", "show", code])["trial"].clone();
    let first = show("M1");
    assert_eq!(first["control"], 2, "the only arm that went without");
    assert_eq!(
        (&first["arms"][0]["replicates"][0]["operator"], &first["arms"][1]["replicates"][1]["operator"]),
        (&"R".into(), &"S".into())
    );
    let like =
        home.ok(&["trial", "new", "X7", "Corymbella pallida", "--like", "M1", "--with", "wood=hardwood"]);
    assert!(like.contains("P1, P2 and P3") && like.contains("wood hardwood"), "{like}");
    let like = show("X7");
    assert_eq!(
        (&like["grade"], &like["control"], &like["parent"]),
        (&"fills a 9 cm pot".into(), &2.into(), &serde_json::Value::Null)
    );
    assert_eq!(like["arms"][0]["replicates"].as_array().map(Vec::len), Some(3));
    assert!(home.ok(&["trial", "copy", "M1"]).contains("M2 is set up"));
    let copy = show("M2");
    assert_eq!(
        (&copy["parent"], &copy["relation"], &copy["species"]),
        (&"M1".into(), &"repeat".into(), &"Lumetta rosea".into())
    );
    home.ok(&["trial", "new", "G2", "Lumetta rosea", "--pieces", "4", "--regraft-of", "M1"]);
    assert_eq!(show("G2")["relation"], "regraft");
    home.ok(&[
        "trial",
        "new",
        "G3",
        "Lumetta rosea",
        "--pieces",
        "4",
        "--parent",
        "M1",
        "--as",
        "replaces",
        "--single-pieces",
    ]);
    assert_eq!((&show("G3")["relation"], &show("G3")["unit_is_piece"]), (&"replaces".into(), &true.into()));
    home.ok(&[
        "trial",
        "new",
        "S1",
        "Lumetta rosea",
        "--arm",
        "a: auxin=none",
        "--arm",
        "b: auxin=none; wound=light",
        "--shared-pots",
        "4x3",
        "--control",
        "a",
    ]);
    assert_eq!((&show("S1")["unit_is_piece"], &show("S1")["control"]), (&true.into(), &1.into()));
    home.ok(&["trial", "copy", "S1"]);
    assert_eq!(show("S2")["arms"][1]["replicates"], show("S1")["arms"][1]["replicates"]);
    assert!(
        home.fails(1, &["trial", "new", "S9", "Lumetta rosea", "--pieces", "4", "--done-by", "R: P7"])
            .contains("no pot or treatment P7")
    );
    assert!(
        home.fails(
            1,
            &[
                "trial",
                "new",
                "S9",
                "Lumetta rosea",
                "--arm",
                "a",
                "--arm",
                "b",
                "--pieces",
                "4",
                "--control",
                "c"
            ]
        )
        .contains("no treatment \"c\"")
    );
}

#[test]
fn pots_stand_in_the_order_of_their_tags() {
    let home = TestHome::new();
    home.ok(&[
        "trial",
        "new",
        "T1",
        "Lumetta rosea",
        "--arm",
        "a",
        "--arm",
        "b",
        "--pots",
        "6",
        "--pieces",
        "4",
        "--on",
        "2026-06-08",
    ]);
    home.ok(&["stick", "T1", "--on", "2026-06-08"]);
    let pots = home.json(&["trial", "pots", "T1"]);
    let codes: Vec<&str> =
        pots["pots"].as_array().expect("pots").iter().filter_map(|pot| pot["pot"].as_str()).collect();
    assert_eq!(codes, ["P1", "P2", "P3", "P4", "P5", "P6", "P7", "P8", "P9", "P10", "P11", "P12"]);
    let row = ["4", "4", "4", "4", "4", "4", "4", "4", "4", "3", "4", "4"];
    home.ok(&["check", "T1"].into_iter().chain(row).chain(["--on", "2026-06-22"]).collect::<Vec<_>>());
    let pots = home.json(&["pots", "T1"]);
    assert_eq!(
        (&pots["pots"][9]["dead"], &pots["pots"][9]["arm"], &pots["pots"][9]["last_look"]),
        (&1.into(), &"b".into(), &"2026-06-22".into())
    );
    let before = home.json(&["pots", "T1", "--on", "2026-06-10"]);
    assert_eq!(
        (&before["total"]["dead"], &before["pots"][0]["last_look"]),
        (&0.into(), &serde_json::Value::Null)
    );
}
