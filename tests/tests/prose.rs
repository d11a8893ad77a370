//! No sentence outside `present`: every string literal of the other crates that reads as prose is found, by their tokens,
//! inside macros too. What is left is counted file by file, with its reason, and may only become less.

#[path = "prose/allowed.rs"]
mod allowed;
#[path = "prose/reading.rs"]
mod reading;
#[path = "prose/tokens.rs"]
mod tokens;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use allowed::{FOLDERS, LEFT};
use propagule_present::words::never_said::never_said;
use propagule_present::words::read_aloud::longest_stretch;
use reading::{is_prose, prose_of};

/// The crates that hold no words.
const CRATES: &[&str] = &[
    "protocol",
    "analysis",
    "node/files",
    "node/bench",
    "node/evidence",
    "node/network",
    "node/answer",
    "node/app",
    "node",
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the workspace").to_owned()
}

/// Modules of a source that are only built for tests.
fn test_modules(text: &str) -> BTreeSet<String> {
    let behind = text.split("#[cfg(test)]").skip(1);
    behind.filter_map(|part| Some(part.split_once("mod ")?.1.split([';', ' ']).next()?.to_owned())).collect()
}

/// The sources that are built into a crate.
fn sources(folder: &Path, out: &mut Vec<PathBuf>) {
    let here: Vec<PathBuf> =
        fs::read_dir(folder).expect("lists").flatten().map(|entry| entry.path()).collect();
    let is_rust = |path: &PathBuf| path.extension().is_some_and(|ending| ending == "rs");
    let read = |path: &PathBuf| fs::read_to_string(path).expect("a source");
    let tests: BTreeSet<String> =
        here.iter().filter(|path| is_rust(path)).flat_map(|path| test_modules(&read(path))).collect();
    for path in here {
        let stem = path.file_stem().expect("a name").to_string_lossy().into_owned();
        if stem.ends_with("tests") || tests.contains(&stem) {
            continue;
        }
        if path.is_dir() {
            sources(&path, out);
        } else if is_rust(&path) {
            out.push(path);
        }
    }
}

/// Prose by file, where a file has some.
fn found() -> BTreeMap<String, Vec<String>> {
    let mut files = Vec::new();
    for name in CRATES {
        sources(&root().join(name).join("src"), &mut files);
    }
    let read = |path: PathBuf| {
        let name = path.strip_prefix(root()).expect("inside").to_string_lossy().into_owned();
        (name, prose_of(&fs::read_to_string(path).expect("a source")))
    };
    files.into_iter().map(read).filter(|(_, prose)| !prose.is_empty()).collect()
}

#[test]
fn no_sentence_stands_outside_present() {
    let left: BTreeMap<&str, usize> = LEFT.iter().flat_map(|(_, files)| files.iter().copied()).collect();
    let mut wrong = Vec::new();
    let found = found();
    for (file, prose) in &found {
        if FOLDERS.iter().any(|(folder, _)| file.starts_with(folder)) {
            continue;
        }
        let may = left.get(file.as_str()).copied().unwrap_or(0);
        if prose.len() > may {
            wrong.push(format!("{file} holds {} pieces of prose, {may} at most: {prose:#?}", prose.len()));
        } else if prose.len() < may {
            wrong.push(format!(
                "{file} holds {} pieces of prose only: say so in the list, not {may}",
                prose.len()
            ));
        }
    }
    wrong.extend(
        left.keys()
            .filter(|file| !found.contains_key(**file))
            .map(|file| format!("{file} holds none: strike it")),
    );
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Most words between two stops.
const MOST_WORDS: usize = 25;

/// Texts that only the page shows stand in sources, not in the catalogue that the document of the language is made from.
#[test]
fn texts_of_the_page_are_said_as_growers_say_them() {
    let mut files = Vec::new();
    for folder in ["tasks", "sharing", "works"] {
        sources(&root().join("node/present/src/words").join(folder), &mut files);
    }
    let mut wrong = Vec::new();
    let mut texts = 0;
    for file in files {
        for text in prose_of(&fs::read_to_string(&file).expect("a source")) {
            texts += 1;
            let words = longest_stretch(&text);
            if let Some(never) = never_said(&text) {
                wrong.push(format!("{}: \u{201c}{never}\u{201d} in {text}", file.display()));
            } else if words > MOST_WORDS {
                wrong.push(format!("{}: {words} words between two stops: {text}", file.display()));
            }
        }
    }
    assert!(texts > 300, "{texts} texts found");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_folder_that_may_hold_words_holds_some() {
    let found = found();
    for (folder, _) in FOLDERS {
        assert!(found.keys().any(|file| file.starts_with(folder)), "{folder} holds none: strike it");
    }
}

#[test]
fn words_are_told_from_names_and_marks() {
    for prose in [
        "none rooted",
        "{count} pieces",
        " rooted",
        "<p>No labels.</p> <b>yet</b>",
        "{who}{not} reported {what}",
    ] {
        assert!(is_prose(prose), "{prose}");
    }
    for name in [
        "rooted",
        "looked-for",
        "{a} {b}",
        "<p class=\"row\">{a}</p>",
        "propagule.pool/1",
        "%Y-%m-%d",
        "{year}-{month}",
    ] {
        assert!(!is_prose(name), "{name}");
    }
}

#[test]
fn pieces_in_macros_are_found_and_tests_and_developers_are_passed_over() {
    let source = r#"
        /// A line of docs.
        #[doc = "more docs of it"]
        #[error("an error in words")]
        fn said() -> String {
            let text = outer! { inner!("deep inside it", x) };
            write!(out, " and {more}").expect("memory holds it");
            tracing::info!("for the log only");
            html! { p class="only its looks" { "shown on a page" } }
        }
        #[cfg(test)]
        mod tests { const NOT: &str = "of a test only"; }
        const RAW: &str = r"a raw one";
    "#;
    let found = prose_of(source);
    assert_eq!(found, ["an error in words", "deep inside it", " and {more}", "shown on a page", "a raw one"]);
}

#[test]
fn quotes_are_told_from_lifetimes_characters_and_comments() {
    let source = r###"
        // "of a line"
        /* "of a block /* inside another */ still" */
        fn first<'a>(c: &'a str) -> [char; 4] { let _ = "one \" two"; ['"', '\'', '\u{201c}', 'x'] }
        const RAW: &str = r##"three "# four"##; const BYTES: &[u8] = b"five six"; const LAST: char = '\\';
    "###;
    assert_eq!(prose_of(source), ["one \\\" two", "three \"# four", "five six"]);
}
