//! Other growers, as this home knows them: none of this is ever published.

use propagule_protocol::AuthorKey;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Another grower, as it now stands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct KnownGrower {
    /// The key that signs their records.
    pub key: AuthorKey,
    /// The name that this home calls them by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Trusted at home, which nobody else sees.
    #[serde(default)]
    pub trusted: bool,
    /// Not to be heard.
    #[serde(default)]
    pub muted: bool,
}

impl KnownGrower {
    /// A grower of whom nothing is known yet.
    pub fn new(key: AuthorKey) -> Self {
        Self { key, name: None, trusted: false, muted: false }
    }
}
