//! What growers say: phrases that set several details at once, say something that stays at home, or have to be asked
//! about. Plain spellings stand in the code lists.

mod counted;
mod hormone;
mod said;
mod table;

use super::list::folded;
use super::{Facet, FacetError, medium};
use crate::record::Facets;
use crate::schema::text_schema;
pub use said::{AtHome, Heard, HomeDetail, Missing, Said};
use serde::{Deserialize, Serialize};
use table::{Phrase, Says};

/// The English in which a grower speaks: the same word may mean another thing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Dialect {
    /// United Kingdom and Ireland.
    Uk,
    /// United States and Canada.
    #[default]
    Us,
    /// Australia and New Zealand.
    Au,
}

text_schema!(Dialect, "Trade words and spelling of the US, the UK, or AU and NZ.", "^(us|uk|au)$");

/// Understands what a grower types for a detail; an empty text takes the detail back.
///
/// # Errors
/// When nothing of that detail is meant, with the words of that detail that are closest.
pub fn hear(facet: Facet, text: &str, dialect: Dialect) -> Result<Heard, FacetError> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(Heard::Understood(Said::of(facet, text)));
    }
    if let Some(phrase) = table::find(facet, text) {
        return Ok(meant(phrase, dialect));
    }
    let counted = match facet {
        Facet::Container => counted::container(text),
        Facet::Leaves => counted::leaves(text),
        Facet::BottomHeat => Some(Heard::Understood(Said::of(facet, counted::on_a_mat(text)))),
        Facet::Medium => medium_asked(text, dialect),
        Facet::Auxin => hormone::hear(text).map_err(|refused| refused.of(facet, text))?,
        _ => None,
    };
    in_our_words(counted.unwrap_or_else(|| Heard::Understood(Said::of(facet, text))))
}

/// With each detail in the words of its list, however it was typed.
fn in_our_words(heard: Heard) -> Result<Heard, FacetError> {
    Ok(match heard {
        Heard::Understood(said) => Heard::Understood(said.in_our_words()?),
        Heard::Asked { missing, choices } => {
            // What cannot be, such as a soak far too strong, is not offered beside what can.
            let checked: Vec<Result<Said, FacetError>> =
                choices.into_iter().map(Said::in_our_words).collect();
            let can_be: Vec<Said> = checked.iter().filter_map(|choice| choice.clone().ok()).collect();
            match checked.into_iter().find_map(Result::err).filter(|_| can_be.is_empty()) {
                Some(error) => return Err(error),
                None => Heard::Asked { missing, choices: can_be },
            }
        }
    })
}

impl Said {
    fn in_our_words(mut self) -> Result<Self, FacetError> {
        for (facet, words) in &mut self.facets {
            let mut facets = Facets::default();
            facets.set(*facet, words)?;
            // The kind is unknown where nothing is said of it.
            *words = if words.is_empty() { String::new() } else { facets.word(*facet).unwrap_or_default() };
        }
        Ok(self)
    }
}

fn meant(phrase: &Phrase, dialect: Dialect) -> Heard {
    match phrase.says {
        Says::Means(facets) => Heard::Understood(Said::all(facets)),
        Says::Asks(missing, choices) => {
            let mut choices: Vec<Said> = choices.iter().map(|facets| Said::all(facets)).collect();
            // Compost is bought in the one place, and made in the garden in the others.
            if folded(phrase.texts[0]) == "compost" && dialect != Dialect::Uk {
                choices.reverse();
            }
            Heard::Asked { missing, choices }
        }
    }
}

/// A medium of which one component may mean several things, with that component by each of its names.
fn medium_asked(text: &str, dialect: Dialect) -> Option<Heard> {
    let parts = medium::parts(text);
    let asked = |at: usize| match meant(table::find(Facet::Medium, &parts[at].name)?, dialect) {
        Heard::Asked { missing, choices } => Some((at, missing, choices)),
        Heard::Understood(_) => None,
    };
    let (at, missing, choices) = (0..parts.len()).find_map(asked)?;
    let with = |choice: Said| {
        let mut parts = parts.clone();
        parts[at].name = choice.facets.into_iter().next().map(|(_, word)| word).unwrap_or_default();
        Said::of(Facet::Medium, medium::typed(&parts))
    };
    Some(Heard::Asked { missing, choices: choices.into_iter().map(with).collect() })
}
