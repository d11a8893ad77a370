//! What is said of several methods in one model.

use serde::{Deserialize, Serialize};

/// What one model of all methods makes of them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Ranked {
    /// The method that is clearly better than every other one that was tried twice; none where no method stands out.
    pub best: Option<String>,
    /// Those that it is clearly better than, each with the probability of that.
    pub beaten: Vec<(String, f64)>,
    /// Those from which it cannot be told apart.
    pub open: Vec<String>,
    /// Trials with a difference to see.
    pub trials: usize,
    /// Trials among them with one replicate an arm.
    pub single_replicate: usize,
    /// All pairs that are clear: the better one, the other one, the probability.
    #[serde(default)]
    pub ahead: Vec<(String, String, f64)>,
}
