//! How often the methods of a species succeed.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Scope;
use propagule_evidence::{Grouping, Question};

/// How often the methods of a species succeed.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub struct PoolQuestion {
    /// Plant name.
    pub species: String,
    /// Which count, and what is a success in it.
    pub count: Question,
    /// What is one method.
    pub grouping: Grouping,
    /// Which records count.
    pub scope: Scope,
    /// Whether trials with one pot a treatment say nothing about side-by-side comparisons.
    pub replicated_only: bool,
    /// Whether what each grower moves, classical results and other priors are asked for.
    pub detail: bool,
    /// Details to take together in one model, none named meaning the usual ones; `None` where it is not asked for.
    pub facets: Option<Vec<String>>,
    /// What is asked of trials in print.
    #[serde(default)]
    pub printed: AskedOfPrint,
}

/// What is asked of trials in print, which never count among growers' results.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum AskedOfPrint {
    /// Nothing: they are pointed at where there are growers' results, and shown where there are none.
    #[default]
    NotAsked,
    /// To see them below growers' results.
    Beside,
    /// To see them alone.
    Only,
}

impl PoolQuestion {
    /// The usual question about a species.
    pub fn about(species: impl Into<String>) -> Self {
        Self {
            species: species.into(),
            count: Question::default(),
            grouping: Grouping::default(),
            scope: Scope::default(),
            replicated_only: false,
            detail: false,
            facets: None,
            printed: AskedOfPrint::NotAsked,
        }
    }
}
