//! Facets of a record in words.

use propagule_protocol::Facets;
use propagule_protocol::vocab::Facet;

use super::row::FacetWords;

/// Words of every facet that is stated; a facet stated as unknown is left out like one not stated.
pub fn facet_words(facets: &Facets) -> FacetWords {
    let known = |facet: Facet| {
        let word = facets.word(facet).filter(|word| word != "unknown")?;
        Some((facet.name().to_owned(), word))
    };
    Facet::ALL.into_iter().filter_map(known).collect()
}
