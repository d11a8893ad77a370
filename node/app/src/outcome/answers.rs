//! Answers from the evidence, with what only this home knows beside them.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use propagule_answer::pool::PoolAnswer;

/// A pooled answer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PoolOutcome {
    /// The answer.
    #[serde(flatten)]
    pub answer: PoolAnswer,
    /// Names of other plants that the grower takes for this one and that are counted with it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub synonyms: Vec<String>,
}
