//! Twenty-five lines that a grower types in a year, in a fresh home and in order.

use crate::home::{Ran, TestHome};
use crate::manual::words_of_a_shell;

/// The lines as they are typed.
pub(crate) const LINES: &str = include_str!("worked_lines.txt");
/// The same as they were typed before 0.2.
pub(crate) const BEFORE: &str = include_str!("worked_lines_before.txt");
/// Stands for a line that could not be typed before.
pub(crate) const NO_LINE: &str = "-";

/// From which line on it is which day; counted from 1.
const DAYS: &[(usize, &str)] = &[
    (1, "2026-06-06T12:00:00Z"),
    (11, "2026-07-13T12:00:00Z"),
    (14, "2026-07-20T12:00:00Z"),
    (16, "2026-08-29T12:00:00Z"),
    (19, "2026-10-17T12:00:00Z"),
    (20, "2027-03-20T12:00:00Z"),
];

/// The line that corrects an entry names it by the number that the lift was answered with, which is no other line's.
const LIFT: usize = 16;
const FIX: usize = 17;
/// Before 0.2 the entry that is undone, which is the lift, had to be named by its number.
const UNDO: usize = 18;

/// Lines that are asked back, with the code of the question, and what answers it: a treatment of several pots is counted
/// pot by pot, since nobody but the grower knows from which pot a plant came.
const ASKED: &[(usize, &str, &[&str])] = &[
    (
        20,
        "arm-counted-by-pot",
        &["propagule sell M2 P1=4 --on 2027-03-20", "propagule sell M2 P2=2 --on 2027-03-20"],
    ),
    (21, "arm-counted-by-pot", &["propagule final M2 P2:finished=1 P3:finished=1 --rest dead"]),
    // Nothing is published yet, and nobody is trusted.
    (23, "species-without-records", &[]),
];

/// What the answers say, by the line that they are of.
const SAYS: &[(usize, &str)] = &[
    (1, "8b"),
    (2, "units us"),
    (3, "old hedge"),
    (4, "mist house"),
    (5, "24"),
    (6, "N1"),
    (7, "48"),
    (8, "120"),
    (9, "M2-labels.html"),
    (10, "24"),
    (11, "48"),
    (12, "195"),
    (13, "M2"),
    (14, "tipped tray"),
    (15, "undo J1"),
    (16, "P6"),
    (17, "P6"),
    (18, "entry"),
    (19, "cold frame is a new bench of yours"),
    (20, "sold"),
    (21, "finished"),
    (22, "bench.ics"),
    (24, "12"),
    (25, "withdraw M2 --reason"),
];

/// The number of the entry that an answer says it saved.
fn entry_of(answer: &str) -> &str {
    let behind = answer.split("as entry ").nth(1).expect("a number");
    behind.split(|c: char| !c.is_ascii_digit()).next().expect("digits")
}

/// Whose words a year is typed in.
#[derive(Clone, Copy, PartialEq)]
enum Words {
    Now,
    Before,
}

#[test]
fn a_year_is_typed_in_twenty_five_lines() {
    a_year(LINES, Words::Now);
}

#[test]
fn the_same_year_in_the_words_of_before_is_still_understood() {
    a_year(BEFORE, Words::Before);
}

fn a_year(lines: &str, words: Words) {
    let home = TestHome::bare();
    home.ok(&["init", "--network", "test"]);
    let lines: Vec<&str> = lines.lines().collect();
    assert_eq!(lines.len(), 25);
    let mut lift = String::new();
    for (n, line) in (1..).zip(&lines).filter(|(_, line)| **line != NO_LINE) {
        if let Some((_, now)) = DAYS.iter().find(|(from, _)| *from == n) {
            home.at(now);
        }
        let line = with_its_entry(n, line, &lift);
        let answers = answers(&home, n, &line);
        for answer in &answers {
            assert_eq!(answer.code, 0, "{line}\n{answer:?}");
            let says_new_names = answer.err.contains("\" is now \"");
            let is_answer_of_a_question = ASKED.iter().any(|(of, ..)| *of == n);
            let is_old = words == Words::Before && !is_answer_of_a_question && has_old_names(&line);
            assert_eq!(says_new_names, is_old, "{line}\n{answer:?}");
        }
        let said: String = answers.iter().flat_map(|answer| [answer.out.as_str(), &answer.err]).collect();
        for (_, what) in SAYS.iter().filter(|(of, _)| *of == n) {
            assert!(said.to_lowercase().contains(&what.to_lowercase()), "{line}\n{said}");
        }
        if n == LIFT {
            entry_of(&said).clone_into(&mut lift);
        }
    }
}

fn has_old_names(line: &str) -> bool {
    let words = words_of_a_shell(line);
    !propagule_node::cli::renamed::old_names(words.into_iter().skip(1).collect()).is_empty()
}

/// The line with the number of the entry that it corrects or undoes, which only the answers before it tell.
fn with_its_entry(n: usize, line: &str, lift: &str) -> String {
    match n {
        FIX | UNDO => line
            .replace("fix M2 4", &format!("fix M2 {lift}"))
            .replace("--entry 4", &format!("--entry {lift}")),
        _ => line.to_owned(),
    }
}

/// What the line is answered with, or what the lines are that answer its question.
fn answers(home: &TestHome, n: usize, line: &str) -> Vec<Ran> {
    let answer = home.shell(line);
    let Some((_, code, instead)) = ASKED.iter().find(|(of, ..)| *of == n) else { return vec![answer] };
    let asked = home.shell(&format!("{line} --json"));
    assert!(asked.out.contains(code) && answer.err.contains("\nhint: "), "{line}\n{asked:?}");
    instead.iter().map(|line| home.shell(line)).collect()
}

#[test]
fn a_line_in_old_words_does_the_same_and_says_the_new_one() {
    let (old, new) = (TestHome::new(), TestHome::new());
    let said = old.shell("propagule place --zone 8b --hemisphere north --json");
    assert_eq!(said.err, "note: \"place\" is now \"site\"\n");
    assert_eq!(said.out, new.shell("propagule site --zone 8b --hemisphere north --json").out);
    let said = old.shell("propagule spot frame --with 'growing place=cold frame'");
    assert_eq!(said.err, "note: \"spot\" is now \"bench\", \"--with\" is now \"--about\"\n");
    assert_eq!(said.out, new.shell("propagule bench frame --about 'structure=cold frame'").out);
    let refused = old.shell("propagule place --zone 99 --hemisphere north");
    assert_eq!(refused.code, new.shell("propagule site --zone 99 --hemisphere north").code);
}
