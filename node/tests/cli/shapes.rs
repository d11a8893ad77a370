//! What `--json` answers, field by field: written down from the program, so that no field changes or goes unseen.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::home::{SPRING, TestHome, ran};

/// Set to 1, it writes the shapes anew.
const WRITE: &str = "PROPAGULE_WRITE_DOCS";

/// Commands that answer; what they answer holds as many of its fields as can be had in one home.
const ASKED: [&[&str]; 22] = [
    &["init"],
    &["place"],
    &["trial", "new", "N1", "Ribes nigrum", "--pieces", "30"],
    &["stick", "N1", "--on", "2026-11-02"],
    &["check", "N1", "--on", "2026-11-20", "dead=2"],
    &["trial", "list"],
    &["trial", "show", "N1"],
    &["trial", "history", "N1"],
    &["due", "--as-of", "2026-12-20"],
    &["trial", "import", "spring.csv", "--dry-run"],
    &["publish", "M1", "--yes", "--now"],
    &["pool", "Morus nigra"],
    &["pool", "--from", "evidence.csv"],
    &["compare", "g01/t1", "--from", "evidence.csv", "--sites", "sites.csv"],
    &["plan", "--from", "evidence.csv", "--want", "12"],
    &["plant", "black mulberry"],
    &["circle"],
    &["key", "show"],
    &["peers", "list"],
    &["bundle", "out", "all.bundle"],
    &["store", "verify"],
    &["doctor"],
];

/// Paths of all fields with the kinds of value seen there.
fn gather(value: &Value, path: &str, found: &mut BTreeMap<String, BTreeSet<&'static str>>) {
    let kind = match value {
        Value::Null => "null",
        Value::Bool(_) => "yes or no",
        Value::Number(number) if number.is_f64() => "number",
        Value::Number(_) => "whole number",
        Value::String(_) => "text",
        Value::Array(_) => "list",
        Value::Object(_) => "object",
    };
    if !path.is_empty() {
        found.entry(path.to_owned()).or_default().insert(kind);
    }
    match value {
        Value::Array(all) => all.iter().for_each(|one| gather(one, &format!("{path}[]"), found)),
        Value::Object(fields) => {
            for (name, field) in fields {
                let path = if path.is_empty() { name.clone() } else { format!("{path}.{name}") };
                gather(field, &path, found);
            }
        }
        _ => {}
    }
}

fn home() -> TestHome {
    let home = TestHome::with_trial();
    // Whatever else listens on this machine.
    let config = home.path().join("config.toml");
    let settings = fs::read_to_string(&config).expect("reads").replace("/tcp/48620", "/tcp/0");
    fs::write(config, settings).expect("writes");
    home.write("spring.csv", SPRING.replace("2027-04-20", "2026-10-20"));
    let evidence = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/evidence.csv");
    home.write("evidence.csv", fs::read(evidence).expect("reads"));
    let sites = (1..=6).map(|i| format!("g0{i},{},{}\n", 8 + i, 700 + 20 * i)).collect::<String>();
    home.write("sites.csv", format!("grower,temp,rain\n{sites}"));
    home
}

#[test]
fn the_shapes_of_answers_are_written_down() {
    let home = home();
    let mut text = format!(
        "# Answers as JSON\n\nEvery command that answers takes `--json`; nothing else then stands on stdout. Fields are only ever added while \
         the number in `format` stays. Below is what the program answered in one invented home, field by field; `[]` stands for \
         each item of a list. Made from the program; do not edit. After a change: `{WRITE}=1 cargo test -p propagule-node --test cli \
         shapes`\n"
    );
    for words in ASKED {
        let ran = ran(&home.command(words).arg("--json").output().expect("runs"));
        let answer: Value =
            serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{words:?}: {e} {}", ran.err));
        let format =
            answer["format"].as_str().unwrap_or_else(|| panic!("{words:?} names no format")).to_owned();
        let mut found = BTreeMap::new();
        gather(&answer, "", &mut found);
        let _ = write!(text, "\n## `propagule {}`: {format}\n\n", words.join(" "));
        for (path, kinds) in found {
            let kinds: Vec<&str> = kinds.into_iter().collect();
            let _ = writeln!(text, "- `{path}`: {}", kinds.join(", or "));
        }
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/json.md");
    if std::env::var_os(WRITE).is_some_and(|value| value == "1") {
        fs::write(&path, &text).expect("writes");
    }
    let written = fs::read_to_string(&path).unwrap_or_default();
    let differs = written.lines().zip(text.lines()).find(|(one, other)| one != other);
    assert!(
        written == text,
        "node/docs/json.md is stale, first at {differs:?}: is a field gone or another kind of value? If it is right, write it \
         anew: {WRITE}=1 cargo test -p propagule-node --test cli shapes"
    );
}
