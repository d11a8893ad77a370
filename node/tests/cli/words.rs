//! What the screens of a season say: nothing that no propagator says, and percent set solid.

use propagule_present::words::never_said::never_said;

use crate::home::{TestHome, ran};
use crate::language::{faults, helped, prose};

/// So wide that no sentence is broken into lines.
const WIDE: &str = "2000";

/// A season of two trials as a grower enters it, with what each screen said.
pub(crate) fn season() -> Vec<(String, String)> {
    let home = TestHome::new();
    let mut said = Vec::new();
    let mut run = |words: &[&str]| {
        let ran = ran(&home.command(words).env("COLUMNS", WIDE).output().expect("the program starts"));
        said.push((words.join(" "), format!("{}\n{}", ran.out, ran.err)));
    };
    run(&["site", "--zone", "8b", "--hemisphere", "north"]);
    run(&["bench", "mist house", "--about", "structure=hoop house; humidity=mist"]);
    run(&["stock", "old hedge", "--about", "age=30 years"]);
    let new = ["trial", "new", "M2", "Morus nigra", "--on", "2026-06-06", "--method", "kind=stem cutting"];
    let arms = [
        "--treatment",
        "dip: auxin=IBA 3000 ppm",
        "--treatment",
        "none: auxin=none",
        "--pots",
        "3",
        "--per-pot",
        "4",
    ];
    run(&[&new[..], &arms[..]].concat());
    run(&["trial", "new", "N1", "Ribes nigrum", "--method", "kind=stem cutting", "--count", "30"]);
    run(&["due", "--as-of", "2026-06-06"]);
    run(&["stick", "M2", "--on", "2026-06-06"]);
    run(&["stick", "N1", "--on", "2026-06-06"]);
    run(&["bench", "mist house", "--trials", "M2", "--on", "2026-06-06"]);
    run(&["log", "mist house", "--mist", "8 s every 4 min 07:00-20:00", "--on", "2026-06-06"]);
    run(&["check", "M2", "--on", "2026-06-20"]);
    run(&["check", "M2", "P5:lost=4,cause=tipped", "--on", "2026-07-20", "--yes"]);
    run(&[
        "lift",
        "M2",
        "P1:rooted=4",
        "P2:rooted=3,dead=1",
        "P3:rooted=2,green=2",
        "P4:rooted=1,green=3",
        "--on",
        "2026-08-29",
    ]);
    run(&["lift", "M2", "P6:rooted=4", "--on", "2026-08-29"]);
    run(&["fix", "M2", "5", "P6:rooted=3,dead=1"]);
    run(&["move", "M2", "none", "--bench", "cold frame", "--on", "2026-10-17"]);
    for screen in [
        &["trial", "show", "M2"][..],
        &["trial", "show", "M2", "--detail"],
        &["trial", "show", "N1"],
        &["trial", "list"],
        &["trial", "history", "M2"],
        &["trial", "pots", "M2"],
        &["due", "--as-of", "2026-12-01", "--all"],
        &["bench"],
        &["stock"],
        &["publish", "M2", "--preview"],
        &["publish", "M2", "--yes"],
        &["pool", "Morus nigra"],
        &["pool", "Morus nigra", "--detail"],
        &["compare", "M2"],
        &["plan", "Morus nigra", "--want", "12"],
        &["undo"],
        &["note", "M2", "a note"],
        &["trial", "close", "N1", "--rest", "not-seen"],
        // What is refused.
        &["trial", "show", "M11"],
        &["lift", "M2", "P9:rooted=1"],
        &["check", "M2", "P1:alive=9"],
        &["stick", "M2"],
    ] {
        run(screen);
    }
    said
}

#[test]
fn no_screen_of_a_season_says_what_no_propagator_says() {
    let mut wrong = Vec::new();
    for (command, screen) in season() {
        for line in screen.lines().filter(|line| !line.contains("propagule ")) {
            wrong.extend(never_said(line).map(|word| format!("{command}: {word:?} in {line}")));
            if line.contains(" %") && !line.trim_start().starts_with('0') {
                wrong.push(format!("{command}: percent is not set solid in {line}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What stands in help, in faults and in documents that growers read; headings and words of a record's own are no prose.
#[test]
fn nothing_that_is_written_says_what_no_propagator_says() {
    let documents = ["README.md", "node/docs/guide.md", "node/docs/two-homes.md"].map(prose);
    let written = helped().into_iter().chain(faults()).chain(documents.into_iter().flatten());
    let wrong: Vec<String> =
        written.filter_map(|text| never_said(&text).map(|word| format!("{word:?} in {text}"))).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
