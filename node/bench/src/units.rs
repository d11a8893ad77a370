//! The places of a trial where pieces are counted: all that has to be known to read counts of it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::kind::Kind;
use crate::tags::{Tag, in_order_of_tags};
use crate::trial::Trial;

/// A place where propagules are counted: a pot, or a treatment without any.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub struct UnitKey {
    /// Number of the treatment.
    pub arm: u8,
    /// Code of the pot; none where the treatment is counted as a whole.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub replicate: Option<String>,
}

/// A treatment with its pots.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ArmUnits {
    /// Its number.
    pub number: u8,
    /// Its label.
    pub label: String,
    /// Codes of its pots; none where it is counted as a whole.
    pub pots: Vec<String>,
}

/// The places of a trial, and how its counts are worded.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct TrialUnits {
    /// Code of the trial.
    pub trial: String,
    /// Its kind, which has words of its own.
    pub kind: Kind,
    /// Its treatments.
    pub arms: Vec<ArmUnits>,
    /// Codes of its places in the order of the printed sheet.
    pub sheet: Vec<String>,
}

impl TrialUnits {
    /// Those of a trial whose sheet is printed in that order.
    pub fn of(trial: &Trial, sheet: Vec<String>) -> Self {
        let arms = trial.arms.iter().map(|arm| ArmUnits {
            number: arm.number,
            label: arm.label.clone(),
            pots: arm.replicates.iter().map(|replicate| replicate.code.clone()).collect(),
        });
        Self { trial: trial.code.clone(), kind: trial.kind(), arms: arms.collect(), sheet }
    }

    /// Those of no trial: nothing can be read there but that nothing was counted.
    pub fn nowhere() -> Self {
        Self { trial: String::new(), kind: Kind::default(), arms: Vec::new(), sheet: Vec::new() }
    }

    /// The treatment, and the pot where it is one, that a code on a tag or the label of a treatment names.
    pub fn target(&self, code: &str) -> Option<(&ArmUnits, Option<&str>)> {
        let same = |other: &str| other.eq_ignore_ascii_case(code);
        let pot = self
            .arms
            .iter()
            .find_map(|arm| arm.pots.iter().find(|pot| same(pot)).map(|pot| (arm, Some(pot.as_str()))));
        pot.or_else(|| self.arms.iter().find(|arm| same(&arm.label)).map(|arm| (arm, None)))
    }

    /// All places in the order of their tags.
    pub fn tag_order(&self) -> Vec<Tag> {
        let arms = self.arms.iter().map(|arm| (arm.number, arm.label.as_str(), &arm.pots[..]));
        in_order_of_tags(arms)
    }

    /// Labels of the treatments and codes of the pots, as they may be typed.
    pub fn codes(&self) -> impl Iterator<Item = &str> {
        self.arms
            .iter()
            .flat_map(|arm| std::iter::once(arm.label.as_str()).chain(arm.pots.iter().map(String::as_str)))
    }

    /// What a grower calls a place; `?` where there is none.
    pub fn label<'a>(&'a self, arm: u8, replicate: Option<&'a str>) -> &'a str {
        let of_arm = || self.arms.iter().find(|other| other.number == arm).map(|arm| arm.label.as_str());
        replicate.or_else(of_arm).unwrap_or("?")
    }
}
