//! The corpus of the fuzz targets, replayed as an ordinary test.

use std::path::Path;

use propagule_protocol::record::kind;

#[expect(unreachable_pub, reason = "the fuzz crate needs them public")]
#[path = "../fuzz/src/lib.rs"]
mod targets;

fn corpus(target: &str) -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/corpus").join(target);
    let entries = std::fs::read_dir(&folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let paths = entries.map(|entry| entry.expect("a readable folder").path());
    let inputs: Vec<Vec<u8>> = paths.map(|path| std::fs::read(path).expect("a readable file")).collect();
    assert!(!inputs.is_empty(), "no corpus in {}", folder.display());
    inputs
}

fn replay(target: &str, run: fn(&[u8])) {
    for input in corpus(target) {
        run(&input);
    }
}

#[test]
fn the_corpus_keeps_every_promise() {
    replay("scan", targets::scan);
    replay("envelope", targets::envelope);
    replay("summary", targets::summary);
    replay("withdrawal", targets::withdrawal);
    replay("rotation", targets::rotation);
    replay("revocation", targets::revocation);
    replay("vouch", targets::vouch);
    replay("taxon", targets::taxon);
    replay("facets", targets::facets);
    replay("printed", targets::printed);
}

/// Fuzzing from a corpus that is refused throughout would never get past the first check.
#[test]
fn every_kind_has_an_input_that_is_accepted() {
    let kinds = [
        ("summary", kind::SUMMARY),
        ("withdrawal", kind::WITHDRAWAL),
        ("rotation", kind::ROTATION),
        ("revocation", kind::REVOCATION),
        ("vouch", kind::VOUCH),
    ];
    for (target, kind) in kinds {
        for major in [0, 1] {
            let is_accepted = |input: &Vec<u8>| {
                targets::accepted(kind, input).is_some_and(|record| record.head().major == major)
            };
            assert!(corpus(target).iter().any(is_accepted), "{target} of major {major}");
        }
    }
}
