//! The files themselves.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use super::all;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/schema")
}

#[test]
fn the_files_of_schemas_are_those_of_the_types() {
    let is_written = std::env::var_os("PROPAGULE_WRITE_DOCS").is_some_and(|value| value == "1");
    let folder = folder();
    fs::create_dir_all(&folder).expect("a folder");
    for (name, schema) in all() {
        let path = folder.join(format!("{name}.json"));
        let text = format!("{schema:#}\n");
        if is_written {
            fs::write(&path, &text).expect("writes");
        }
        assert!(fs::read_to_string(&path).unwrap_or_default() == text, "{}", path.display());
    }
    let _ = BTreeSet::<u8>::new();
}
