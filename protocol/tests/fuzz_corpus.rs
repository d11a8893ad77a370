//! The corpus of the fuzz targets, replayed as an ordinary test.

use std::path::Path;

#[expect(unreachable_pub, reason = "the fuzz crate needs them public")]
#[path = "../fuzz/src/lib.rs"]
mod targets;

fn replay(target: &str, run: fn(&[u8])) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/corpus").join(target);
    let entries = std::fs::read_dir(&folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let mut number = 0;
    for entry in entries {
        let path = entry.expect("a readable folder").path();
        run(&std::fs::read(&path).expect("a readable file"));
        number += 1;
    }
    assert!(number > 0, "no corpus in {}", folder.display());
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
