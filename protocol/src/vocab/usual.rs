//! Usual ranges: a value outside is asked about, never refused.

use std::fmt;
use std::ops::RangeInclusive;

use super::{Facet, auxin, codes, list};
use crate::record::{Auxin, Code, Facets};

/// Usual weeks from starting to lift.
pub const WEEKS_TO_LIFT: RangeInclusive<u16> = 3..=20;

/// Why pieces were lost or died, for the bench; records carry numbers only.
pub const LOSS_CAUSES: [&str; 18] = [
    "basal rot",
    "leaf blight or grey mould",
    "desiccation",
    "leaf drop",
    "no callus",
    "callus only",
    "frost",
    "heat",
    "vole, slug or bird",
    "vine weevil or fungus gnat",
    "mechanical",
    "label lost",
    "destructive sample",
    "sold or given",
    "contamination",
    "union failure",
    "rootstock death",
    "unknown",
];

/// Strengths that hormones are usually bought or mixed in, in ppm, to be offered; common practice, no source.
pub const USUAL_STRENGTHS: [u16; 5] = [500, 1_000, 2_000, 3_000, 8_000];

const DIP: RangeInclusive<u16> = 250..=10_000;
const POWDER: RangeInclusive<u16> = 500..=10_000;
const SOAK: RangeInclusive<u16> = 20..=1_000;
const BOTTOM_HEAT: RangeInclusive<i8> = 15..=27;
const STRATIFICATION: RangeInclusive<u8> = 0..=40;

/// An unusual value: is it a slip?
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// Name of the facet.
    pub field: &'static str,
    /// The value in words.
    pub value: String,
    /// What is usual.
    pub usual: String,
    /// At most three values that were perhaps meant.
    pub suggestions: Vec<String>,
}

impl fmt::Display for Question {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}: {} is usual", self.field, self.value, self.usual)?;
        if self.suggestions.is_empty() {
            Ok(())
        } else {
            write!(f, "; did you mean {}?", self.suggestions.join(", "))
        }
    }
}

impl Facets {
    /// Values that are allowed but unusual.
    pub fn questions(&self) -> Vec<Question> {
        let strengths = self.auxin.iter().flatten().filter_map(|auxin| strength(*auxin));
        let numbers = self.bottom_heat_question().into_iter().chain(self.stratification_question());
        strengths.chain(numbers).chain(self.vague_media()).collect()
    }

    /// Components that older records state, and that are not written any more because they say too little.
    fn vague_media(&self) -> impl Iterator<Item = Question> {
        let stated = self
            .medium
            .iter()
            .flatten()
            .filter_map(|(code, _)| codes::VAGUE_MEDIA.into_iter().find(|(vague, _)| vague == code));
        stated.map(|(code, instead)| Question {
            field: Facet::Medium.name(),
            value: list::word(codes::MEDIUM, code),
            usual: "a more exact word".to_owned(),
            suggestions: instead.iter().map(|word| (*word).to_owned()).collect(),
        })
    }

    fn bottom_heat_question(&self) -> Option<Question> {
        self.bottom_heat.filter(|celsius| !BOTTOM_HEAT.contains(celsius))?;
        Some(self.question(Facet::BottomHeat, format!("{} to {} °C", BOTTOM_HEAT.start(), BOTTOM_HEAT.end())))
    }

    fn stratification_question(&self) -> Option<Question> {
        self.stratification
            .filter(|(warm, cold)| !STRATIFICATION.contains(warm) || !STRATIFICATION.contains(cold))?;
        Some(self.question(Facet::Stratification, format!("up to {} weeks of each", STRATIFICATION.end())))
    }

    fn question(&self, facet: Facet, usual: String) -> Question {
        let value = self.word(facet).unwrap_or_default();
        Question { field: facet.name(), value, usual, suggestions: Vec::new() }
    }
}

fn strength(auxin: Auxin) -> Option<Question> {
    let usual = usual_strength(auxin.form)?;
    let dose = auxin.dose.filter(|dose| *dose > 0 && !usual.contains(dose))?;
    let unit = auxin::unit(auxin.form);
    // A slip of g for mg, or of per cent for ppm.
    let slips = [1_000, 10_000].map(|factor| u32::from(dose) * factor);
    let meant = slips.into_iter().filter_map(|n| u16::try_from(n).ok()).filter(|n| usual.contains(n));
    Some(Question {
        field: Facet::Auxin.name(),
        value: auxin::word(&[auxin]),
        usual: format!("{} to {} {unit}", usual.start(), usual.end()),
        suggestions: meant.map(|n| format!("{n} {unit}")).collect(),
    })
}

fn usual_strength(form: Code) -> Option<RangeInclusive<u16>> {
    match form {
        auxin::POWDER => Some(POWDER),
        auxin::QUICK_DIP => Some(DIP),
        auxin::SOAK => Some(SOAK),
        _ => None,
    }
}
