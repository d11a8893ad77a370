//! What every entry may have beside its numbers.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use propagule_bench::dates::When;

/// Day, note and files of an entry.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
pub struct Common {
    /// The day.
    pub on: When,
    /// Private note.
    pub note: Option<String>,
    /// Paths of photos or videos.
    pub files: Vec<String>,
    /// Name under which it may be sent again.
    pub once: Option<String>,
    /// It is so, unusual as it is.
    #[serde(default)]
    pub is_sure: bool,
    /// What is to become of an entry of that day that is in already.
    #[serde(default)]
    pub repeat: Option<Repeat>,
}

impl Common {
    /// Of a day, without anything else.
    pub fn on(on: When) -> Self {
        Self { on, note: None, files: Vec::new(), once: None, is_sure: false, repeat: None }
    }
}

/// What is to become of an entry where there is one of the same day already.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Repeat {
    /// It replaces that one.
    Instead,
    /// It is another one.
    Again,
}
