//! What is asked of the evidence: one type a question. The command line and the page fill it, the socket carries it, the app
//! answers it, and with the fingerprint of the evidence it is what an answer is remembered by.

mod compare;
mod exact;
mod plan;
mod pool;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use compare::{CompareQuestion, OwnTrial};
pub use exact::Exact;
pub use plan::{Aim, Layout, PlanQuestion};
pub use pool::{AskedOfPrint, PoolQuestion};

use super::Source;
use super::behind::StandsBehind;
use super::learnt::Learning;
use propagule_evidence::Whose;

/// Which records count.
#[expect(clippy::struct_excessive_bools, reason = "independent choices, each an option of its own")]
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub struct Scope {
    /// Also results transcribed from print.
    pub transcribed: bool,
    /// Only trials opened before their first counts.
    pub opened_only: bool,
    /// Also stocks of an earlier trial that were worked again.
    #[serde(default)]
    pub with_regrafts: bool,
    /// Whose results count; the trusted growers where there are any, else everybody's.
    pub whose: Option<Whose>,
    /// Growers not known here yet count like everybody else, though nobody stands behind them.
    #[serde(default)]
    pub unchecked: bool,
}

/// What only the evidence decides, beside the question.
#[derive(Clone, Debug, PartialEq)]
pub struct Given {
    /// Network or file.
    pub source: Source,
    /// Whose records these are.
    pub whose: Whose,
    /// Trials of others that are held and not asked for.
    pub outside: usize,
    /// Who stands behind them; none where they are not everybody's.
    pub behind: Option<StandsBehind>,
    /// Until when the data reach, as text.
    pub data_until: Option<String>,
    /// Species that are held, for "did you mean"; empty unless nothing is held of the one asked for.
    pub species_held: Vec<String>,
    /// What other plants teach.
    pub learning: Learning,
}

impl Default for Given {
    /// Everybody's records of the network, of which nothing else is said.
    fn default() -> Self {
        Self {
            source: Source::Network,
            whose: Whose::Everybody,
            outside: 0,
            behind: None,
            data_until: None,
            species_held: Vec::new(),
            learning: Learning::NotAsked,
        }
    }
}

impl Given {
    /// Whether growers count that neither are trusted nor are the reader.
    pub fn has_strangers(&self) -> bool {
        self.source == Source::Network
            && self.whose == Whose::Everybody
            && self.behind.as_ref().is_none_or(|behind| behind.facts.known + behind.facts.new > 0)
    }

    /// A table, which has neither circles nor a date.
    pub fn file() -> Self {
        Self { source: Source::File, ..Self::default() }
    }
}

/// A question with what is given beside it.
#[derive(Debug)]
pub(super) struct Asked<'a, Q> {
    pub(super) question: &'a Q,
    pub(super) given: &'a Given,
}
