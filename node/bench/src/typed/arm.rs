//! One typed arm: its label, its method by facets, and how many pieces in how many pots.

use std::collections::BTreeMap;

use propagule_protocol::{Facet, Facets};

use super::{TypedFault, number, pair, parts};

/// An arm as typed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TypedArm {
    /// Its label.
    pub label: String,
    /// Facet name → words.
    pub facets: BTreeMap<String, String>,
    /// Pots, trays or rows.
    pub pots: Option<u16>,
    /// Pieces in each of them, or in all where there are none.
    pub pieces: Option<u16>,
    /// Its stock plant.
    pub stock: Option<String>,
    /// Who does the work.
    pub operator: Option<String>,
    /// The spot it goes to.
    pub spot: Option<String>,
    /// Something about it that no facet holds.
    pub unlisted: Option<String>,
}

/// Keys beside the facets.
const KEYS: [&str; 6] = ["pots", "pieces", "stock", "operator", "spot", "differs"];
/// The longest label.
const LABEL_CHARACTERS: usize = 40;

/// Reads `LABEL: key=value; key=value`.
///
/// # Errors
/// A label that cannot be typed after a command, an unknown key, words that a facet does not have.
pub fn read(text: &str) -> Result<TypedArm, TypedFault> {
    let (label, rest) = text.split_once(':').unwrap_or((text, ""));
    let label = label.trim();
    let is_plain =
        !label.is_empty() && label.chars().count() <= LABEL_CHARACTERS && !label.contains(['=', ',', ';']);
    if !is_plain || label.starts_with('-') {
        return Err(TypedFault::new(text, "an arm begins with its label and a colon")
            .hint("such as 'A: auxin=none; leaves=halved'"));
    }
    let mut arm = TypedArm { label: label.to_owned(), ..TypedArm::default() };
    read_into(&mut arm, rest)?;
    Ok(arm)
}

/// Reads `key=value; key=value` into an arm.
///
/// # Errors
/// As [`read`].
pub fn read_into(arm: &mut TypedArm, text: &str) -> Result<(), TypedFault> {
    for part in parts(text, ';') {
        let (key, value) = pair(part)?;
        match key.as_str() {
            "pots" => arm.pots = Some(number(value)?),
            "pieces" | "started" => arm.pieces = Some(number(value)?),
            "stock" => arm.stock = Some(value.to_owned()),
            "operator" => arm.operator = Some(value.to_owned()),
            "spot" => arm.spot = Some(value.to_owned()),
            "differs" => arm.unlisted = Some(value.to_owned()),
            _ => {
                check_facet(&key, value)?;
                arm.facets.insert(key, value.to_owned());
            }
        }
    }
    Ok(())
}

/// Checks the words of one facet.
///
/// # Errors
/// An unknown facet or words that it does not have, with what was perhaps meant.
pub fn check_facet(name: &str, words: &str) -> Result<Vec<String>, TypedFault> {
    let Some(facet) = Facet::from_name(name) else {
        let known = Facet::ALL.into_iter().map(Facet::name).chain(KEYS);
        let near = propagule_files::closest(name, known, 3);
        let fault = TypedFault::new(name, "it is not something an arm can have");
        return Err(fault.did_you_mean(&near, "for what no facet holds write differs=\u{2026}"));
    };
    let mut facets = Facets::default();
    facets.set(facet, words).map_err(|error| {
        let fault = TypedFault::new(format!("{name}={words}"), error.why.clone());
        match &error.suggestions[..] {
            [] => fault.hint("leave it out if you do not know"),
            some => fault.hint(format!("did you mean {}?", some.join(", "))),
        }
    })?;
    Ok(facets.questions().iter().map(ToString::to_string).collect())
}
