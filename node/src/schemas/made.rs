//! The files in `docs/schema/`: compared, or written anew.

use std::collections::BTreeSet;
use std::fs;

use super::all;
use crate::schema::folder;

/// What writes the files.
const AGAIN: &str = "PROPAGULE_WRITE_DOCS=1 cargo test -p propagule-node --lib schemas";

/// Names of the files that are there.
fn there() -> BTreeSet<String> {
    let files = fs::read_dir(folder()).expect("lists").map(|entry| entry.expect("an entry").path());
    files.map(|path| path.file_stem().expect("a name").to_string_lossy().into_owned()).collect()
}

/// A field that is gone, or of another type, shows here as a line that differs: fields are only ever added.
#[test]
fn the_files_of_schemas_are_those_of_the_types() {
    let all = all();
    if std::env::var_os("PROPAGULE_WRITE_DOCS").is_some_and(|value| value == "1") {
        for name in there() {
            fs::remove_file(folder().join(format!("{name}.json"))).expect("a file of ours");
        }
        for (name, schema) in &all {
            fs::write(folder().join(format!("{name}.json")), format!("{schema:#}\n")).expect("writes");
        }
    }
    assert_eq!(there(), all.keys().cloned().collect(), "names of files; write them: {AGAIN}");
    for (name, schema) in all {
        let made = format!("{schema:#}\n");
        let kept = fs::read_to_string(folder().join(format!("{name}.json"))).expect("reads");
        let differs = kept.lines().zip(made.lines()).find(|(one, other)| one != other);
        assert!(
            kept == made,
            "node/docs/schema/{name}.json is not of its type, first at {differs:?}; where fields were only added, write \
             it: {AGAIN}"
        );
    }
}
