//! The files in `docs/schema/`: compared, or written anew.

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

use super::all;
use super::only_added::gone;
use crate::schema::folder;

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
