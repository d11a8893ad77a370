//! Numbers within a question.

use std::hash::{Hash, Hasher};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A number that is the same as another one where all its bits are, so that a question can be told from every other one.
#[derive(Clone, Copy, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Exact(f64);

impl Exact {
    /// The number.
    pub const fn get(self) -> f64 {
        self.0
    }
}

impl From<f64> for Exact {
    fn from(number: f64) -> Self {
        Self(number)
    }
}

impl PartialEq for Exact {
    fn eq(&self, other: &Self) -> bool {
        self.0.to_bits() == other.0.to_bits()
    }
}

impl Eq for Exact {}

impl Hash for Exact {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.0.to_bits().hash(state);
    }
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::Exact;

    #[test]
    fn numbers_are_told_apart_by_their_bits_and_survive_the_socket() {
        let numbers = [0.8, 0.800_000_000_000_000_1, 0.0, -0.0].map(Exact::from);
        assert_eq!(HashSet::from(numbers).len(), 4);
        for number in numbers {
            let text = serde_json::to_string(&number).expect("a number");
            assert_eq!(serde_json::from_str::<Exact>(&text).expect("reads"), number, "{text}");
        }
    }
}
