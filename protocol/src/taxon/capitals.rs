//! Reads names that were typed in capitals, or with a capital where none belongs.

use super::Note;
use super::fold::ascii;
use super::parse::{capitalised, is_lone_sign, marks_uncertainty, rank_code};
use crate::taxon::names;
use crate::text_rules::is_epithet;

/// A capital that was taken for a small letter, before it is known what name came of it.
pub(super) enum Reading {
    /// The genus or the epithet stood in capitals.
    Capitals {
        /// Whether the name is listed, or both stood in capitals.
        is_sure: bool,
    },
    /// The epithet began with a capital.
    Capital {
        /// As typed.
        word: String,
        /// As read.
        epithet: String,
        /// Whether the name is listed.
        is_sure: bool,
    },
}

impl Reading {
    /// What is said of it; `name` is genus and species as they were read.
    pub(super) fn note(self, name: String) -> Note {
        match self {
            Self::Capitals { is_sure } => Note::Capitals { name, is_sure },
            Self::Capital { word, epithet, is_sure } => Note::Capital { word, epithet, is_sure },
        }
    }
}

/// Puts words in capitals, and an epithet that begins with one, into the form that the grammar reads.
///
/// The second word is read as the epithet where it is listed under the genus, or where genus and second word
/// are all that there is. An author or a cultivar without its quotes could stand there as well: then the
/// reading is not sure.
pub(super) fn lowered(words: &mut [String]) -> Option<Reading> {
    let genus = words.iter().position(|word| !is_lone_sign(word))?;
    let had_capitals = is_in_capitals(&words[genus]);
    if had_capitals {
        words[genus] = capitalised(&words[genus].to_lowercase());
    }
    let second = (genus + 1..words.len()).find(|at| !is_small(&words[*at])).unwrap_or(words.len());
    for word in &mut words[genus + 1..second] {
        *word = word.to_lowercase();
    }
    let reading = if second < words.len() { epithet(words, genus, second, had_capitals) } else { None };
    if words.get(second).is_some_and(|word| word.starts_with(char::is_lowercase)) {
        lower_ranks(&mut words[second + 1..], had_capitals);
    }
    reading.or_else(|| had_capitals.then_some(Reading::Capitals { is_sure: true }))
}

/// A sign or a word of uncertainty, in capitals or not.
fn is_small(word: &str) -> bool {
    is_lone_sign(word) || marks_uncertainty(word.to_lowercase().trim_end_matches('.'))
}

fn epithet(words: &mut [String], genus: usize, second: usize, had_capitals: bool) -> Option<Reading> {
    let word = words[second].clone();
    let epithet = ascii(&word).to_lowercase();
    let in_capitals = is_in_capitals(&word);
    if !word.starts_with(char::is_uppercase) || !is_epithet(&epithet) || !in_capitals && !is_title(&word) {
        return None;
    }
    let is_listed = names::is_listed_species(&ascii(&words[genus]).to_lowercase(), &epithet);
    let both_in_capitals = had_capitals && in_capitals;
    if !is_listed && !both_in_capitals && second + 1 < words.len() {
        return None;
    }
    words[second].clone_from(&epithet);
    let is_sure = is_listed || both_in_capitals;
    Some(if in_capitals {
        Reading::Capitals { is_sure }
    } else {
        Reading::Capital { word, epithet, is_sure }
    })
}

/// Ranks, and the epithets after them. `F.` and `V.` are taken for ranks only in a name in capitals: elsewhere
/// they belong to authors.
fn lower_ranks(words: &mut [String], had_capitals: bool) {
    for at in 0..words.len().saturating_sub(1) {
        let rank = words[at].to_lowercase();
        let is_rank = rank_code(&rank).is_some() && (had_capitals || rank.len() > 2);
        let next = ascii(&words[at + 1]).to_lowercase();
        if is_rank && is_epithet(&next) {
            (words[at], words[at + 1]) = (rank, next);
        }
    }
}

fn is_in_capitals(word: &str) -> bool {
    let letters = || word.chars().filter(|c| *c != '-');
    letters().count() >= 2 && letters().all(char::is_uppercase)
}

fn is_title(word: &str) -> bool {
    word.chars().skip(1).all(|c| c.is_lowercase() || c == '-')
}
