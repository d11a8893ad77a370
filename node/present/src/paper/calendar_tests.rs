use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::paper::skip;

fn entry(summary: &str, description: &str) -> Entry {
    Entry {
        uid: "m1-lift@bench.propagule".to_owned(),
        day: "2026-08-29".parse().expect("a day"),
        summary: summary.to_owned(),
        description: description.to_owned(),
        alarm: false,
    }
}

/// Undoes the folding as section 3.1 says: a line break followed by one white-space character is removed.
fn unfolded(file: &str) -> String {
    file.replace("\r\n ", "")
}

#[test]
fn a_whole_file() {
    let lift = Entry { alarm: true, ..entry("Lift M1", "") };
    let expected = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Propagule//Bench//EN\r\nCALSCALE:GREGORIAN\r\n\
        BEGIN:VEVENT\r\nUID:m1-lift@bench.propagule\r\nDTSTAMP:20260605T080000Z\r\n\
        DTSTART;VALUE=DATE:20260829\r\nSUMMARY:Lift M1\r\nTRANSP:TRANSPARENT\r\n\
        BEGIN:VALARM\r\nACTION:DISPLAY\r\nDESCRIPTION:Lift M1\r\nTRIGGER:PT7H\r\nEND:VALARM\r\n\
        END:VEVENT\r\nEND:VCALENDAR\r\n";
    assert_eq!(calendar(std::slice::from_ref(&lift), "20260605T080000Z"), expected);
    assert_eq!(calendar(&[lift], "2026-06-05T08:00:00Z"), expected);
}

/// The example of RFC 5545, section 3.1: this description, in lines of at most 75 octets.
#[test]
fn long_lines_are_folded() {
    let text = "This is a long description that exists on a long line.";
    let file = calendar(&[entry("s", text)], "20260605T080000Z");
    assert!(file.contains(&format!("DESCRIPTION:{text}\r\n")), "66 octets need no fold");
    let file = calendar(&[entry("s", &text.repeat(3))], "20260605T080000Z");
    let lines: Vec<&str> = file.split("\r\n").filter(|line| line.contains("long")).collect();
    assert_eq!(lines.len(), 3);
    assert_eq!((lines[0].len(), lines[1].len()), (75, 75), "{lines:?}");
    assert!(lines[1..].iter().all(|line| line.starts_with(' ')));
    assert!(unfolded(&file).contains(&text.repeat(3)));
}

/// The example of RFC 5545, section 3.3.11: commas and line breaks of a text.
#[test]
fn text_is_escaped() {
    let meant = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.";
    assert_eq!(escaped(meant), r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared.");
    assert_eq!(escaped(r"a,b;c\d:e"), r"a\,b\;c\\d:e", "a colon needs none");
    assert_eq!(escaped("one\r\ntwo\rthree\ttab\u{7}"), r"one\ntwo\nthree tab");
}

#[test]
fn nothing_typed_can_add_a_line() {
    let file = calendar(&[entry("x\r\nEND:VCALENDAR", "y\nATTACH:z")], "20260605T080000Z\r\nX:1");
    assert!(file.contains("SUMMARY:x\\nEND:VCALENDAR\r\n"));
    assert!(!file.contains("\r\nATTACH") && !file.contains("\r\nX:"));
}

proptest! {
    #[test]
    fn lines_are_short_whole_and_come_back(text in "\\PC{0,300}") {
        let file = calendar(&[entry(&text, &text)], "20260605T080000Z");
        prop_assert!(file.ends_with("END:VCALENDAR\r\n"));
        for line in file.split("\r\n") {
            prop_assert!(line.len() <= 75 && !line.contains(['\r', '\n']), "{}", line);
        }
        let summary = format!("SUMMARY:{}\r\n", escaped(&text));
        prop_assert!(unfolded(&file).contains(&summary));
    }
}

#[test]
fn an_outside_parser_reads_the_same() {
    let Some(python) = std::env::var_os("PROPAGULE_PYTHON").filter(|path| !path.is_empty()) else {
        return skip("an_outside_parser_reads_the_same", "PROPAGULE_PYTHON is not set");
    };
    let has_icalendar = Command::new(&python).args(["-c", "import icalendar"]).output();
    if !has_icalendar.is_ok_and(|output| output.status.success()) {
        return skip("an_outside_parser_reads_the_same", "PROPAGULE_PYTHON has no package icalendar");
    }
    let description = "Müller's bed; 3 pots, \"A\" and B\\C\nsecond line … ".repeat(9);
    let entries = [
        Entry { alarm: true, ..entry("Lift, all arms: M1 🌱", description.trim_end()) },
        Entry {
            uid: "m2-spring@bench.propagule".to_owned(),
            day: "2199-12-31".parse().expect("a day"),
            ..entry("ß".repeat(80).as_str(), "")
        },
    ];
    let understood = icalendar_reads(&python, &calendar(&entries, "20260605T080000Z"));
    let event = |entry: &Entry| {
        json!({
            "uid": entry.uid, "day": entry.day, "stamp": "2026-06-05T08:00:00+00:00", "summary": entry.summary,
            "description": entry.description, "alarms": if entry.alarm { vec!["7:00:00"] } else { vec![] }, "faults": [],
        })
    };
    assert_eq!(understood, json!({ "events": entries.iter().map(event).collect::<Vec<_>>(), "faults": [] }));
}

fn icalendar_reads(python: &std::ffi::OsStr, file: &str) -> Value {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/paper/calendar_check.py");
    let mut child = Command::new(python)
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the Python that was named starts");
    child.stdin.take().expect("piped").write_all(file.as_bytes()).expect("the script reads");
    let output = child.wait_with_output().expect("the script ends");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("JSON")
}
