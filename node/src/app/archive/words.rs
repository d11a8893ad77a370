//! What is said of archives.

use std::fmt::Write;
use std::path::Path;

use serde_json::json;

use crate::answer::words::{archive_contents, archive_in_full};
use crate::app::Report;
use propagule_bench::archive::{EVENTS, KEYS, Manifest, RECORDS, TABLES};
use propagule_bench::tidy;

/// What is in an archive that was made.
pub(super) fn made(manifest: &Manifest, with_keys: bool) -> String {
    let rows = manifest.rows(&format!("{TABLES}{}", tidy::TABLE));
    let held = archive_in_full(manifest.rows(EVENTS), manifest.count_in(RECORDS), rows);
    let mut text = format!("In it: {held}.\n");
    text.push_str(if with_keys {
        "warning: it holds your keys; whoever has this file can publish as you.\n"
    } else {
        "It holds no keys: a home that is restored from it publishes as a new grower (--with-keys adds them).\n"
    });
    text
}

/// What a restored home is, and what to mind.
pub(super) fn restored(file: &str, manifest: &Manifest, place: &Path, flag: &str) -> Report {
    let has_keys = manifest.count_in(KEYS) > 0;
    let mut text = format!(
        "Restored {} from {file}, made on {}, into {}.\n",
        archive_contents(manifest.rows(EVENTS), manifest.count_in(RECORDS)),
        manifest.made_on,
        place.display()
    );
    text.push_str(if has_keys {
        "Its keys came along: what you publish next is the next revision by the same grower.\n"
    } else {
        "It held no keys: what you publish from here is published as a new grower.\n"
    });
    text.push_str("Use one of the two homes from now on, this one or the old one: what you enter in one never reaches the other.\n");
    let _ = writeln!(text, "Next: propagule{flag} trial list");
    let json = json!({
        "format": "propagule.restore/1",
        "home": place.display().to_string(),
        "home_id": manifest.home_id,
        "made_on": manifest.made_on,
        "events": manifest.rows(EVENTS),
        "records": manifest.count_in(RECORDS),
        "with_keys": has_keys,
    });
    Report { text, json }
}
