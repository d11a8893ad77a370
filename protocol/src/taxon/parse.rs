//! The grammar of plant names (ICN and ICNCP):
//! `[×|+] Genus [×] epithet [subsp.|var.|f. epithet] [(X Group)|X Group] ['Cultivar'] [authors dropped]`,
//! hybrid formulas `A b × A c`, and the uncertain forms `sp.`, `cf.`, `aff.`.

use std::collections::VecDeque;

use super::authors::is_author_word;
use super::fold::ascii;
use super::token::{self, Cut};
use super::{Taxon, TaxonError, TaxonFault};
use crate::taxon::names;
use crate::text_rules::is_epithet;

impl Taxon {
    /// Reads a name that was taken in before, or that stands in a book. Authors are dropped; unlisted names are
    /// fine. What a grower types goes through [`Taxon::parse_noting`].
    pub fn parse(text: &str) -> Result<Self, TaxonError> {
        Self::parse_dropping(text).map(|(taxon, _)| taxon)
    }

    /// Like [`Taxon::parse`], with the words that were dropped as authors: a cultivar without its quotes is
    /// among them.
    pub(super) fn parse_dropping(text: &str) -> Result<(Self, Vec<String>), TaxonError> {
        token::cut(text).and_then(read).map_err(|fault| TaxonError::new(text, fault))
    }
}

/// The name in its words, and the words that were dropped as authors.
pub(super) fn read(cut: Cut) -> Result<(Taxon, Vec<String>), TaxonFault> {
    let Cut { words, group, cultivar } = cut;
    let taxon = Taxon { group, cultivar, ..Taxon::default() };
    Parser { words: words.into(), dropped: Vec::new(), taxon }.name()
}

pub(super) fn capitalised(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|first| first.to_uppercase().chain(chars).collect()).unwrap_or_default()
}

#[derive(Clone, Copy, PartialEq)]
enum Sign {
    Hybrid,
    Chimaera,
}

impl Sign {
    fn mark(self) -> u8 {
        match self {
            Self::Hybrid => Taxon::HYBRID,
            Self::Chimaera => Taxon::CHIMAERA,
        }
    }
}

struct Parser {
    words: VecDeque<String>,
    dropped: Vec<String>,
    taxon: Taxon,
}

impl Parser {
    fn name(mut self) -> Result<(Taxon, Vec<String>), TaxonFault> {
        self.genus()?;
        self.species()?;
        self.ranks()?;
        self.other_parent()?;
        self.authors()?;
        self.drop_first(self.words.len());
        Ok((self.taxon, self.dropped))
    }

    fn peek(&self) -> Option<&str> {
        self.words.front().map(String::as_str)
    }

    fn drop_first(&mut self, words: usize) {
        self.dropped.extend(self.words.drain(..words));
    }

    /// Takes a sign that stands alone or is glued to the next word.
    fn sign(&mut self) -> Option<Sign> {
        let word = self.peek()?;
        let alone = match word {
            "×" | "x" | "X" => Some(Sign::Hybrid),
            "+" => Some(Sign::Chimaera),
            _ => None,
        };
        if alone.is_some() {
            self.words.pop_front();
            return alone;
        }
        let (sign, rest) = glued(word)?;
        let rest = rest.to_owned();
        self.words[0] = rest;
        Some(sign)
    }

    fn genus(&mut self) -> Result<(), TaxonFault> {
        if let Some(sign) = self.sign() {
            self.taxon.marks |= sign.mark();
        }
        let word = self.words.pop_front().ok_or(TaxonFault::Empty)?;
        let lower = ascii(&word).to_lowercase();
        let may_be_genus = word.starts_with(char::is_uppercase) || names::is_listed_genus(&lower);
        // The words for a group are no genera, or a formula that repeats one reads as a group.
        if !may_be_genus || !is_epithet(&lower) || matches!(lower.as_str(), "gp" | "group") {
            return Err(TaxonFault::Genus(word));
        }
        self.taxon.genus = lower;
        Ok(())
    }

    fn species(&mut self) -> Result<(), TaxonFault> {
        match self.peek() {
            Some("sp." | "spp." | "sp" | "spp") => {
                self.words.pop_front();
                self.taxon.marks |= Taxon::UNCERTAIN;
                return Ok(());
            }
            Some("cf." | "aff." | "cf" | "aff") => {
                let word = self.words.pop_front().unwrap_or_default();
                self.taxon.marks |= Taxon::UNCERTAIN;
                if let Some(sign) = self.sign() {
                    self.taxon.marks |= sign.mark();
                }
                self.taxon.species = Some(self.epithet_after(&word)?);
                return Ok(());
            }
            _ => {}
        }
        if let Some(sign) = self.sign() {
            self.taxon.marks |= sign.mark();
            self.taxon.species = Some(self.epithet_after("×")?);
        } else if self.peek().is_some_and(is_epithet_word) {
            self.taxon.species = Some(self.epithet_after("")?);
        }
        Ok(())
    }

