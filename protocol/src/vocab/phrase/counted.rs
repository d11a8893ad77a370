//! Phrases that count: pots with their size, trays with their cells, leaves, a mat with its temperature.

use super::said::{Heard, HomeDetail, Missing, Said};
use crate::vocab::Facet;
use crate::vocab::codes;
use crate::vocab::list::{self, folded};
use crate::vocab::quantity::{leading_number, shown};

/// Units in which pots are sold, each with its spellings.
const SIZES: [(&str, &[&str]); 8] = [
    ("cm", &["cm"]),
    ("mm", &["mm"]),
    ("inch", &["inches", "inch", "in", "\"", "\u{201d}"]),
    ("gallon", &["gallons", "gallon", "gal"]),
    ("quart", &["quarts", "quart", "qt"]),
    ("litre", &["litres", "litre", "liters", "liter", "ltr"]),
    ("ml", &["ml"]),
    ("l", &["l"]),
];

const CELLS: [&str; 8] = ["s", "cell", "cells", "cell tray", "plug", "plugs", "plug tray", "module tray"];

/// `9 cm pot`, `1 gallon`, `72 cell`.
pub(super) fn container(text: &str) -> Option<Heard> {
    if list::code(codes::CONTAINER, text).is_some() {
        return None;
    }
    let spaced = text.replace('-', " ");
    let (number, rest) = leading_number(&spaced)?;
    if CELLS.iter().any(|cells| folded(cells) == folded(rest)) {
        let tray = Said::of(Facet::Container, "cell tray");
        return Some(Heard::Understood(tray.with(HomeDetail::Cells, shown(number))));
    }
    let lower = rest.to_lowercase();
    let sized = SIZES.iter().find_map(|(unit, spellings)| {
        spellings.iter().find_map(|spelling| Some((*unit, noun_after(&lower, spelling)?)))
    });
    let (unit, noun) = sized?;
    let noun = if noun.is_empty() { "pot" } else { noun };
    let said = Said::of(Facet::Container, noun);
    Some(Heard::Understood(said.with(HomeDetail::Size, format!("{} {unit}", shown(number)))))
}

/// What stands behind a unit, where the text begins with it as a word.
fn noun_after<'a>(text: &'a str, unit: &str) -> Option<&'a str> {
    let rest = text.strip_prefix(unit)?;
    let is_whole = unit.ends_with(['"', '\u{201d}']) || !rest.starts_with(|c: char| c.is_alphanumeric());
    is_whole.then(|| rest.trim())
}

/// `2 leaves`, `one pair`, `2 half leaves`.
pub(super) fn leaves(text: &str) -> Option<Heard> {
    if list::code(codes::LEAVES, text).is_some() {
        return None;
    }
    let spaced = folded(text);
    let (number, rest) = count(&spaced)?;
    let words: Vec<&str> = rest.split_whitespace().collect();
    let pairs = words.iter().any(|word| matches!(*word, "pair" | "pairs"));
    let count = shown(if pairs { number * 2.0 } else { number });
    let as_said = |word: &str| Said::of(Facet::Leaves, word).with(HomeDetail::Leaves, count.as_str());
    let left: Vec<&str> =
        words.into_iter().filter(|word| !matches!(*word, "pair" | "leaf" | "leave" | "of" | "a")).collect();
    if left.is_empty() {
        let choices = vec![as_said("whole"), as_said("halved")];
        return Some(Heard::Asked { missing: Missing::Which, choices });
    }
    let word = left.join(" ");
    list::code(codes::LEAVES, &word).map(|_| Heard::Understood(as_said(&word)))
}

/// A count in figures or as a small word, and what follows it.
fn count(text: &str) -> Option<(f64, &str)> {
    const WORDS: [(&str, f64); 7] = [
        ("one ", 1.0),
        ("a ", 1.0),
        ("two ", 2.0),
        ("three ", 3.0),
        ("four ", 4.0),
        ("five ", 5.0),
        ("six ", 6.0),
    ];
    let by_word = WORDS.iter().find_map(|(word, number)| Some((*number, text.strip_prefix(word)?)));
    by_word.or_else(|| leading_number(text)).filter(|(number, _)| number.fract() == 0.0 && *number > 0.0)
}

/// What is said of a heat mat behind its name: `heat mat at 22` is 22.
pub(super) fn on_a_mat(text: &str) -> &str {
    let lower = text.to_lowercase();
    let behind = ["heat mat", "heating mat", "bottom heat", "mat"].iter().find_map(|name| {
        let rest = lower.strip_prefix(name)?;
        let rest = rest.trim_start();
        let rest = rest.strip_prefix("at ").or_else(|| rest.strip_prefix("of ")).unwrap_or(rest);
        leading_number(rest).map(|_| &text[text.len() - rest.len()..])
    });
    behind.unwrap_or(text)
}
