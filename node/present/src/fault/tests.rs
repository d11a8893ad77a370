use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use super::*;

/// A fault as it is made in the source.
struct Made {
    at: String,
    code: String,
    chain: String,
}

fn sources(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("a readable folder") {
        let path = entry.expect("a readable entry").path();
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|ending| ending == "rs") && !path.ends_with("tests.rs") {
            out.push(path);
        }
    }
}

/// The calls that follow one another, from the opening bracket of the first.
fn chain(text: &str) -> &str {
    let (mut depth, mut in_text, mut escaped) = (0_usize, false, false);
    for (at, c) in text.char_indices() {
        match c {
            _ if escaped => escaped = false,
            '\\' if in_text => escaped = true,
            '"' => in_text = !in_text,
            _ if in_text => {}
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' | ';' | ',' if depth == 0 => return &text[..at],
            ')' | ']' | '}' => depth -= 1,
            _ => {}
        }
    }
    text
}

fn made() -> Vec<Made> {
    let node = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("it lies in node");
    let mut files = Vec::new();
    for folder in ["src", "app/src", "answer/src", "files/src", "bench/src", "evidence/src", "network/src"] {
        sources(&node.join(folder), &mut files);
    }
    let mut made = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("readable");
        for kind in ["user", "usage", "environment", "busy"] {
            for (at, found) in text.match_indices(&format!("::{kind}(\"")) {
                let behind = &text[at + found.len() - 2..];
                let code = behind[2..].split('"').next().expect("a text ends").to_owned();
                let line = 1 + text[..at].matches('\n').count();
                made.push(Made {
                    at: format!("{}:{line}", file.display()),
                    code,
                    chain: chain(behind).to_owned(),
                });
            }
        }
    }
    made
}

