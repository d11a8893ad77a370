//! What `--json` answers, field by field: written down from the program, so that no field changes or goes unseen.

mod asked;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::fs;
use std::io::Read;
use std::path::Path;

use serde_json::Value;

use crate::home::{SPRING, TestHome, ran};
use crate::made::{again, compare_document};
use crate::manual::commands;
use crate::schema;
use crate::serving::Serving;
use asked::{ASKED, ASKED_OF_A_NODE, NOT_SHOWN, WITHOUT};

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

/// The format of a file of an archive, to whose schema it keeps.
fn kept(archive: &str, name: &str) -> String {
    let file = fs::File::open(archive).expect("opens");
    let mut archive = zip::ZipArchive::new(file).expect("an archive");
    let mut text = String::new();
    archive.by_name(name).expect("it is there").read_to_string(&mut text).expect("reads");
    let schema = schema::check(&text).unwrap_or_else(|| panic!("{name} names no format: {text}"));
    format!("propagule.{schema}/1")
}

/// What one command answered: its format, and a line for each field.
struct Shape {
    command: String,
    format: String,
    fields: String,
}

fn shape(home: &TestHome, words: &[&str]) -> Shape {
    let ran = ran(&home.command(words).arg("--json").output().expect("runs"));
    assert!(!ran.out.is_empty(), "{words:?}: {}", ran.err);
    shape_of(["propagule"].iter().chain(words).copied().collect::<Vec<_>>().join(" "), &ran.out)
}

fn shape_of(command: String, text: &str) -> Shape {
    let answer: Value = serde_json::from_str(text).unwrap_or_else(|e| panic!("{command}: {e} {text}"));
    let format = answer["format"].as_str().unwrap_or_else(|| panic!("{command} names no format")).to_owned();
    let mut found = BTreeMap::new();
    gather(&answer, "", &mut found);
    let mut fields = String::new();
    for (path, kinds) in found {
        let kinds: Vec<&str> = kinds.into_iter().collect();
        let _ = writeln!(fields, "- `{path}`: {}", kinds.join(", or "));
    }
    Shape { command, format, fields }
}

/// The shapes of all answers; one that was seen before is named by the command that showed it.
fn written(text: &mut String, shapes: &[Shape]) {
    for (index, Shape { command, format, fields }) in shapes.iter().enumerate() {
        let _ = write!(text, "\n## `{command}`: {format}\n\n");
        let same = |other: &&Shape| other.format == *format && other.fields == *fields;
        match shapes[..index].iter().find(same) {
            Some(other) => {
                let _ = writeln!(text, "The same fields as of `{}`.", other.command);
            }
            None => text.push_str(fields),
        }
    }
}

#[test]
fn the_shapes_of_answers_are_written_down() {
    let home = home();
    let mut text = format!(
        "# Answers as JSON\n\nEvery command that answers takes `--json`; nothing else then stands on stdout. Fields are only ever added while \
         the number in `format` stays. Below is what the program answered in one invented home, field by field; `[]` stands for \
         each item of a list. What a format can hold altogether, with types and what each field means, stands in \
         [`schema/`](schema/), one JSON Schema file a format, made from the types of the program: `pool.json` is of \
         `propagule.pool/1`. What cannot be done is answered by `propagule.fault/1`, with the exit code that it has \
         without `--json`. `command.json` and `socket_fault.json` are what goes over the socket of a serving node, which only \
         speaks with its own version. A reader has to pass over fields that it does not know. Made from the program; do not \
         edit. After a change: {}\n",
        again("shapes")
    );
    let mut shapes: Vec<Shape> = ASKED.iter().map(|words| shape(&home, words)).collect();
    let serving =
        Serving::start(home.command(&["serve", "--listen", "/ip4/127.0.0.1/tcp/0", "--page-port", "0"]));
    shapes.extend(ASKED_OF_A_NODE.iter().map(|words| {
        let shape = shape(&home, words);
        Shape { command: format!("{} (while the node runs)", shape.command), ..shape }
    }));
    drop(serving);
    let archive = home.path().with_file_name("exported.zip").display().to_string();
    let restored = shape(&TestHome::bare(), &["restore", &archive]);
    shapes.push(Shape { command: "propagule restore exported.zip".to_owned(), ..restored });
    // A list of records and keys, which the document cannot name: they are others each time.
    let kept = ["manifest.json", "trust.json"].map(|name| kept(&archive, name));
    written(&mut text, &shapes);
    for format in formats() {
        let is_shown = text.contains(&format!(": {format}\n")) || kept.contains(&format);
        let is_excused = NOT_SHOWN.iter().any(|(known, _)| *known == format);
        assert!(
            is_shown != is_excused,
            "{format}: no answer of ASKED has it, or NOT_SHOWN names it, and not both"
        );
    }
    compare_document("json.md", &text, "shapes");
}

