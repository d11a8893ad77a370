//! An archive of a bench: one ZIP file with everything that a home cannot get back from others.
//!
//! `manifest.json` names every other file with its SHA-256; `events.jsonl` holds the journal of the bench as it was
//! written; `records/` the home's own signed records; `trust.json` circle, peers, names and settings; `table/` the
//! tidy table, for other programs. `keys/` is there only where it was asked for.

mod manifest;
mod names;
mod pack;
#[cfg(test)]
mod tests;
mod trust;
mod unpack;

use std::collections::BTreeMap;

pub use manifest::{FileLine, Manifest};
pub use pack::pack;
pub use trust::Trust;
pub use unpack::{Bounds, unpack};

/// The form of the archive; of the same major form fields are only added.
pub const FORMAT: &str = "propagule.archive/1";
/// Name of the manifest.
pub const MANIFEST: &str = "manifest.json";
/// Name of the events.
pub const EVENTS: &str = "events.jsonl";
/// Name of circle, peers, names and settings.
pub const TRUST: &str = "trust.json";
/// Folder of the own records.
pub const RECORDS: &str = "records/";
/// Folder of the keys.
pub const KEYS: &str = "keys/";
/// Folder of the tidy table.
pub const TABLES: &str = "table/";

/// Files of an archive but its manifest, by name.
pub type Files = BTreeMap<String, Vec<u8>>;
