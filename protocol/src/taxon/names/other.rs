//! Other scientific names of listed plants, so that growers who write different ones meet without being asked.

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::taxon::Taxon;

/// Version of the list; it rises with every change of it.
pub const OTHER_NAMES_VERSION: u32 = 1;

/// Another name of a plant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OtherName {
    /// The other name.
    pub name: &'static str,
    /// The name of the list.
    pub accepted: &'static str,
    /// Whether they are one plant; else some lists keep them apart, and a grower is asked.
    pub is_sure: bool,
}

static OTHER_NAMES: LazyLock<Vec<OtherName>> =
    LazyLock::new(|| include_str!("other_names.tsv").lines().filter_map(row).collect());

/// From species key to species key, those alone that are sure.
static SURE: LazyLock<HashMap<String, String>> = LazyLock::new(|| {
    let key = |name: &str| Taxon::parse(name).map(|taxon| taxon.species_key()).unwrap_or_default();
    let sure = OTHER_NAMES.iter().filter(|other| other.is_sure);
    sure.map(|other| (key(other.name), key(other.accepted))).collect()
});

/// All other names, by name.
pub fn other_names() -> &'static [OtherName] {
    &OTHER_NAMES
}

/// The listed species of which a species key is surely another name.
pub(super) fn surely(species_key: &str) -> Option<&'static str> {
    SURE.get(species_key).map(String::as_str)
}

/// Species keys that are surely other names of a listed species.
pub(super) fn all_surely() -> impl Iterator<Item = &'static str> {
    SURE.keys().map(String::as_str)
}

/// What may be the same plant under a name of the list, where that is for the grower to say.
pub fn perhaps(taxon: &Taxon) -> Option<OtherName> {
    let key = taxon.species_key();
    let is_it = |other: &&OtherName| {
        !other.is_sure && Taxon::parse(other.name).is_ok_and(|taxon| taxon.species_key() == key)
    };
    OTHER_NAMES.iter().find(is_it).copied()
}

/// Columns: other name, `=` or `?`, name of the list.
fn row(line: &'static str) -> Option<OtherName> {
    let mut columns = line.split('\t');
    let name = columns.next().filter(|name| !name.is_empty() && !name.starts_with('#'))?;
    let is_sure = match columns.next()? {
        "=" => true,
        "?" => false,
        _ => return None,
    };
    Some(OtherName { name, accepted: columns.next()?, is_sure })
}
