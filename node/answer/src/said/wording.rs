//! Which words a piece and a success have: by the kind of propagation and the question.

use propagule_evidence::{Family, Outcome};
use serde::{Deserialize, Serialize};

/// In which words an answer is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Wording {
    /// Whose words.
    pub family: Family,
    /// What counts as a success.
    pub outcome: Outcome,
}

impl Wording {
    /// For `outcome` of pieces of this family.
    pub const fn new(family: Family, outcome: Outcome) -> Self {
        Self { family, outcome }
    }
}
