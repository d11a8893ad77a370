//! Corrections of how a trial is described.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::said::Said;

/// The description of a trial was corrected.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TrialCorrected {
    /// Its code.
    pub trial: String,
    /// What differs from before.
    pub changes: Vec<Said>,
    /// Whether it is published, so that others see how it stood before.
    pub is_published: bool,
    /// Whether the number started changed after the first count, and had not before.
    pub is_started_changed: bool,
}
