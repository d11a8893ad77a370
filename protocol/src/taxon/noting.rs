//! Names as growers type them: what is taken, what is noted about it, and what is asked back.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::authors::{are_surely_authors, is_author_word};
use super::capitals;
use super::fold::ascii;
use super::parse::{self, capitalised, is_lone_sign, rank_code};
use super::token::{self, Cut};
use super::{Taxon, TaxonFault};
use crate::taxon::names;
use crate::text_rules::is_epithet;

/// Words that head the sums of a table or stand for no plant.
const NO_PLANTS: [&str; 12] = [
    "total", "totals", "subtotal", "sum", "average", "avg", "mean", "all", "none", "plant", "plants", "test",
];

/// What became of a name that was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Noting {
    /// The name that was read; `None` where it has to be typed in another way first. Shown as it is, it is what
    /// will be published.
    pub taxon: Option<Taxon>,
    /// What was changed or left out on the way, and what is wrong: to be shown with the name, whatever it is.
    pub notes: Vec<Note>,
    /// Names that were perhaps meant, in the order of the list; never taken by themselves.
    pub offers: Vec<String>,
}

impl Noting {
    /// Whether nothing may be saved before somebody answered: there is no name, or one that needs a yes.
    pub fn asks(&self) -> bool {
        self.taxon.is_none() || self.needs_yes()
    }

    /// Whether the name may be taken, but only after a yes: more was left out or changed than goes without
    /// saying.
    pub fn needs_yes(&self) -> bool {
        self.taxon.is_some() && self.notes.iter().any(Note::needs_yes)
    }

    /// Whether what was typed cannot be a plant name: a yes does not help.
    pub fn is_refused(&self) -> bool {
        self.taxon.is_none() && self.notes.iter().any(Note::refuses)
    }

    fn nothing(note: Note) -> Self {
        Self { notes: vec![note], ..Self::default() }
    }
}

/// One thing to say about a name that was typed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "note", content = "of", rename_all = "snake_case")]
pub enum Note {
    /// Words in capitals were read as a name.
    Capitals {
        /// Genus and species as they were read.
        name: String,
        /// Whether the name is listed, or both words stood in capitals; otherwise it needs a yes.
        is_sure: bool,
    },
    /// A capitalised second word was read as the epithet.
    Capital {
        /// As typed.
        word: String,
        /// As read.
        epithet: String,
        /// Whether the name is listed; otherwise it needs a yes, for it may be an author or a cultivar.
        is_sure: bool,
    },
    /// Words of an author citation, which no record carries.
    AuthorLeftOut(String),
    /// Words that fit nowhere; needs a yes.
    Dropped(String),
    /// Capitalised words that may be a cultivar without its quotes; needs a yes.
    Unquoted(String),
    /// A genus of the list and nothing else.
    GenusAlone(String),
    /// A word that is neither a genus of the list nor a common name.
    SingleWord(String),
    /// A common name, which may belong to several plants.
    CommonName,
    /// A common name that means one plant.
    Common {
        /// As typed.
        typed: String,
        /// As read.
        name: String,
    },
    /// Not in the list, but close to common names that are.
    Near,
    /// A word of a table's sums; refused.
    NotAPlant(String),
    /// A digit within the name; refused.
    Digit,
    /// What the grammar cannot read; refused.
    Fault(TaxonFault),
}

impl Note {
    /// Whether a name with this note may be saved only after a yes.
    pub fn needs_yes(&self) -> bool {
        match self {
            Self::Capitals { is_sure, .. } | Self::Capital { is_sure, .. } => !is_sure,
            Self::Dropped(_) | Self::Unquoted(_) => true,
            _ => false,
        }
    }

