//! An embedded list of plants that growers propagate: common names, hints, usual wood stage.
//!
//! Written by us; a help for typing, never a rule: names outside it are as good.

mod find;
mod hazards;
mod other;
mod synonyms;

#[cfg(test)]
mod tests;

pub(crate) use find::{by_common, meant_by_common, near_common, without_what_it_is};
pub use find::{lookup, suggest};
pub use hazards::{HazardSource, HazardousPlant, PlantHazard, hazardous, hazards};
pub use other::{OTHER_NAMES_VERSION, OtherName, other_names, perhaps};
pub use synonyms::{SynonymError, Synonyms};

use std::collections::BTreeSet;
use std::sync::LazyLock;

/// One listed plant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listed {
    /// Scientific name.
    pub scientific: &'static str,
    /// Common names, the most usual first.
    pub common: Vec<&'static str>,
    /// The common name that means this plant where it stands alone, though others have it in theirs.
    pub alone: Option<&'static str>,
    /// What to mind beside its sap.
    pub hints: Vec<PlantHazard>,
    /// Usual wood stage or way: `softwood`, `semi-ripe`, `hardwood`, `seed`, `graft`…
    pub usual: &'static str,
}

static LIST: LazyLock<Vec<Listed>> =
    LazyLock::new(|| include_str!("list.tsv").lines().filter_map(row).collect());

static GENERA: LazyLock<BTreeSet<String>> = LazyLock::new(|| {
    let genus = |name: &str| name.split(' ').next().unwrap_or_default().to_lowercase();
    let other = other_names().iter().map(|other| genus(other.name));
    LIST.iter().map(|listed| genus(listed.scientific)).chain(other).collect()
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
    let is_it = |name: &str| {
        let mut words = name.split(' ').map(str::to_lowercase);
        words.next().as_deref() == Some(genus) && words.next().as_deref() == Some(epithet)
    };
    LIST.iter().any(|listed| is_it(listed.scientific)) || other_names().iter().any(|other| is_it(other.name))
}

/// Columns: scientific name, common names by comma, `!` behind one that means this plant where it stands alone, hints as letters i r, usual stage.
fn row(line: &'static str) -> Option<Listed> {
    let mut columns = line.split('\t');
    let scientific = columns.next().filter(|name| !name.is_empty() && !name.starts_with('#'))?;
    let typed: Vec<&str> = columns.next()?.split(", ").filter(|name| !name.is_empty()).collect();
    let alone = typed.iter().find_map(|name| name.strip_suffix('!'));
    let common = typed.into_iter().map(|name| name.trim_end_matches('!')).collect();
    let hints = columns.next()?.chars().filter_map(hazards::hint).collect();
    Some(Listed { scientific, common, alone, hints, usual: columns.next()? })
}