    /// The lowest rank counts; `f.` is a form only before an epithet.
    fn ranks(&mut self) -> Result<(), TaxonFault> {
        loop {
            self.pass_authors_before_rank();
            let Some(rank) = self.peek().and_then(rank_code) else { break };
            let has_epithet = self.words.get(1).is_some_and(|word| is_epithet_word(word));
            if !has_epithet && self.peek() == Some("f.") {
                break;
            }
            let word = self.words.pop_front().unwrap_or_default();
            self.taxon.infraspecific = Some((rank, self.epithet_after(&word)?));
        }
        match self.peek() {
            Some(word) if self.taxon.species.is_some() && is_epithet_word(word) && !is_author_word(word) => {
                Err(TaxonFault::Rank(word.to_owned()))
            }
            _ => Ok(()),
        }
    }

    /// Authors of the species may stand before a rank that follows.
    fn pass_authors_before_rank(&mut self) {
        let epithet_follows = |at: usize| self.words.get(at + 1).is_some_and(|word| is_epithet_word(word));
        let is_rank = |at: usize| {
            rank_code(&self.words[at]).is_some() && (self.words[at] != "f." || epithet_follows(at))
        };
        let rank = (0..self.words.len()).find(|at| is_rank(*at));
        if let Some(rank) = rank.filter(|rank| self.words.iter().take(*rank).all(|word| is_author_word(word)))
        {
            self.drop_first(rank);
        }
    }

    /// `× Genus epithet`, `× G. epithet` or `× epithet` after a species and its authors.
    fn other_parent(&mut self) -> Result<(), TaxonFault> {
        let authors = self.words.iter().take_while(|word| is_author_word(word) && !is_sign(word)).count();
        if self.taxon.species.is_none() || !self.words.get(authors).is_some_and(|word| is_sign(word)) {
            return Ok(());
        }
        self.drop_first(authors);
        let sign = self.sign().expect("a sign is next");
        self.taxon.marks |= sign.mark();
        let genus = self.other_genus()?;
        self.taxon.other_parent = Some((genus, self.epithet_after("×")?));
        Ok(())
    }

    fn other_genus(&mut self) -> Result<String, TaxonFault> {
        let Some(word) = self.peek().filter(|word| word.starts_with(char::is_uppercase)) else {
            return Ok(self.taxon.genus.clone());
        };
        let lower = ascii(word).to_lowercase();
        let genus = match lower.strip_suffix('.') {
            Some(initial) if self.taxon.genus.starts_with(initial) => self.taxon.genus.clone(),
            None if is_epithet(&lower) => lower,
            _ => return Err(TaxonFault::Genus(word.to_owned())),
        };
        self.words.pop_front();
        Ok(genus)
    }

    fn epithet_after(&mut self, before: &str) -> Result<String, TaxonFault> {
        let word = self.words.pop_front().ok_or_else(|| TaxonFault::Missing(before.to_owned()))?;
        let plain = ascii(&word);
        let is_fine = is_epithet(&plain) && !is_author_word(&plain) && !marks_uncertainty(&plain);
        if is_fine { Ok(plain) } else { Err(TaxonFault::Epithet(word)) }
    }

    fn authors(&mut self) -> Result<(), TaxonFault> {
        match self.words.iter().find(|word| !is_author_word(word)) {
            Some(word) => Err(TaxonFault::Unexpected(word.clone())),
            None => Ok(()),
        }
    }
}

/// `×Genus`, `×epithet`, `+Genus` and `xGenus`; a genus that begins with X is left alone.
fn glued(word: &str) -> Option<(Sign, &str)> {
    if let Some(rest) = word.strip_prefix('×').filter(|rest| !rest.is_empty()) {
        return Some((Sign::Hybrid, rest));
    }
    if let Some(rest) = word.strip_prefix('+').filter(|rest| !rest.is_empty()) {
        return Some((Sign::Chimaera, rest));
    }
    let rest = word.strip_prefix('x').filter(|rest| rest.starts_with(char::is_uppercase))?;
    Some((Sign::Hybrid, rest))
}

/// A sign that is a word of its own.
pub(super) fn is_lone_sign(word: &str) -> bool {
    matches!(word, "×" | "x" | "X" | "+")
}

fn is_sign(word: &str) -> bool {
    is_lone_sign(word) || glued(word).is_some()
}

/// Words that say that a name is not certain; without its stop such a word is no epithet either, since
/// `+ Genus sp` would read back as something else.
pub(super) fn marks_uncertainty(word: &str) -> bool {
    matches!(word, "sp" | "spp" | "cf" | "aff")
}

/// An epithet, accents or not, that is none of the small words between authors.
fn is_epithet_word(word: &str) -> bool {
    let plain = ascii(word);
    word.starts_with(char::is_lowercase)
        && is_epithet(&plain)
        && !is_author_word(word)
        && !is_author_word(&plain)
}

pub(super) fn rank_code(word: &str) -> Option<u8> {
    match word {
        "subsp." | "ssp." | "subsp" | "ssp" => Some(2),
        "var." | "v." | "var" => Some(3),
        "f." | "forma" | "fo." => Some(4),
        _ => None,
    }
}
