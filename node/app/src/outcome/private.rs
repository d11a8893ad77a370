//! What stays at home.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A trial stays at home from now on, or may be published again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PrivacySet {
    /// Its code.
    pub trial: String,
    /// Whether it stays at home.
    pub private: bool,
    /// The revision that is published already.
    pub published_revision: Option<u8>,
}

/// Whether results of this home are to be published.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct HomeSettings {
    /// What was chosen; none where nothing was.
    pub publishing: Option<bool>,
    /// Whether what is due names results that were not published.
    pub asks_to_publish: bool,
    /// Whether it was chosen now.
    #[serde(default)]
    pub is_chosen_now: bool,
}
