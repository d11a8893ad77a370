//! The life of a lot in the words of its kind: every screen of one trial per kind, read for the words of the others.

#[path = "kinds/lives.rs"]
mod lives;

use lives::{DAYS, LIVES, Life, foreign, visible};

use crate::home::TestHome;

/// The screens of a life, as they are met.
struct Screens {
    home: TestHome,
    all: Vec<(String, String)>,
}

impl Screens {
    fn new() -> Self {
        let home = TestHome::new();
        home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
        home.ok(&["settings", "publishing", "on"]);
        Self { home, all: Vec::new() }
    }

    /// What a command says.
    fn keep(&mut self, args: &[&str]) {
        self.all.push((args.join(" "), self.home.ok(args)));
    }

    /// What a command says when it is refused.
    fn refused(&mut self, args: &[&str]) {
        let ran = self.home.run(args);
        assert!(ran.code != 0, "{args:?}: {}", ran.out);
        self.all.push((args.join(" "), format!("{}{}", ran.out, ran.err)));
    }

    /// All that is due by a clock, on the screen and in the calendar.
    fn due(&mut self, now: &'static str) {
        self.home.at(now);
        for args in [&["due"][..], &["due", "--all"]] {
            self.keep(args);
        }
        let file = self.home.write("bench.ics", "");
        self.home.ok(&["due", "--ics", &file, "--force"]);
        let calendar = std::fs::read_to_string(&file).expect("a calendar").replace("\r\n ", "");
        // Whoever shows a calendar never shows the names by which its entries are found again.
        let shown: Vec<&str> = calendar.lines().filter(|line| !line.starts_with("UID:")).collect();
        self.all.push((format!("calendar at {now}"), shown.join("\n")));
    }

    /// A count at a stage, typed by the words of the kind.
    fn count(&mut self, stage: &[&str], day: &str) {
        self.keep(&[&[stage[0], "K1", "--on", day][..], &stage[1..]].concat());
        for args in [&["trial", "show", "K1", "--detail"][..], &["pots", "K1"], &["trial", "pots", "K1"]] {
            self.keep(args);
        }
    }

    fn papers(&mut self) {
        for paper in ["labels", "sheet", "report"] {
            let file = self.home.write(&format!("{paper}.html"), "");
            self.home.ok(&["trial", paper, "K1", "--out", &file, "--force"]);
            let page = visible(&std::fs::read_to_string(&file).expect("a page"));
            self.all.push((paper.to_owned(), page));
        }
    }
}

fn set_up(screens: &mut Screens, life: &Life) {
    let with = format!("kind={}; {}", life.kind, life.with);
    let new = |code: &'static str| ["trial", "new", code, "Lumetta rosea", "--on", "2026-06-06"];
    let arms = ["--arm", "A: cultivar=one; pieces=6", "--arm", "B: cultivar=two; pieces=6"];
    let more = ["--with", &with, "--question", "Which is better?", "--lift", "2026-08-29"];
    screens.home.at("2026-06-06T12:00:00Z");
    screens.keep(&[&new("K1")[..], &more, &arms].concat());
    screens.keep(&[&new("K2")[..], &["--with", &with, "--pieces", "5"]].concat());
    screens.refused(&["check", "K1", "A:alive=6"]);
    screens.keep(&["trial", "show", "K1"]);
    screens.due("2026-06-06T13:00:00Z");
    screens.keep(&["stick", "K1", "--on", "2026-06-06"]);
}

/// What cannot be, before anything succeeded.
fn slips(screens: &mut Screens, life: &Life) {
    let first = life.stages[0][0];
    for args in [
        &["check", "K1", "A:g2"][..],
        &["check", "K1", "A:a3,r5"],
        &["check", "K1", "A:dead=1,of-rooted=1"],
        &["check", "K1", "A:xylem=1"],
        &["check", "K1", "A:"],
        &["check", "K1", "A:alive=7"],
        &["check", "K1", "6x", "6"],
        &["check", "K1", "6r7", "6"],
        &["check", "K1", "6"],
        &[first, "K1", "A:a2,r4", "B:r6"],
        &[first, "K1", "=", "="],
        &[first, "K1", "4r3", "6"],
        &[first, "K1", "4!", "6"],
        &[first, "K1", "--in-order", "1/1/1/1/1,6"],
        &[first, "K1", "A:r2", "B:r6"],
    ] {
        screens.refused(args);
    }
}

fn lived(life: &Life) -> Screens {
    let mut screens = Screens::new();
    set_up(&mut screens, life);
    screens.home.at("2026-07-16T12:00:00Z");
    screens.keep(&["check", "K1", "--on", "2026-07-01", "A:alive=6"]);
    screens.keep(&["trial", "show", "K1", "--detail"]);
    slips(&mut screens, life);
    screens.keep(&["check", "K1", "--on", "2026-07-15", "6r1", "."]);
    screens.keep(&["fix", "K1", "last", "A:alive=6,r2"]);
    screens.due("2026-07-17T12:00:00Z");
    screens.due("2026-08-28T12:00:00Z");
    screens.papers();
    screens.home.at("2026-09-20T12:00:00Z");
    screens.count(life.stages[0], DAYS[0]);
    screens.refused(&["check", "K1", "--on", "2026-09-10", "A:r2,g3"]);
    screens.due("2026-09-20T12:00:00Z");
    // Nothing is published before the day on which this program was made.
    screens.home.at("2026-11-10T12:00:00Z");
    screens.refused(&["publish", "K1"]);
    for (stage, day) in life.stages.iter().zip(DAYS).skip(1) {
        screens.home.at(if day < "2027" { "2026-11-10T12:00:00Z" } else { "2027-10-16T12:00:00Z" });
        screens.count(stage, day);
    }
    let again: Vec<&str> = std::iter::once(life.stages[0][0])
        .chain(["K1", "--on", "2027-10-16"])
        .chain(life.stages[0][1..].iter().copied())
        .collect();
    screens.refused(&again);
    screens.due("2027-04-18T12:00:00Z");
    screens.due("2028-01-10T12:00:00Z");
    for args in [
        &["trial", "list"][..],
        &["trial", "history", "K1"],
        &["undo"],
        &["publish", "K1"],
        &["trial", "correct", "K1", "--rooted-rule", "new growth", "--lift", "2026-08-30"],
        &["trial", "history", "K1"],
        &["trial", "close", "K1", "--because", "done", "--rest", "not-known"],
        &["trial", "show", "K1"],
    ] {
        match args {
            ["undo"] | ["publish", _] => screens.refused(args),
            _ => screens.keep(args),
        }
    }
    screens.refused(&["check", "K1", "A:alive=6"]);
    screens.papers();
    screens
}

#[test]
fn no_screen_of_a_kind_uses_the_word_of_another() {
    let mut found = Vec::new();
    for life in &LIVES {
        let screens = lived(life).all;
        for (name, text) in &screens {
            found.extend(
                foreign(text, life).map(|(word, line)| format!("{}, {name}: {word}: {line}", life.kind)),
            );
        }
        let all: String = screens.iter().map(|(_, text)| text.as_str()).collect();
        for word in life.own {
            assert!(all.contains(word), "{word} of {}:\n{all}", life.kind);
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}
