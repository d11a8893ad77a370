//! Documents that tests make from the program: compared, or written anew.

use std::fs;
use std::path::Path;

/// Set to 1, the documents are written anew.
pub(crate) const WRITE: &str = "PROPAGULE_WRITE_DOCS";

/// Whether they are to be written.
pub(crate) fn is_written() -> bool {
    std::env::var_os(WRITE).is_some_and(|value| value == "1")
}

/// The command that writes those of some tests.
pub(crate) fn again(tests: &str) -> String {
    format!("`{WRITE}=1 cargo test -p propagule-node --test cli {tests}`")
}

/// Fails where a document is not `text`, or writes it; `tests` are those that make it.
#[track_caller]
pub(crate) fn compare(path: &Path, text: &str, tests: &str) {
    if is_written() {
        fs::write(path, text).expect("writes");
    }
    let written = fs::read_to_string(path).unwrap_or_default();
    let differs = written.lines().zip(text.lines()).find(|(one, other)| one != other);
    assert!(
        written == text,
        "{} is stale, first at {differs:?}; if the new text is right, write it: {}",
        path.display(),
        again(tests)
    );
}

/// A document in the folder of documents of the node.
#[track_caller]
pub(crate) fn compare_document(name: &str, text: &str, tests: &str) {
    compare(&Path::new(env!("CARGO_MANIFEST_DIR")).join("docs").join(name), text, tests);
}
