//! Finds listed plants by exact, common or misspelt names.

use std::sync::LazyLock;

use strsim::damerau_levenshtein;

use super::{LIST, Listed, other_names};
use crate::taxon::{ascii, epithet_stem};

/// A listed plant with its names folded once.
struct Folded {
    listed: &'static Listed,
    scientific: Spelling,
    stem: Option<Stem>,
    common: Vec<Spelling>,
    /// Other scientific names, sure or not.
    other: Vec<Spelling>,
}

/// A name with the number of each of its letters, by which most names are told apart at once.
struct Spelling {
    text: String,
    letters: [u8; 27],
}

impl Spelling {
    fn new(text: String) -> Self {
        let mut letters = [0_u8; 27];
        for byte in text.bytes() {
            let at = if byte.is_ascii_lowercase() { byte - b'a' } else { 26 };
            letters[usize::from(at)] = letters[usize::from(at)].saturating_add(1);
        }
        Self { text, letters }
    }

    /// No fewer edits than this lead from one name to the other.
    fn fewest_edits(&self, other: &Self) -> usize {
        let apart = |a: &[u8; 27], b: &[u8; 27]| -> usize {
            a.iter().zip(b).map(|(a, b)| usize::from(a.saturating_sub(*b))).sum()
        };
        apart(&self.letters, &other.letters).max(apart(&other.letters, &self.letters))
    }
}

static FOLDED: LazyLock<Vec<Folded>> = LazyLock::new(|| {
    let fold = |listed: &'static Listed| Folded {
        listed,
        scientific: Spelling::new(folded(listed.scientific)),
        stem: Stem::of(&folded(listed.scientific)),
        common: listed.common.iter().map(|name| Spelling::new(folded(name))).collect(),
        other: other_names()
            .iter()
            .filter(|other| other.is_sure && other.accepted == listed.scientific)
            .map(|other| Spelling::new(folded(other.name)))
            .collect(),
    };
    LIST.iter().map(fold).collect()
});

/// Listed plants of exactly this scientific or common name, or of another name of it, ignoring case and accents.
///
/// A common name may belong to several plants; a genus alone gives all its listed plants.
pub fn lookup(name: &str) -> Vec<&'static Listed> {
    let wanted = folded(name);
    let is_it = |plant: &&Folded| {
        let scientific = plant.scientific.text.as_str();
        let genus = scientific.split(' ').next();
        scientific == wanted
            || genus == Some(&wanted)
            || plant.other.iter().any(|other| other.text == wanted)
            || plant.common.iter().any(|common| common.text == wanted)
    };
    FOLDED.iter().filter(is_it).map(|plant| plant.listed).collect()
}

/// Plants of which one common name holds each of these words as a whole word, in the order of the list; where there are
/// none, of the words as one of a plural.
pub(crate) fn by_common(words: &str) -> Vec<&'static Listed> {
    let wanted = folded(words);
    let found = holding(&wanted);
    if found.is_empty() { singular(&wanted).map(|one| holding(&one)).unwrap_or_default() } else { found }
}

/// The plant that a common name means by itself: the only one that has it, or the one that growers mean by the bare word.
pub(crate) fn meant_by_common(words: &str) -> Option<&'static Listed> {
    let wanted = folded(words);
    let is_alone =
        |name: &str| LIST.iter().find(|listed| listed.alone.is_some_and(|alone| folded(alone) == name));
    let alone = is_alone(&wanted).or_else(|| singular(&wanted).and_then(|one| is_alone(&one)));
    alone.or_else(|| match by_common(words).as_slice() {
        [only] => Some(only),
        _ => None,
    })
}

fn holding(wanted: &str) -> Vec<&'static Listed> {
    let holds =
        |common: &Spelling| wanted.split(' ').all(|word| common.text.split(' ').any(|own| own == word));
    if wanted.is_empty() {
        return Vec::new();
    }
    FOLDED.iter().filter(|plant| plant.common.iter().any(holds)).map(|plant| plant.listed).collect()
}

/// `blackcurrant` of `blackcurrants`, `cherry` of `cherries`.
fn singular(words: &str) -> Option<String> {
    let one = words.strip_suffix("ies").map(|stem| format!("{stem}y"));
    one.or_else(|| words.strip_suffix('s').map(str::to_owned))
}

/// What growers put behind a name that has no such word: fig tree, hydrangea bush.
const WHAT_IT_IS: [&str; 6] = ["tree", "bush", "shrub", "plant", "vine", "hedge"];

/// The name without what it is, where it says so.
pub(crate) fn without_what_it_is(name: &str) -> Option<String> {
    let folded = folded(name);
    let (name, what) = folded.rsplit_once(' ')?;
    WHAT_IT_IS.contains(&what).then(|| name.to_owned())
}

/// Plants with a common name that is nearly this text: a few edits away, and not more than two letters longer or
/// shorter. In the order of the list.
pub(crate) fn near_common(text: &str) -> Vec<&'static Listed> {
    let wanted = Spelling::new(folded(text));
    let is_near = |common: &Spelling| {
        common.text.len().abs_diff(wanted.text.len()) <= 2 && close(common, &wanted).is_some()
    };
    FOLDED.iter().filter(|plant| plant.common.iter().any(is_near)).map(|plant| plant.listed).collect()
}

/// At most three scientific names that were perhaps meant, closest first; never accepted by itself.
pub fn suggest(name: &str) -> Vec<&'static str> {
    let wanted = Spelling::new(folded(name));
    if wanted.text.is_empty() {
        return Vec::new();
    }
    let stem = Stem::of(&wanted.text);
    let mut found: Vec<(usize, &str)> = FOLDED
        .iter()
        .filter_map(|plant| distance(plant, &wanted, stem.as_ref()).map(|d| (d, plant.listed.scientific)))
        .collect();
    found.sort_unstable();
    found.into_iter().take(3).map(|(_, scientific)| scientific).collect()
}

fn distance(plant: &Folded, wanted: &Spelling, stem: Option<&Stem>) -> Option<usize> {
    let by_common = plant.common.iter().filter_map(|common| close(common, wanted)).min();
    let is_same_stem = || plant.stem.as_ref().zip(stem).is_some_and(|(plant, wanted)| plant.matches(wanted));
    let by_other = plant.other.iter().filter_map(|other| close(other, wanted)).min();
    let by_name = close(&plant.scientific, wanted).or_else(|| is_same_stem().then_some(1));
    by_name.into_iter().chain(by_common).chain(by_other).min()
}

/// Distance 1 for up to six letters, 2 for more, and one more for each further word.
fn close(spelling: &Spelling, wanted: &Spelling) -> Option<usize> {
    let letters = spelling.text.len().max(wanted.text.len());
    let allowed = if letters <= 6 { 1 } else { 1 + spelling.text.split(' ').count() };
    if spelling.fewest_edits(wanted) > allowed {
        return None;
    }
    let distance = damerau_levenshtein(&spelling.text, &wanted.text);
    (distance <= allowed).then_some(distance)
}

/// Genus and stem of the epithet, by which a name is found under another gender ending.
struct Stem {
    genus: Spelling,
    epithet: String,
}

impl Stem {
    fn of(name: &str) -> Option<Self> {
        let (genus, epithet) = name.split_once(' ')?;
        Some(Self { genus: Spelling::new(genus.to_owned()), epithet: epithet_stem(epithet) })
    }

    fn matches(&self, wanted: &Self) -> bool {
        self.epithet == wanted.epithet && close(&self.genus, &wanted.genus).is_some()
    }
}

fn folded(name: &str) -> String {
    let plain = ascii(name).to_lowercase().replace(['-', '×', '\''], " ");
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}
