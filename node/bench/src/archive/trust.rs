//! What a home knows of others and how it is set up, in `trust.json`.

use std::collections::BTreeMap;

use propagule_protocol::AuthorKey;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::KnownGrower;

/// Trusted growers, peers, names, mappings and settings.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Trust {
    /// The form of the file.
    #[schemars(extend("const" = Self::FORMAT))]
    pub format: String,
    /// Keys that signed the records of the archive.
    pub authors: Vec<AuthorKey>,
    /// Other growers; the events say the same, and are what counts when it is read.
    pub growers: Vec<KnownGrower>,
    /// Synonym → accepted name; as in the events.
    pub synonyms: BTreeMap<String, String>,
    /// Headings of tables, with what was said of each: heading → column; as in the events.
    pub columns: Vec<(Vec<String>, BTreeMap<String, String>)>,
    /// The book of peer addresses.
    #[serde(default)]
    pub peers: Option<Value>,
    /// Nodes that may connect; none where all may.
    #[serde(default)]
    pub allowed: Option<Value>,
    /// `config.toml`, as it is.
    #[serde(default)]
    pub settings: Option<String>,
    /// Own records that are still on their way out: id → how far they have come.
    #[serde(default)]
    pub outbox: BTreeMap<String, String>,
}

impl Trust {
    /// The form of the file.
    pub const FORMAT: &str = "propagule.trust/1";
}