    /// Whether a text with this note is no name at all.
    pub fn refuses(&self) -> bool {
        matches!(self, Self::NotAPlant(_) | Self::Digit | Self::Fault(_))
    }
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Capitals { name, .. } => write!(f, "capitals read as {name}"),
            Self::Capital { word, epithet, .. } => write!(f, "{word} read as the epithet {epithet}"),
            Self::AuthorLeftOut(words) => write!(f, "author left out: {words}"),
            Self::Dropped(words) => write!(f, "dropped: {words}"),
            Self::Unquoted(words) => {
                write!(f, "dropped: {words}; if it is a cultivar, write '{words}' in quotes")
            }
            Self::GenusAlone(genus) => {
                write!(f, "a genus alone: write {genus} sp. if that is all you know")
            }
            Self::SingleWord(word) => {
                write!(f, "not in the list; a single word: write '{word} sp.' or a species")
            }
            Self::CommonName => f.write_str("a common name: which one?"),
            Self::Common { typed, name } => write!(f, "{typed} means {name}"),
            Self::Near => f.write_str("not in the list; is it one of these?"),
            Self::NotAPlant(word) => write!(f, "{word} is not a plant: a totals row?"),
            Self::Digit => f.write_str("a digit in a name"),
            Self::Fault(fault) => fault.fmt(f),
        }
    }
}

impl Taxon {
    /// Reads a name that a grower typed: the only way in for names from outside.
    ///
    /// Nothing but authors, ranks and signs is left out without a yes, and nothing is taken that is not a name: a
    /// genus alone, a common name or the head of a sum is asked back.
    pub fn parse_noting(text: &str) -> Noting {
        match token::cut(text) {
            Ok(cut) => refused(&cut).map_or_else(|| note(&cut), Noting::nothing),
            Err(fault) => Noting::nothing(Note::Fault(fault)),
        }
    }
}

/// What is no name whatever the rest of it is: sums, and digits in genus or epithet.
fn refused(cut: &Cut) -> Option<Note> {
    let mut named = cut.words.iter().filter(|word| !is_lone_sign(word)).take(2).peekable();
    let first = named.peek()?;
    let bare = first.trim_matches(|c: char| !c.is_alphanumeric());
    if NO_PLANTS.contains(&bare.to_lowercase().as_str()) {
        return Some(Note::NotAPlant(bare.to_owned()));
    }
    named.any(|word| word.contains(|c: char| c.is_numeric())).then_some(Note::Digit)
}

fn note(cut: &Cut) -> Noting {
    // A common name is looked for first: "Japanese maple" has the form of a genus and an epithet.
    if let Some(noting) = common(cut) {
        return noting;
    }
    let mut lowered = cut.clone();
    let capitals = capitals::lowered(&mut lowered.words);
    match longest(&lowered) {
        Err(fault) => unread(cut, Note::Fault(fault)),
        Ok(read) => {
            let mut notes = Vec::new();
            notes.extend(capitals.map(|reading| reading.note(bare(&read.taxon))));
            notes.extend(left_out(&read.authors, &read.rest));
            let ranked = ranked(&read);
            let taken = taken(cut, read.taxon);
            notes.extend(taken.notes);
            Noting { notes, offers: if taken.offers.is_empty() { ranked } else { taken.offers }, ..taken }
        }
    }
}

/// A name with the words after it that it could not take.
struct Read {
    taxon: Taxon,
    authors: Vec<String>,
    rest: Vec<String>,
}

/// The longest run of words from the first on that is a name. The fault is that of all words together.
fn longest(cut: &Cut) -> Result<Read, TaxonFault> {
    let read = |length: usize| {
        let (words, rest) = cut.words.split_at(length);
        let (taxon, authors) = parse::read(Cut { words: words.to_vec(), ..cut.clone() })?;
        Ok(Read { taxon, authors, rest: rest.to_vec() })
    };
    let whole = read(cut.words.len());
    let shorter = || (1..cut.words.len()).rev().find_map(|length| read(length).ok());
    whole.or_else(|fault| shorter().ok_or(fault))
}

