//! A new trial or lot, and what a trial of its size can show.

use propagule_bench::Trial;
use propagule_bench::kind::Kind;
use propagule_protocol::vocab::Question;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::plant::{CountedAs, NameTaken};
use super::said::Said;
use propagule_answer::plan::TellApart;

/// A trial that was set up, or would be.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct NewTrialFacts {
    /// Whether it is set up now.
    pub saved: bool,
    /// As it is described.
    pub trial: Trial,
    /// What its size can show.
    pub can_show: CanShow,
    /// What it would show of methods that growers of the species have tried.
    pub assured: Vec<TellApart>,
    /// What is unusual about its details.
    pub questions: Vec<Said>,
    /// Hazards of its methods.
    pub cautions: Vec<CautionFacts>,
    /// How its plant name was taken, where it was not taken as typed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub taken: Option<NameTaken>,
    /// What its plant is counted as, or may be the same as.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub counted_as: Option<CountedAs>,
    /// Names of the list of plants that were perhaps meant, where it has no such plant.
    #[serde(default)]
    pub near_names: Vec<String>,
}

/// A hazard.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CautionFacts {
    /// Its name, by which it is hidden for a season.
    pub id: String,
    /// Its line.
    pub line: Said,
}

/// What a size can show.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "of", rename_all = "snake_case")]
pub enum CanShow {
    /// A batch, which compares nothing.
    Lot(LotOutlook),
    /// Treatments, which are compared.
    Arms(ArmsOutlook),
}

/// What a batch of a size can show.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LotOutlook {
    /// All that is said of it, in order.
    pub words: Vec<Said>,
    /// Propagules started.
    pub pieces: u32,
    /// The highest true rate that would still fit if none succeeds: one-sided, at 95 %.
    pub upper_if_none: f64,
    /// 95 % interval of the true rate if half succeed.
    pub range_if_half: [f64; 2],
}

/// What treatments of a size can show.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ArmsOutlook {
    /// Chances of showing differences, the large one first.
    pub power: Vec<Power>,
    /// Propagules of a treatment that a modest difference needs, if pots never differ.
    pub pieces_needed_for_modest: Option<u32>,
    /// Pots of a treatment that it needs.
    pub pots_needed_for_modest: Option<u32>,
    /// Labels of treatments that stand in a single pot.
    pub single_pots: Vec<String>,
    /// What differs, for each pair of treatments.
    pub pairs: Vec<PairDiffers>,
    /// All that is said of the size, in order: first the chances.
    pub words: Vec<Said>,
}

/// The chance of showing a difference that is usually asked for.
pub const POWER_WANTED: f64 = 0.8;

/// How small a difference a size shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DifferenceShown {
    /// Even a modest one.
    Modest,
    /// Only a large one.
    Large,
    /// It may miss even a large one.
    Nothing,
}

impl ArmsOutlook {
    /// How small a difference this size shows with the chance that is usually asked for.
    pub fn reach(&self) -> DifferenceShown {
        match self.power.iter().filter(|power| power.leading() >= POWER_WANTED).count() {
            0 => DifferenceShown::Nothing,
            all if all == self.power.len() => DifferenceShown::Modest,
            _ => DifferenceShown::Large,
        }
    }
}

/// The chance of showing a difference.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Power {
    /// Propagules of each treatment.
    pub per_arm: u32,
    /// The lower true rate.
    pub rate_a: f64,
    /// The higher true rate.
    pub rate_b: f64,
    /// The chance, if propagules did not share pots.
    pub power: f64,
    /// The same in pots; none where propagules are the units, or a treatment stands in a single pot.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pots: Option<PowerInPots>,
}

impl Power {
    /// The chance that leads wherever one figure is shown: in pots, where there are some, since propagules of a pot are no
    /// witnesses of their own.
    pub fn leading(&self) -> f64 {
        self.pots.map_or(self.power, |pots| pots.power)
    }
}

/// The chance of showing a difference by pots that differ.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PowerInPots {
    /// Pots of each treatment.
    pub pots: u32,
    /// Propagules in each.
    pub pieces: u32,
    /// Correlation of two propagules of a pot.
    pub icc: f64,
    /// The chance.
    pub power: f64,
    /// The same by the same test, if pots never differed.
    pub power_if_pots_never_differ: f64,
}

/// What differs between two treatments.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PairDiffers {
    /// Whether a difference could be put down to it.
    pub words: Said,
    /// Label of the one.
    pub first: String,
    /// Label of the other.
    pub second: String,
    /// Names of all that differs.
    pub differs: Vec<String>,
    /// The one factor that differs, where there is but one.
    pub sole: Option<String>,
}

/// Something that is said of a size before anything is started.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "outlook", rename_all = "snake_case")]
pub enum OutlookLine {
    /// The chance of showing a difference.
    Chance(Power),
    /// What a modest difference needs.
    Needed {
        /// Both true rates.
        rates: [f64; 2],
        /// Propagules of a treatment, if pots never differ.
        pieces: u32,
        /// The same in pots, where the treatments have some.
        in_pots: Option<NeededPots>,
    },
    /// Treatments that stand in a single pot.
    SinglePots {
        /// Their labels.
        labels: Vec<String>,
    },
    /// The same propagules in more pots.
    SamePieces {
        /// Pots of a treatment.
        pots: u32,
        /// Propagules in each.
        pieces: u32,
    },
    /// What a trial can show.
    Lot {
        /// Its propagules.
        pieces: u32,
        /// 95 % one-sided upper bound of the true rate if none succeeds.
        upper_if_none: f64,
        /// 95 % interval of the true rate if half succeed.
        range_if_half: [f64; 2],
        /// In whose words it is said.
        kind: Kind,
    },
    /// A batch answers no question.
    LotNeedsNoControl,
    /// What differs between two treatments.
    Differs {
        /// Label of the one.
        first: String,
        /// Label of the other.
        second: String,
        /// Names of all that differs.
        differs: Vec<String>,
        /// The one factor that differs, where there is but one.
        sole: Option<String>,
    },
}

/// Pots that a modest difference needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NeededPots {
    /// Pots of a treatment; none is beyond reckoning.
    pub pots: Option<u32>,
    /// Propagules in each.
    pub pieces: u32,
}

/// A value of a detail that is allowed but unusual.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct UnusualValue {
    /// Name of the detail.
    pub field: String,
    /// The value.
    pub value: String,
    /// What is usual.
    pub usual: String,
    /// Values that were perhaps meant.
    pub suggestions: Vec<String>,
}

impl From<Question> for UnusualValue {
    fn from(question: Question) -> Self {
        let Question { field, value, usual, suggestions } = question;
        Self { field: field.to_owned(), value, usual, suggestions }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_reaches_as_far_as_its_leading_chances() {
        let power = |power| Power { per_arm: 12, rate_a: 0.2, rate_b: 0.8, power, pots: None };
        let reach = |large, modest| {
            let power = vec![power(large), power(modest)];
            ArmsOutlook {
                power,
                pieces_needed_for_modest: None,
                pots_needed_for_modest: None,
                single_pots: Vec::new(),
                pairs: Vec::new(),
                words: Vec::new(),
            }
            .reach()
        };
        assert_eq!(
            [reach(0.79, 0.2), reach(0.8, 0.79), reach(0.99, 0.8)],
            [DifferenceShown::Nothing, DifferenceShown::Large, DifferenceShown::Modest]
        );
    }
}
