//! Arms as they are given.

use std::collections::BTreeMap;

use propagule_protocol::vocab::{AtHome, HomeDetail, Missing, Said};
use propagule_protocol::{Facet, FacetError};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use propagule_bench::doing::Doing;
use propagule_bench::given::{FacetsGiven, NotHeard};
use propagule_bench::locale::Dialect;
use propagule_files::fault::Fault;

/// A treatment.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ArmGiven {
    /// The grower's label.
    pub label: String,
    /// What is said of it.
    pub said: ArmFacts,
}

/// What is said of a treatment, or of all treatments of a trial; what is none is not said.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(default)]
pub struct ArmFacts {
    /// The method.
    pub facets: FacetsGiven,
    /// What was said of the method that no detail holds.
    pub at_home: BTreeMap<HomeDetail, String>,
    /// What is different that no detail holds.
    pub differs: Option<String>,
    /// Pots, trays or rows.
    pub pots: Option<u16>,
    /// Propagules in each of them, or in all where there are none.
    pub pieces: Option<u16>,
    /// Name of the stock plant.
    pub stock: Option<String>,
    /// Who does the work.
    pub operator: Option<String>,
    /// Name of the bench it goes to.
    pub spot: Option<String>,
}

impl ArmGiven {
    /// A treatment of that label, of which nothing else is said.
    pub fn labelled(label: impl Into<String>) -> Self {
        Self { label: label.into(), said: ArmFacts::default() }
    }
}

/// Who did which pots.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct DoneBy {
    /// Who.
    pub person: String,
    /// Codes of pots, or labels of treatments.
    pub pots: Vec<String>,
}

/// How many propagules were started somewhere.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct StartedAt {
    /// Code of a pot, or label of a treatment.
    pub place: String,
    /// How many.
    pub pieces: u16,
}

impl ArmFacts {
    /// Takes what was typed for a detail, from wherever it comes.
    ///
    /// # Errors
    /// As [`give_facet`].
    pub fn hear(&mut self, hearing: Hearing, facet: Facet, typed: &str) -> Result<(), Fault> {
        let at_home = give_facet(&mut self.facets, hearing, facet, typed)?;
        self.at_home.extend(at_home.into_iter().map(|kept| (kept.detail, kept.text)));
        Ok(())
    }
}

/// In what a grower is heard, and in whose English.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hearing {
    /// What the grower is about.
    pub what: Doing,
    /// The English that is spoken.
    pub dialect: Dialect,
}

/// Gives a detail what was typed for it, from wherever it comes; what no detail holds comes back.
///
/// # Errors
/// When the detail does not have such words, or when they leave something open.
pub fn give_facet(
    given: &mut FacetsGiven,
    Hearing { what, dialect }: Hearing,
    facet: Facet,
    typed: &str,
) -> Result<Vec<AtHome>, Fault> {
    given.hear(facet, typed, dialect).map_err(|failure| match failure {
        NotHeard::Words(error) => facet_refused(what, &error),
        NotHeard::Asked { missing, choices } => facet_asked(what, facet, typed, missing, &choices),
    })
}

/// What was typed for a detail leaves something open.
fn facet_asked(what: Doing, facet: Facet, typed: &str, missing: Missing, choices: &[Said]) -> Fault {
    let as_typed = |said: &Said| {
        let one = |(facet, words): &(Facet, String)| format!("{}={words}", facet.name());
        said.facets.iter().map(one).collect::<Vec<_>>().join("; ")
    };
    let choices: Vec<String> = choices.iter().map(as_typed).collect();
    let fault = Fault::user("facet-left-open")
        .with("what", what)
        .with("facet", facet.name())
        .with("words", typed.trim())
        .with_data("missing", &missing)
        .near(&choices)
        .in_field(format!("facets.{}", facet.name()));
    match missing {
        Missing::Which | Missing::DipOrSoak | Missing::Nodes => fault,
        Missing::Strength => fault.hint_named("strength-of-the-label"),
        Missing::Heat => fault.hint_named("degrees-of-bottom-heat"),
        Missing::PerCent => fault.hint_named("per-cent-of-light"),
        Missing::Years => fault.hint_named("years-of-the-stock-plant"),
        Missing::Date => fault.hint_named("day-or-growth-stage"),
    }
}

/// A detail does not have the words that were given for it.
pub(in crate::bench) fn facet_refused(what: Doing, error: &FacetError) -> Fault {
    Fault::user("facet-words-unknown")
        .with("what", what)
        .with("facet", error.field)
        .with("words", &error.value)
        .with("why", &error.why)
        .near(&error.suggestions)
        .in_field(format!("facets.{}", error.field))
}

/// Names of details, to be offered.
pub fn facet_names(facets: &[Facet]) -> String {
    facets.iter().map(|facet| facet.name()).collect::<Vec<_>>().join(", ")
}
