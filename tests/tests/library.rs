//! What `analysis` offers: every public function has a caller in the program, or an example that shows what it is for.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// Where the program's own sources lie; whoever calls from a folder of tests does not count.
const SHIPPED: &[&str] = &["node"];
/// Programs that show how the library is used.
const EXAMPLES: &[&str] = &["analysis/examples"];
const NOT_SHIPPED: &[&str] = &["tests", "target", "fuzz", "docs"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the workspace").to_owned()
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Rust sources of a folder without those that only tests build.
fn sources(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("lists").flatten() {
        let path = entry.path();
        let name = entry.file_name().to_string_lossy().into_owned();
        if path.is_dir() && !NOT_SHIPPED.contains(&name.as_str()) {
            sources(&path, out);
        } else if name.strip_suffix(".rs").is_some_and(|stem| !stem.ends_with("tests")) {
            out.push(path);
        }
    }
}

fn texts(folder: &str) -> Vec<String> {
    let mut files = Vec::new();
    sources(&root().join(folder), &mut files);
    assert!(!files.is_empty(), "{folder} is read");
    files.iter().map(|file| shipped(&read(file)).to_owned()).collect()
}

/// A source without the tests at its end.
fn shipped(text: &str) -> &str {
    text.split("#[cfg(test)]\nmod tests {").next().expect("a text has a first part")
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_ascii_alphanumeric() && c != '_').filter(|word| !word.is_empty())
}

/// Names of the functions that a source declares public.
fn public_functions(text: &str) -> impl Iterator<Item = &str> {
    text.lines().filter_map(|line| {
        let behind = line.trim_start().strip_prefix("pub ")?;
        let behind = behind.strip_prefix("const ").unwrap_or(behind).strip_prefix("fn ")?;
        words(behind).next()
    })
}

/// What runs inside the documentation of a source.
fn documented_examples(text: &str) -> String {
    let doc = text.lines().filter_map(|line| {
        let line = line.trim_start();
        line.strip_prefix("///").or_else(|| line.strip_prefix("//!"))
    });
    let doc: Vec<&str> = doc.collect();
    doc.join("\n").split("```").skip(1).step_by(2).collect::<Vec<_>>().join("\n")
}

/// Public functions that none of the callers names.
fn without_caller<'a>(library: &'a [String], callers: &[String]) -> BTreeSet<&'a str> {
    let called: BTreeSet<&str> = callers.iter().flat_map(|text| words(text)).collect();
    let functions = library.iter().flat_map(|text| public_functions(text));
    functions.filter(|name| !called.contains(name)).collect()
}

#[test]
fn whatever_analysis_offers_is_called_by_the_program_or_shown_in_an_example() {
    let library = texts("analysis/src");
    let folders = SHIPPED.iter().chain(EXAMPLES);
    let mut callers: Vec<String> = folders.flat_map(|folder| texts(folder)).collect();
    callers.extend(library.iter().map(|text| documented_examples(text)));
    let found = without_caller(&library, &callers);
    assert!(
        found.is_empty(),
        "public in analysis, but nobody calls it: {found:?}. Make it pub(crate), delete it, or show in an example what it \
         is for."
    );
}

#[test]
fn a_function_that_nobody_calls_is_found() {
    let library = ["/// ```\n/// shown(1);\n/// ```\npub fn shown(x: u8) {}\n    pub const fn hidden() {}\npub(crate) fn own() {}\npub fn used() {}\n".to_owned()];
    let callers = ["used(hidden_too())".to_owned(), documented_examples(&library[0])];
    assert_eq!(without_caller(&library, &callers), BTreeSet::from(["hidden"]));
}
