//! The files in `docs/schema/`: compared, or written anew.

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

use super::all;
use super::only_added::gone;
use crate::schema::folder;
use propagule_present::words::never_said::never_said;
use serde_json::Value;

/// What writes the files.
const AGAIN: &str = "PROPAGULE_WRITE_DOCS=1 cargo test -p propagule-node --lib schemas";
/// What goes over the socket may lose fields, since both ends are of one version.
const NOT_PROMISED: [&str; 2] = ["command", "socket_fault"];

fn file(name: &str) -> PathBuf {
    folder().join(format!("{name}.json"))
}

/// Names and texts of the files that are there.
fn kept() -> BTreeMap<String, String> {
    let files = fs::read_dir(folder()).expect("lists").map(|entry| entry.expect("an entry").path());
    let named = files.map(|path| {
        let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
        (name, fs::read_to_string(path).expect("reads"))
    });
    named.collect()
}

/// Fails where a format has lost what its file holds, also where files are to be written: fields are only ever added.
#[test]
fn the_files_of_schemas_are_those_of_the_types_and_no_field_is_gone() {
    let made = all();
    for (name, older) in kept().iter().filter(|(name, _)| !NOT_PROMISED.contains(&name.as_str())) {
        let newer = made.get(name).unwrap_or_else(|| panic!("the format of docs/schema/{name}.json is gone"));
        let gone = gone(&serde_json::from_str(older).expect("JSON"), newer);
        assert!(
            gone.is_empty(),
            "propagule.{name}/1 has lost {gone:?}: without them it needs another number"
        );
    }
    if std::env::var_os("PROPAGULE_WRITE_DOCS").is_some_and(|value| value == "1") {
        for (name, schema) in &made {
            fs::write(file(name), format!("{schema:#}\n")).expect("writes");
        }
    }
    let kept = kept();
    for (name, schema) in &made {
        let (kept, made) = (kept.get(name).map_or("", String::as_str), format!("{schema:#}\n"));
        let differs = kept.lines().zip(made.lines()).find(|(one, other)| one != other);
        assert!(
            kept == made,
            "docs/schema/{name}.json is not of its type, first at {differs:?}; write it: {AGAIN}"
        );
    }
    assert!(kept.keys().eq(made.keys()), "a file in docs/schema is of no type: {:?}", kept.keys());
}

/// Words for which a reader of JSON has no other name: that of the protocol, and of the table of records.
const OF_RECORDS: [&str; 2] = ["gossip", "by stem"];

fn descriptions<'a>(schema: &'a Value, found: &mut Vec<&'a str>) {
    match schema {
        Value::Object(keys) => {
            found.extend(keys.get("description").and_then(Value::as_str));
            for value in keys.values() {
                descriptions(value, found);
            }
        }
        Value::Array(values) => {
            for value in values {
                descriptions(value, found);
            }
        }
        _ => {}
    }
}

#[test]
fn what_describes_a_field_has_no_word_that_growers_do_not_say() {
    let schemas = all();
    let mut found = Vec::new();
    for schema in schemas.values() {
        descriptions(schema, &mut found);
    }
    assert!(found.len() > 1_000, "only {} descriptions were found", found.len());
    let said = |text: &&str| never_said(text).filter(|word| !OF_RECORDS.contains(word));
    let wrong: BTreeMap<&str, &str> = found.iter().filter_map(|text| Some((*text, said(text)?))).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}