/// Genus and species, as the note on capitals names them.
fn bare(taxon: &Taxon) -> String {
    Taxon { group: None, cultivar: None, ..taxon.clone() }.to_string()
}

fn left_out(authors: &[String], rest: &[String]) -> Vec<Note> {
    let joined = |words: &[String]| (!words.is_empty()).then(|| words.join(" "));
    let note = if are_surely_authors(authors) { Note::AuthorLeftOut } else { Note::Unquoted };
    [joined(authors).map(note), joined(rest).map(Note::Dropped)].into_iter().flatten().collect()
}

/// The names that a single epithet without its rank may have meant.
fn ranked(read: &Read) -> Vec<String> {
    let is_plain = read.taxon.species.is_some() && read.taxon.infraspecific.is_none();
    match &read.rest[..] {
        [word] if is_plain && is_epithet(word) && !is_author_word(word) => {
            let with = |rank| Taxon { infraspecific: Some((rank, word.clone())), ..read.taxon.clone() };
            ["subsp.", "var.", "f."]
                .into_iter()
                .filter_map(rank_code)
                .map(|rank| with(rank).to_string())
                .collect()
        }
        _ => Vec::new(),
    }
}

/// A genus by itself is no name; with `sp.`, a cultivar or a group it is.
fn taken(cut: &Cut, taxon: Taxon) -> Noting {
    let is_alone = taxon.species.is_none()
        && !taxon.is_marked(Taxon::UNCERTAIN)
        && (&taxon.group, &taxon.cultivar) == (&None, &None);
    if !is_alone {
        return Noting { taxon: Some(taxon), ..Noting::default() };
    }
    let genus = taxon.to_string();
    if names::is_listed_genus(&taxon.genus) {
        Noting::nothing(Note::GenusAlone(genus))
    } else {
        unread(cut, Note::SingleWord(genus))
    }
}

/// No name of the list and none that could be taken: what is close to it, or else `note`.
fn unread(cut: &Cut, note: Note) -> Noting {
    let near = names::near_common(&cut.words.join(" "));
    if near.is_empty() {
        Noting::nothing(note)
    } else {
        Noting { offers: offered(&near, cut), ..Noting::nothing(Note::Near) }
    }
}

/// The plant that a common name means, or those of which one common name holds all the words; none where the first word is
/// a genus of the list.
fn common(cut: &Cut) -> Option<Noting> {
    let first = cut.words.first()?;
    if names::is_listed_genus(&ascii(first).to_lowercase()) {
        return None;
    }
    let typed = cut.words.join(" ");
    if let Some(plant) = names::meant_by_common(&typed) {
        let name = plant.scientific.to_owned();
        let taxon = Taxon::parse(plant.scientific).ok()?;
        let taxon = Taxon { group: cut.group.clone(), cultivar: cut.cultivar.clone(), ..taxon };
        let notes = vec![Note::Common { typed, name }];
        return Some(Noting { taxon: Some(taxon), notes, offers: Vec::new() });
    }
    if let Some(bare) = names::without_what_it_is(&typed) {
        let words = bare.split(' ').map(str::to_owned).collect();
        let (group, cultivar) = (cut.group.clone(), cut.cultivar.clone());
        return common(&Cut { words, group, cultivar });
    }
    let found = names::by_common(&typed);
    let offers = offered(&found, cut);
    (!found.is_empty()).then(|| Noting { offers, ..Noting::nothing(Note::CommonName) })
}

/// Scientific names, with the group and the cultivar that were typed.
fn offered(plants: &[&names::Listed], cut: &Cut) -> Vec<String> {
    let Cut { group, cultivar, .. } = cut;
    let of = |plant: &&names::Listed| match Taxon::parse(plant.scientific) {
        Ok(taxon) => Taxon { group: group.clone(), cultivar: cultivar.clone(), ..taxon }.to_string(),
        Err(_) => capitalised(plant.scientific),
    };
    plants.iter().map(of).collect()
}
