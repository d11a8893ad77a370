//! What a reading room is asked, as it stands in the query of its address.

use propagule_protocol::Facet;

use super::fields::Fields;
use super::link;
use propagule_app::{PoolQuestion, Scope};
use propagule_evidence::{Filter, Grouping, Outcome, Question, Stage, Whose};
use propagule_files::fault::Fault;

/// Begins the name of a field that filters by a facet.
const HAS: &str = "has_";
/// Fields that choose among the evidence.
const CHOICES: [&str; 10] = [
    "species",
    "stage",
    "outcome",
    "by",
    "whose",
    "replicated",
    "opened",
    "transcribed",
    "regrafts",
    "unchecked",
];

/// What a reading room is asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Asked {
    chosen: Vec<(String, String)>,
    pub(super) question: PoolQuestion,
}

impl Asked {
    /// Reads a query.
    ///
    /// # Errors
    /// For a word that no form of ours sends.
    pub(super) fn read(fields: &Fields) -> Result<Self, Fault> {
        let facets = Facet::ALL.iter().map(|facet| format!("{HAS}{}", facet.name()));
        let names = CHOICES.iter().map(|name| (*name).to_owned()).chain(facets);
        let chosen: Vec<(String, String)> =
            names.filter_map(|name| fields.owned(&name).map(|value| (name, value))).collect();
        let filter = |(name, value): &(String, String)| {
            let facet = name.strip_prefix(HAS)?.to_owned();
            Some(Filter { facet, value: value.clone() })
        };
        let grouping = Grouping {
            filters: chosen.iter().filter_map(filter).collect(),
            ..Grouping::parse(fields.given("by"), &[])?
        };
        let scope = Scope {
            transcribed: fields.is_on("transcribed"),
            opened_only: fields.is_on("opened"),
            with_regrafts: fields.is_on("regrafts"),
            whose: word(fields, "whose", Whose::parse)?,
            unchecked: fields.is_on("unchecked"),
        };
        let question = PoolQuestion {
            count: count(fields)?,
            grouping,
            scope,
            replicated_only: fields.is_on("replicated"),
            ..PoolQuestion::about(fields.get("species"))
        };
        Ok(Self { chosen, question })
    }

    /// The usual question about a species.
    pub(super) fn usual(species: &str) -> Self {
        Self { chosen: Vec::new(), question: PoolQuestion::about(species) }.about(species)
    }

    /// The species asked for, as it stands in the query.
    pub(super) fn species(&self) -> Option<&str> {
        self.get("species")
    }

    fn get(&self, name: &str) -> Option<&str> {
        self.chosen.iter().find(|(found, _)| found == name).map(|(_, value)| value.as_str())
    }

    /// The same about another species.
    #[must_use]
    pub(super) fn about(mut self, species: &str) -> Self {
        species.clone_into(&mut self.question.species);
        self.with("species", species)
    }

    /// The same with one field set otherwise; an empty text takes it away. Whatever the field decides is not read anew.
    #[must_use]
    pub(super) fn with(mut self, name: &str, value: &str) -> Self {
        self.chosen.retain(|(found, _)| found != name);
        if !value.is_empty() {
            self.chosen.insert(0, (name.to_owned(), value.to_owned()));
        }
        self
    }

    /// Whether anything but the species was chosen.
    pub(super) fn is_narrowed(&self) -> bool {
        self.chosen.iter().any(|(name, _)| name != "species")
    }

    /// The query of an address that asks the same.
    pub(super) fn query(&self) -> String {
        let pairs = self.chosen.iter().map(|(name, value)| format!("{name}={}", link::part(value)));
        pairs.collect::<Vec<_>>().join("&")
    }

    /// The question, with what moves the figures.
    pub(super) fn in_detail(self) -> PoolQuestion {
        PoolQuestion { detail: true, ..self.question }
    }
}

/// The name of the field that filters by a facet.
pub(super) fn has(facet: &str) -> String {
    format!("{HAS}{facet}")
}

/// Rooted at lift, or finished at the final count, unless chosen otherwise.
fn count(fields: &Fields) -> Result<Question, Fault> {
    let stage = word(fields, "stage", Stage::parse)?.unwrap_or_default();
    let usual = if stage == Stage::Final { Outcome::Final } else { Outcome::Rooted };
    Ok(Question { stage, outcome: word(fields, "outcome", Outcome::parse)?.unwrap_or(usual) })
}

fn word<T>(fields: &Fields, name: &str, parse: impl Fn(&str) -> Option<T>) -> Result<Option<T>, Fault> {
    let Some(text) = fields.given(name) else { return Ok(None) };
    parse(text)
        .map(Some)
        .ok_or_else(|| Fault::user("page-word-unknown").with("text", text).with("name", name))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(query: &str) -> Result<Asked, Fault> {
        Asked::read(&Fields::read(query.as_bytes()))
    }

    #[test]
    fn a_query_is_read_and_written_the_same() {
        let query = "species=Morus%20nigra&stage=spring&by=medium&whose=everybody&replicated=yes&has_humidity=fog%26x";
        let read = asked(query).expect("a query of our own");
        assert_eq!(read.query(), query);
        assert_eq!(read.question.count, Question { stage: Stage::Spring, outcome: Outcome::Rooted });
        assert_eq!(
            read.question.grouping.filters,
            [Filter { facet: "humidity".to_owned(), value: "fog&x".to_owned() }]
        );
        assert_eq!(read.question.scope.whose, Some(Whose::Everybody));
        assert!(read.question.replicated_only && read.is_narrowed());
        assert_eq!(read.clone().about("Cornus mas").species(), Some("Cornus mas"));
    }

    #[test]
    fn the_final_count_asks_for_finished_plants() {
        let read = asked("species=Morus+nigra&stage=final").expect("a query of our own");
        assert_eq!(read.question.count.outcome, Outcome::Final);
        assert!(!asked("species=Morus+nigra&junk=1").expect("what is not known is left").is_narrowed());
    }

    #[test]
    fn words_of_no_form_are_refused_in_words() {
        for query in ["stage=autumn", "outcome=%3Cb%3E", "whose=nobody", "by=%22%3E"] {
            assert!(asked(query).is_err(), "{query}");
        }
    }
}
