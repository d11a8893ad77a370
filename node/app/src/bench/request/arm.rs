//! Arms as they are given.

use propagule_protocol::{Facet, FacetError};
use serde::{Deserialize, Serialize};

use propagule_bench::doing::Doing;
use propagule_bench::given::FacetsGiven;
use propagule_files::fault::Fault;

/// An arm.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct ArmGiven {
    /// The grower's label.
    pub label: String,
    /// What is said of it.
    pub said: ArmFacts,
}

/// What is said of an arm, or of all arms of a trial; what is none is not said.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct ArmFacts {
    /// The method.
    pub facets: FacetsGiven,
    /// What is different that no facet holds.
    pub differs: Option<String>,
    /// Pots, trays or rows.
    pub pots: Option<u16>,
    /// Pieces in each of them, or in all where there are none.
    pub pieces: Option<u16>,
    /// Name of the stock plant.
    pub stock: Option<String>,
    /// Who does the work.
    pub operator: Option<String>,
    /// Name of the spot it goes to.
    pub spot: Option<String>,
}

impl ArmGiven {
    /// An arm of that label, of which nothing else is said.
    pub fn labelled(label: impl Into<String>) -> Self {
        Self { label: label.into(), said: ArmFacts::default() }
    }
}

/// Who did which pots.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DoneBy {
    /// Who.
    pub person: String,
    /// Codes of pots, or labels of arms.
    pub pots: Vec<String>,
}

/// How many pieces were put in somewhere.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct StartedAt {
    /// Code of a pot, or label of an arm.
    pub place: String,
    /// How many.
    pub pieces: u16,
}

/// Gives a facet its words, from wherever they come.
///
/// # Errors
/// When the facet does not have them.
pub fn give_facet(given: &mut FacetsGiven, what: Doing, facet: Facet, words: &str) -> Result<(), Fault> {
    given.set(facet, words).map_err(|error| facet_refused(what, &error))
}

/// A facet does not have the words that were given for it.
pub(in crate::bench) fn facet_refused(what: Doing, error: &FacetError) -> Fault {
    Fault::user("facet-words-unknown")
        .with("what", what)
        .with("facet", error.field)
        .with("words", &error.value)
        .with("why", &error.why)
        .near(&error.suggestions)
        .in_field(format!("facets.{}", error.field))
}

/// Names of facets, to be offered.
pub fn facet_names(facets: &[Facet]) -> String {
    facets.iter().map(|facet| facet.name()).collect::<Vec<_>>().join(", ")
}
