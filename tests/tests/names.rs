//! One public type a name: a name that means two things has to be read with its path, and is read wrongly without.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

const SOURCES: &[&str] = &[
    "protocol/src",
    "analysis/src",
    "node/files/src",
    "node/bench/src",
    "node/evidence/src",
    "node/network/src",
    "node/present/src",
    "node/answer/src",
    "node/app/src",
    "node/src",
    "tests/src",
];

/// Names that may mean several things: each crate's own error, arguments of commands, and an arm of a trial as the record
/// and the bench have it.
const ALLOWED: &[&str] = &["Arm", "Args", "Error"];

/// Names that still mean several things. The list only gets shorter.
const STILL_TWICE: &[&str] = &[
    "Answer",
    "Band",
    "Book",
    "Cell",
    "Change",
    "Circle",
    "Code",
    "Column",
    "Comparison",
    "Counts",
    "Departure",
    "Difference",
    "Dispersion",
    "Entry",
    "FacetError",
    "Family",
    "Found",
    "Group",
    "Grower",
    "Held",
    "Incidence",
    "Influence",
    "Item",
    "Judged",
    "Key",
    "Kind",
    "Layout",
    "Life",
    "Mark",
    "Measure",
    "Member",
    "Options",
    "Outcome",
    "Part",
    "Question",
    "Reader",
    "Reading",
    "Relation",
    "Reply",
    "Row",
    "Said",
    "Scope",
    "Side",
    "Stage",
    "Standing",
    "State",
    "Step",
    "Synonyms",
    "Table",
    "Taken",
    "Tally",
    "Told",
    "Trial",
    "TrialArm",
    "Trust",
    "Unit",
    "Verdict",
    "WholeLife",
];

fn sources(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("lists").flatten() {
        let path = entry.path();
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|ending| ending == "rs") && !path.ends_with("tests.rs") {
            out.push(path);
        }
    }
}

/// The parts for single systems have one face, so the same names; one of them is built at a time.
const TWIN: &str = "node/files/src/system/windows.rs";

/// The names of the public types of a source.
fn types(text: &str) -> impl Iterator<Item = &str> {
    let code = text.split("#[cfg(test)]\nmod tests {").next().expect("a text has a first part");
    code.lines().filter_map(|line| {
        let kinds = ["struct ", "enum ", "trait ", "type ", "union "];
        let behind = line.strip_prefix("pub ")?;
        let name = kinds.iter().find_map(|kind| behind.strip_prefix(kind))?;
        name.split(|c: char| !c.is_ascii_alphanumeric() && c != '_').next()
    })
}

#[test]
fn a_public_type_has_a_name_of_its_own() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the workspace");
    let mut found: BTreeMap<String, BTreeSet<PathBuf>> = BTreeMap::new();
    for folder in SOURCES {
        let mut files = Vec::new();
        sources(&root.join(folder), &mut files);
        assert!(!files.is_empty(), "{folder} is read");
        for file in files.iter().filter(|file| !file.ends_with(TWIN)) {
            let text = fs::read_to_string(file).expect("reads");
            for name in types(&text) {
                let inside = file.strip_prefix(root).expect("it lies there").to_owned();
                found.entry(name.to_owned()).or_default().insert(inside);
            }
        }
    }
    found.retain(|name, files| files.len() > 1 && !ALLOWED.contains(&name.as_str()));
    let known: BTreeSet<&str> = STILL_TWICE.iter().copied().collect();
    let new: Vec<_> = found.iter().filter(|(name, _)| !known.contains(name.as_str())).collect();
    let gone: Vec<_> = known.iter().filter(|name| !found.contains_key(**name)).collect();
    assert!(new.is_empty(), "two public types of one name: {new:#?}");
    assert!(gone.is_empty(), "these mean one thing now, strike them: {gone:?}");
}
