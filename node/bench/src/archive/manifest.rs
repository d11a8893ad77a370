//! What an archive says of itself.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::{EVENTS, FORMAT, Files, TABLES};
use crate::tidy;
use propagule_files::hex;

/// What `manifest.json` says.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Manifest {
    /// The form of the archive.
    #[schemars(extend("const" = FORMAT))]
    pub format: String,
    /// Name and version of the program that made it.
    pub program: String,
    /// Random name of the home, 32 hex digits.
    pub home_id: String,
    /// The network that the home belongs to.
    pub network: String,
    /// The day on which it was made.
    pub made_on: String,
    /// Every other file, by name.
    pub files: Vec<FileLine>,
}

/// One file of an archive.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct FileLine {
    /// Its name, with its folder.
    pub name: String,
    /// SHA-256 of its bytes, in hex.
    pub sha256: String,
    /// Events, or rows below the header; none where it has no rows.
    pub rows: Option<u64>,
}

impl Manifest {
    /// Of the files of a home.
    pub fn of(files: &Files, home_id: [u8; 16], network: &str, made_on: String) -> Self {
        Self {
            format: FORMAT.to_owned(),
            program: format!("propagule {}", env!("CARGO_PKG_VERSION")),
            home_id: hex::encode(&home_id),
            network: network.to_owned(),
            made_on,
            files: files.iter().map(|(name, bytes)| line(name, bytes)).collect(),
        }
    }

    /// Rows of a file.
    pub fn rows(&self, name: &str) -> u64 {
        self.files.iter().find(|line| line.name == name).and_then(|line| line.rows).unwrap_or(0)
    }

    /// How many files are in a folder.
    pub fn count_in(&self, folder: &str) -> usize {
        self.files.iter().filter(|line| line.name.starts_with(folder)).count()
    }
}

/// SHA-256 of bytes, in hex.
pub(super) fn sha256(bytes: &[u8]) -> String {
    hex::encode(&Sha256::digest(bytes))
}

fn line(name: &str, bytes: &[u8]) -> FileLine {
    FileLine { name: name.to_owned(), sha256: sha256(bytes), rows: rows(name, bytes) }
}

/// Events, one a line; or rows of a table, whose cells may hold line ends.
fn rows(name: &str, bytes: &[u8]) -> Option<u64> {
    if name == EVENTS {
        return Some(bytes.split_inclusive(|byte| *byte == b'\n').count() as u64);
    }
    let table = format!("{TABLES}{}", tidy::TABLE);
    (name == table).then(|| csv::Reader::from_reader(bytes).records().count() as u64)
}
