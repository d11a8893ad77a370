//! An embedded list of plants that growers propagate: common names, hints, usual wood stage.
//!
//! Written by us; a help for typing, never a rule: names outside it are as good.

mod find;
mod synonyms;

#[cfg(test)]
mod tests;

pub(crate) use find::{by_common, near_common};
pub use find::{lookup, suggest};
pub use synonyms::{SynonymError, Synonyms};

use std::collections::BTreeSet;
use std::sync::LazyLock;

use crate::taxon::Taxon;

/// One listed plant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listed {
    /// Scientific name.
    pub scientific: &'static str,
    /// Common names, the most usual first.
    pub common: Vec<&'static str>,
    /// What to mind.
    pub hints: Vec<Hint>,
    /// Usual wood stage or way: `softwood`, `semi-ripe`, `hardwood`, `seed`, `graft`…
    pub usual: &'static str,
}

/// What to mind with a plant. Never a verdict: labels, local code and licensed practice decide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Hint {
    /// Sap, latex or dust that harms skin or eyes.
    Sap,
    /// Regulated as invasive somewhere.
    Invasive,
    /// Many cultivars are protected: ask before multiplying.
    Rights,
}

impl Hint {
    /// One line for the moment it matters: the hazard, then who decides.
    pub fn caution(self) -> &'static str {
        match self {
            Self::Sap => {
                "The sap or latex of this plant can harm skin and eyes: wear gloves and eye protection, and \
                 ask a medic if it gets into the eyes."
            }
            Self::Invasive => {
                "This plant is regulated as invasive in some places: follow your local rules before you plant it \
                 or pass it on."
            }
            Self::Rights => {
                "Many cultivars of this plant are protected: multiplying one, by whatever method, may need a \
                 licence; ask its owner before you multiply or publish."
            }
        }
    }
}

/// What to mind with a plant: the hints of its species, or of sap for an unlisted species whose genus is
/// known for it.
pub fn hints(taxon: &Taxon) -> Vec<Hint> {
    let name = |species: &str| format!("{} {species}", taxon.genus);
    let own = taxon.species.as_deref().map(name);
    let is_own = |listed: &&Listed| own.as_deref() == Some(&listed.scientific.to_lowercase());
    if let Some(listed) = LIST.iter().find(is_own) {
        return listed.hints.clone();
    }
    let genus = |listed: &&Listed| listed.scientific.to_lowercase().split(' ').next() == Some(&taxon.genus);
    let has_sap = LIST.iter().filter(genus).any(|listed| listed.hints.contains(&Hint::Sap));
    if has_sap { vec![Hint::Sap] } else { Vec::new() }
}

static LIST: LazyLock<Vec<Listed>> =
    LazyLock::new(|| include_str!("list.tsv").lines().filter_map(row).collect());

static GENERA: LazyLock<BTreeSet<String>> = LazyLock::new(|| {
    let genus = |listed: &Listed| listed.scientific.split(' ').next().unwrap_or_default().to_lowercase();
    LIST.iter().map(genus).collect()
});

/// All listed plants, by scientific name.
pub fn all() -> &'static [Listed] {
    &LIST
}

/// Whether a genus in lower case is on the list.
pub(crate) fn is_listed_genus(genus: &str) -> bool {
    GENERA.contains(genus)
}

/// Whether a species, both parts in lower case, is on the list.
pub(crate) fn is_listed_species(genus: &str, epithet: &str) -> bool {
    let is_it = |listed: &Listed| {
        let mut words = listed.scientific.split(' ').map(str::to_lowercase);
        words.next().as_deref() == Some(genus) && words.next().as_deref() == Some(epithet)
    };
    LIST.iter().any(is_it)
}

/// Columns: scientific name, common names by comma, hints as letters s i r, usual stage.
fn row(line: &'static str) -> Option<Listed> {
    let mut columns = line.split('\t');
    let scientific = columns.next().filter(|name| !name.is_empty() && !name.starts_with('#'))?;
    let common = columns.next()?.split(", ").filter(|name| !name.is_empty()).collect();
    let hints = columns.next()?.chars().filter_map(hint).collect();
    Some(Listed { scientific, common, hints, usual: columns.next()? })
}

fn hint(letter: char) -> Option<Hint> {
    match letter {
        's' => Some(Hint::Sap),
        'i' => Some(Hint::Invasive),
        'r' => Some(Hint::Rights),
        _ => None,
    }
}
