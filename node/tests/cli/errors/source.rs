//! Where failures are made: each has a hint on its chain, or stands in a list with the reason why not.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// Ways of making a failure; `Failure::file` brings its hint along.
const MAKERS: [&str; 4] =
    ["Failure::expected(", "Failure::usage(", "Failure::environment(", "Failure::busy("];
/// How far behind a name that is given to a failure its hint may stand: within one function.
const NEAR: usize = 1_500;

/// Makers that give no hint themselves: the file, and why that is right.
const WITHOUT: [(&str, &str); 7] = [
    (
        "src/error.rs",
        "errors of libraries get their hints where they are turned into failures, all in this file",
    ),
    ("src/app/bench/mod.rs", "hints of what was typed are handed on one by one"),
    ("src/demo/cast.rs", "the command `demo` says to play it again, tested here"),
    ("src/demo/liars.rs", "the command `demo` says to play it again, tested here"),
    ("src/demo/story.rs", "the command `demo` says to play it again, tested here"),
    ("src/net/mod.rs", "the key is made a line above; no input leads here"),
    ("src/web/plain.rs", "hints of another failure are handed on one by one"),
];

/// The source without its test modules, which come last in a file.
fn source(path: &Path) -> String {
    let text = fs::read_to_string(path).expect("reads");
    let end = text.find("#[cfg(test)]\nmod tests {").unwrap_or(text.len());
    text[..end].to_owned()
}

fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("lists") {
        let path = entry.expect("an entry").path();
        let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        if path.is_dir() {
            files(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") && !name.ends_with("tests.rs") {
            found.push(path);
        }
    }
}

/// Where the parenthesis that is open at `from` is closed.
fn closed(text: &str, from: usize) -> usize {
    let (mut depth, mut is_text, mut is_escaped) = (1, false, false);
    for (offset, c) in text[from..].char_indices() {
        match c {
            _ if is_escaped => is_escaped = false,
            '\\' if is_text => is_escaped = true,
            '"' => is_text = !is_text,
            '(' if !is_text => depth += 1,
            ')' if !is_text => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return from + offset + 1;
        }
    }
    panic!("a parenthesis is left open")
}

fn begins_with_hint(text: &str) -> bool {
    let rest = text.trim_start();
    [".hint(", ".did_you_mean("].iter().any(|way| rest.starts_with(way))
}

/// Whether the failure that is made at `at` gets a hint: on its chain, or on the name that it is given.
fn has_hint(text: &str, at: usize, maker: &str) -> bool {
    let rest = &text[closed(text, at + maker.len())..];
    if begins_with_hint(rest) {
        return true;
    }
    let before = text[..at].trim_end();
    let Some(name) = before.strip_suffix('=').and_then(|text| text.trim_end().rsplit(' ').next()) else {
        return false;
    };
    let near: String = rest.chars().take(NEAR).collect();
    let uses: Vec<&str> = near.match_indices(name).map(|(found, _)| &near[found + name.len()..]).collect();
    // Handed on as it is in one arm of a match, it would go without.
    let is_bare = uses.iter().any(|after| after.starts_with(",\n")) && near.contains(&format!("=> {name},"));
    !is_bare && uses.into_iter().any(begins_with_hint)
}

#[test]
fn hints_are_seen_on_chains_and_on_names_only() {
    let maker = MAKERS[0];
    for (text, expected) in [
        (r#"Err(Failure::expected("a (b").hint("c"))"#, true),
        ("Err(Failure::expected(format!(\"a {}\", b()))\n    .hint(\"c\"))", true),
        (r#"Err(Failure::expected("a"))"#, false),
        (
            "let failure = Failure::expected(\"a\");\nmatch b { 1 => failure.hint(\"c\"), _ => failure.hint(\"d\") }",
            true,
        ),
        (
            "let failure = Failure::expected(\"a\");\nmatch b { 1 => failure.hint(\"c\"), _ => failure,\n}",
            false,
        ),
        ("let failure = Failure::expected(\"a\");\nother.hint(\"c\")", false),
    ] {
        let at = text.find(maker).expect("a maker");
        assert_eq!(has_hint(text, at, maker), expected, "{text}");
    }
}

#[test]
fn every_failure_is_made_with_a_hint_or_has_a_reason_to_have_none() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let (mut paths, mut made, mut missing, mut excused) = (Vec::new(), 0, Vec::new(), BTreeSet::new());
    files(&root.join("src"), &mut paths);
    for path in paths {
        let name = path.strip_prefix(root).expect("below").display().to_string();
        let text = source(&path).replace("Self::expected(error", "Failure::expected(error");
        for maker in MAKERS {
            for (at, _) in text.match_indices(maker) {
                made += 1;
                if has_hint(&text, at, maker) {
                    continue;
                }
                match WITHOUT.iter().find(|(file, _)| *file == name) {
                    Some((file, _)) => drop(excused.insert(*file)),
                    None => missing.push(format!("{name}:{}", text[..at].lines().count())),
                }
            }
        }
    }
    assert!(made > 150, "the search finds them: {made}");
    assert!(missing.is_empty(), "say what now, by .hint(..): {missing:#?}");
    let stale: Vec<_> = WITHOUT.iter().filter(|(file, _)| !excused.contains(file)).collect();
    assert!(stale.is_empty(), "no longer without a hint: {stale:?}");
}
