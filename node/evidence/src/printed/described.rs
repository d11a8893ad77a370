//! What the columns of a printed trial say of an arm, in the words of the vocabulary.

use propagule_files::fault::{Fault, Problem};
use propagule_files::table::{Problems, Table, TableRow};
use propagule_protocol::{Facet, Facets};

use crate::facets::facet_words;
use crate::row::FacetWords;

/// Columns that hold one word of a facet, each with its facet.
const WORDS: [(&str, Facet); 8] = [
    ("kind", Facet::Kind),
    ("form", Facet::Form),
    ("wood", Facet::Wood),
    ("humidity", Facet::Humidity),
    ("container", Facet::Container),
    ("growing_place", Facet::GrowingPlace),
    ("bottom_heat_c", Facet::BottomHeat),
    ("cultivar", Facet::Cultivar),
];

/// A way of scarifying that was printed without saying which: no word of the list, and no scarifying is not meant either.
pub(crate) const SCARIFIED_SOMEHOW: &str = "how not known";

/// The facets of an arm; a word that the vocabulary lacks is a problem, but for media, which are then other.
pub(super) fn facets_of(table: &Table, row: &TableRow, problems: &mut Problems) -> FacetWords {
    let mut facets = Facets::default();
    for (column, facet) in WORDS {
        if let Some(cell) = table.cell(row, column) {
            set(&mut facets, facet, cell, (row, column), problems);
        }
    }
    if let Some(weeks) = stratification(table, row, problems) {
        set(&mut facets, Facet::Stratification, &weeks, (row, "cold_weeks"), problems);
    }
    if let Some(medium) = table.cell(row, "medium") {
        let is_listed = facets.set(Facet::Medium, &by_ratio(medium)).is_ok();
        if !is_listed {
            facets.set(Facet::Medium, "other").expect("other is a word of every list");
        }
    }
    let mut words = facet_words(&facets);
    if let Some(auxin) = auxin(table, row, problems) {
        words.insert(Facet::Auxin.name().to_owned(), auxin);
    }
    if let Some(scarified) = table.cell(row, "other_facets").and_then(scarified) {
        words.insert(Facet::Scarified.name().to_owned(), scarified.to_owned());
    }
    words
}

fn set(
    facets: &mut Facets,
    facet: Facet,
    text: &str,
    (row, column): (&TableRow, &str),
    problems: &mut Problems,
) {
    if let Err(error) = facets.set(facet, text) {
        let fault = Fault::user("printed-word-not-listed")
            .with("cell", text)
            .with("why", error.why)
            .near(&error.suggestions);
        problems.add(Problem::of_cell(row.line, column, fault));
    }
}

/// Weeks of warm and of cold; `None` where both cells are blank, which is not "none".
fn stratification(table: &Table, row: &TableRow, problems: &mut Problems) -> Option<String> {
    let [warm, cold] = ["warm_weeks", "cold_weeks"]
        .map(|column| table.cell(row, column).map(|_| table.count(row, column, problems)));
    match (warm, cold) {
        (None, None) => None,
        (warm, cold) => Some(format!("{}/{}", warm.unwrap_or(Some(0))?, cold.unwrap_or(Some(0))?)),
    }
}

/// `sand and peat 1:1` as the vocabulary has it, `1:1 sand:peat`; anything else as it is.
fn by_ratio(medium: &str) -> String {
    let parts = medium.rsplit_once(' ').and_then(|(names, ratio)| {
        let (first, second) = names.split_once(" and ")?;
        ratio
            .split(':')
            .all(|share| share.parse::<u16>().is_ok())
            .then(|| format!("{ratio} {first}:{second}"))
    });
    parts.unwrap_or_else(|| medium.to_owned())
}

/// Substance, form and strength. A printed strength may be finer than records have it, so it is kept as printed.
fn auxin(table: &Table, row: &TableRow, problems: &mut Problems) -> Option<String> {
    let substance = table.cell(row, "auxin")?;
    let form = table.cell(row, "auxin_form").unwrap_or_default();
    let mut facets = Facets::default();
    set(&mut facets, Facet::Auxin, format!("{substance} {form}").trim(), (row, "auxin"), problems);
    let read = facets.word(Facet::Auxin)?;
    let dose = table.cell(row, "auxin_mg_per_l").filter(|_| read != "none");
    let Some(dose) = dose else { return Some(read) };
    if dose.parse::<f64>().is_ok_and(|dose| dose.is_finite() && dose >= 0.0) {
        return Some(format!("{} {dose} mg/L", read.trim_end_matches(", strength unknown")));
    }
    let fault = Fault::user("printed-strength-malformed").with("cell", dose);
    problems.add(Problem::of_cell(row.line, "auxin_mg_per_l", fault));
    None
}

/// What the printed words say of scarifying; `None` where they are silent.
fn scarified(other: &str) -> Option<&'static str> {
    other.split(';').find_map(|part| match part.trim() {
        "scarified" => Some(SCARIFIED_SOMEHOW),
        "not scarified" => Some("no"),
        _ => None,
    })
}