/// Every format that the source of the program names.
fn formats() -> BTreeSet<String> {
    fn gather(folder: &Path, found: &mut BTreeSet<String>) {
        for entry in fs::read_dir(folder).expect("lists") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                gather(&path, found);
            } else if path.extension().is_some_and(|kind| kind == "rs") {
                let text = fs::read_to_string(&path).expect("reads");
                let named = text.split("\"propagule.").skip(1).filter_map(|rest| rest.split_once('"'));
                let formats = named.filter(|(name, _)| name.ends_with("/1"));
                found.extend(formats.map(|(name, _)| format!("propagule.{name}")));
            }
        }
    }
    let mut found = BTreeSet::new();
    let house = Path::new(env!("CARGO_MANIFEST_DIR"));
    for sources in ["src", "app/src", "answer/src", "bench/src", "present/src"] {
        gather(&house.join(sources), &mut found);
    }
    assert!(found.len() > 40, "{found:?}");
    found
}

#[test]
fn every_format_has_a_schema() {
    let files = fs::read_dir(schema::folder()).expect("lists").map(|entry| entry.expect("an entry").path());
    let titles = files.map(|path| {
        let text = fs::read_to_string(path).expect("reads");
        let schema: Value = serde_json::from_str(&text).expect("JSON");
        schema["title"].as_str().expect("a title").to_owned()
    });
    let titles: BTreeSet<String> = titles.filter(|title| title.starts_with("propagule.")).collect();
    assert_eq!(titles, formats());
}

/// The schemas that documents are held against are closed: each field of an answer that has another name is found.
#[test]
fn a_field_of_another_name_is_found() {
    if !schema::is_checked("a_field_of_another_name_is_found") {
        return;
    }
    let home = home();
    for words in [&["trial", "show", "M1"][..], &["doctor"], &["place"], &["pool", "--from", "evidence.csv"]]
    {
        let answer = home.json(words);
        let name =
            schema::name_of(answer["format"].as_str().expect("a format")).expect("one of ours").to_owned();
        for field in answer.as_object().expect("an object").keys() {
            let mut renamed = answer.clone();
            let value = renamed.as_object_mut().and_then(|fields| fields.remove(field)).expect("it is there");
            renamed[format!("{field}_")] = value;
            assert!(!schema::faults(&name, &renamed).is_empty(), "{name}: {field}");
        }
    }
    let mut deep = home.json(&["trial", "show", "M1"]);
    deep["trial"]["arms"][0]["lift"]["dead"] = "seven".into();
    assert!(!schema::faults("trial", &deep).is_empty(), "text in the place of a number");
}

#[test]
fn every_command_is_asked_or_has_a_reason_not_to_answer() {
    let all = commands();
    let is_leaf = |words: &[String]| {
        !all.iter().any(|other| other.words.len() > words.len() && other.words.starts_with(words))
    };
    let leaves = all.iter().map(|one| &one.words).filter(|words| is_leaf(words));
    for words in leaves {
        let words: Vec<&str> = words[1..].iter().map(String::as_str).collect();
        let is_asked = ASKED.iter().chain(ASKED_OF_A_NODE).any(|asked| asked.starts_with(&words));
        let is_excused = WITHOUT.iter().any(|(command, _)| words == [*command]);
        assert!(
            is_asked != is_excused,
            "{words:?}: in ASKED of shapes/asked.rs, or in WITHOUT, and not in both"
        );
    }
}