#[test]
fn every_fault_has_words_and_gives_what_they_name() {
    let mut wrong = Vec::new();
    let made = made();
    assert!(made.len() > 200, "the sources are read");
    for Made { at, code, chain } in &made {
        let Some(words) = of(code) else {
            wrong.push(format!("{at}: {code} has no words"));
            continue;
        };
        let texts = std::iter::once(words.what).chain(words.hints.iter().copied()).chain(words.otherwise);
        for slot in texts.flat_map(template::slots) {
            // The kind is given to every fault of a count where it is handed on; words of no kind hold without it.
            let given = [format!(".with(\"{slot}\""), format!(".with_data(\"{slot}\"")];
            if slot != "kind" && !given.iter().any(|given| chain.contains(given)) {
                wrong.push(format!("{at}: {code} does not give {slot}"));
            }
        }
        if words.hints.is_empty() && words.otherwise.is_none() && !at.contains("/demo/") {
            let adds = [".hint_named(", ".near("].iter().any(|call| chain.contains(call));
            if !adds && !HINTED_LATER.contains(&code.as_str()) {
                wrong.push(format!("{at}: {code} does not say what now"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Texts that a chain of calls gives as parameters: written out, or put together of a written frame.
fn given_texts(chain: &str) -> Vec<String> {
    let values =
        chain.split(".with(\"").skip(1).filter_map(|call| call.split_once(',').map(|(_, value)| value));
    values
        .filter_map(|value| {
            let value = value.trim_start();
            let text = ["\"", "format!(\"", "format_args!(\"", "&format!(\""]
                .into_iter()
                .find_map(|begin| value.strip_prefix(begin))?;
            Some(text.split('"').next().unwrap_or_default().to_owned())
        })
        .collect()
}

/// Whether words follow one another in a text, placeholders apart.
fn is_prose(text: &str) -> bool {
    let outside: String = text
        .split('{')
        .enumerate()
        .map(|(at, part)| if at == 0 { part } else { part.split_once('}').map_or("", |(_, rest)| rest) })
        .collect::<Vec<_>>()
        .join("_");
    let is_word = |word: &&str| word.len() > 1 && word.chars().all(char::is_alphabetic);
    outside.split_whitespace().filter(is_word).count() > 1
}

#[test]
fn no_parameter_is_a_sentence() {
    assert!(is_prose("{it} has no row of it") && !is_prose("{text}=lost") && !is_prose("U+{code:04X}"));
    let chain = r#"user("a").with("b", "c").with("d", format!("cannot do {e}"))"#;
    assert_eq!(given_texts(chain), ["c", "cannot do {e}"]);
    let prose: Vec<String> = made()
        .iter()
        .flat_map(|made| given_texts(&made.chain).into_iter().map(|text| format!("{}: {text}", made.at)))
        .filter(|line| is_prose(line.split_once(": ").expect("a place and a text").1))
        .collect();
    assert!(prose.is_empty(), "words stand in present:\n{}", prose.join("\n"));
}

/// Faults to which the code that makes them adds what to do by the case.
const HINTED_LATER: &[&str] = &[
    "arguments-missing",
    "bundle-refused",
    "chance-out-of-range",
    "command-line-malformed",
    "counts-contradict-season",
    "day-long-past",
    "day-not-understood",
    "day-yet-to-come",
    "evidence-table-refused",
    "option-unknown",
    "page-day-not-understood",
    "plant-name-malformed",
    "printed-table-refused",
    "sheet-unreadable",
    "sites-table-refused",
    "species-without-records",
    "subcommand-unknown",
    "trial-unknown",
    "trials-table-refused",
    "value-malformed",
    "value-not-listed",
];

#[test]
fn every_code_is_used_and_stands_once() {
    let used: BTreeSet<String> = made().into_iter().map(|made| made.code).collect();
    let mut seen = BTreeMap::new();
    for words in catalogue() {
        *seen.entry(words.code).or_insert(0) += 1;
    }
    let twice: Vec<_> = seen.iter().filter(|(_, count)| **count > 1).collect();
    assert!(twice.is_empty(), "{twice:?}");
    let by_name = [
        "internal",
        "row-of-other-length",
        "row-of-other-places",
        "index-failed",
        "journal-newer",
        "journal-of-other-home",
        "journal-poisoned",
    ];
    let unused: Vec<_> =
        seen.keys().filter(|code| !used.contains(**code) && !by_name.contains(code)).collect();
    assert!(unused.is_empty(), "{unused:?}");
}

#[test]
fn parameters_are_filled_in_quoted_and_counted() {
    let params = [("trial", "my trial"), ("one", "1"), ("left", "3")];
    let params = params.map(|(name, value)| (name.into(), value.to_owned())).into();
    let filled = |template| template::fill(template, &params);
    assert_eq!(filled("see {trial:paste} of {trial}"), "see 'my trial' of my trial");
    assert_eq!(filled("{one|piece|pieces}, {left|piece|pieces}"), "1 piece, 3 pieces");
    assert_eq!(filled("{{literal}} and {missing}"), "{literal} and {missing}");
}

#[test]
fn what_is_like_the_name_takes_the_place_of_the_rest() {
    let fault = Fault::user("spot-unknown").with("name", "my tunel");
    assert_eq!(
        hints(&fault),
        ["describe it first: propagule bench 'my tunel' --about 'structure=greenhouse'"]
    );
    assert_eq!(hints(&fault.clone().near(&["my tunnel".to_owned()])), ["did you mean my tunnel?"]);
    let because = Fault::user("table-row-unreadable").because("so");
    assert_eq!(
        text(&because),
        "error: the row cannot be read: so\nhint: save the table as CSV, UTF-8, and try again"
    );
    assert_eq!(what(&Fault::user("of-another-version").with("n", 1)), "of-another-version n=\"1\"");
}

#[test]
fn no_fault_says_what_no_propagator_says() {
    let said = |words: &FaultWords| {
        let all = std::iter::once(words.what).chain(words.hints.iter().copied()).chain(words.otherwise);
        all.filter_map(|text| {
            Some(format!("{}: {:?} in {text}", words.code, crate::words::never_said::never_said(text)?))
        })
        .collect::<Vec<_>>()
    };
    let wrong: Vec<String> = catalogue().flat_map(said).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
