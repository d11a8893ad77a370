//! Plant names: one grammar, one display form, one match key.

mod authors;
mod capitals;
mod error;
mod fold;
pub mod names;
mod noting;
mod parse;
mod show;
mod token;

pub use error::{TaxonError, TaxonFault};
pub use noting::{Note, Noting};

pub(crate) use fold::{ascii, epithet_stem};

/// A plant name in its parts.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Taxon {
    /// Genus, lower case.
    pub genus: String,
    /// Species epithet.
    pub species: Option<String>,
    /// Rank below species (2 subsp., 3 var., 4 f.) and its epithet.
    pub infraspecific: Option<(u8, String)>,
    /// Cultivar group, without the word.
    pub group: Option<String>,
    /// Cultivar epithet, without quotes.
    pub cultivar: Option<String>,
    /// Bits: 1 hybrid, 2 graft-chimaera, 4 uncertain; 0 when absent.
    pub marks: u8,
    /// The other parent of a hybrid formula.
    pub other_parent: Option<(String, String)>,
    /// Ignorable entries of the wire form are dropped from the name but kept in the bytes.
    pub has_extensions: bool,
}

impl Taxon {
    /// Mark of a hybrid.
    pub const HYBRID: u8 = 1;
    /// Mark of a graft-chimaera.
    pub const CHIMAERA: u8 = 2;
    /// Mark of an uncertain name (cf., aff., sp.).
    pub const UNCERTAIN: u8 = 4;

    /// Whether all of `marks` are set.
    pub fn is_marked(&self, marks: u8) -> bool {
        self.marks & marks == marks
    }

    /// The key by which records of one species meet: genus and species in ASCII, without hybrid mark,
    /// rank, group and cultivar. Parents of a formula stand in alphabetical order.
    pub fn species_key(&self) -> String {
        let own = match (&self.species, self.is_marked(Self::UNCERTAIN)) {
            (Some(species), false) => format!("{} {species}", self.genus),
            (Some(species), true) => format!("{} cf {species}", self.genus),
            (None, false) => self.genus.clone(),
            (None, true) => format!("{} sp", self.genus),
        };
        let Some((genus, species)) = &self.other_parent else { return own };
        let other = format!("{genus} {species}");
        if own <= other { format!("{own} x {other}") } else { format!("{other} x {own}") }
    }

    /// The species that a species key stands for; `None` for a genus alone and for doubtful names.
    pub fn of_species_key(key: &str) -> Option<Self> {
        let (own, other) = key.split_once(" x ").map_or((key, None), |(own, other)| (own, Some(other)));
        let parts = |name: &str| {
            let (genus, species) = name.split_once(' ')?;
            Some((genus.to_owned(), species.to_owned()))
        };
        let (genus, species) = parts(own)?;
        let other_parent = match other {
            Some(other) => Some(parts(other)?),
            None => None,
        };
        let marks = if other_parent.is_some() { Self::HYBRID } else { 0 };
        let taxon = Self { genus, species: Some(species), marks, other_parent, ..Self::default() };
        let is_doubtful =
            taxon.species.as_deref().is_some_and(|species| species == "sp" || species.contains(' '));
        (!is_doubtful).then_some(taxon)
    }

    /// The key of the whole name: species key, rank, epithet, group and cultivar, split by `|`.
    pub fn key(&self) -> String {
        let (rank, epithet) = match &self.infraspecific {
            Some((rank, epithet)) => (show::rank(*rank), epithet.as_str()),
            None => (String::new(), ""),
        };
        let folded = |name: &Option<String>| ascii(name.as_deref().unwrap_or_default()).to_lowercase();
        [self.species_key(), rank, epithet.to_owned(), folded(&self.group), folded(&self.cultivar)].join("|")
    }
}

#[cfg(test)]
mod tests;
