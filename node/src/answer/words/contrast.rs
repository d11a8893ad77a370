//! Sentences about which of two methods does better, from trials that held both.

use super::counted;
use super::number::in_hundred;

/// Below this probability two methods cannot be told apart.
pub const TELL_APART: f64 = 0.9;

/// What a contrast sentence is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ContrastFacts<'a> {
    /// Facet that differs.
    pub facet: &'a str,
    /// Word of the first side.
    pub first: &'a str,
    /// Word of the second side.
    pub second: &'a str,
    /// Trials that held both.
    pub trials: usize,
    /// Those with a difference to see: not all or none on both sides.
    pub informative: usize,
    /// Trials among them with one replicate an arm.
    pub single_replicate: usize,
    /// Probability that the first does better on average.
    pub prob_first_better: f64,
}

/// What may be said of a contrast.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// One side is likely better.
    Likely,
    /// Cannot be told apart yet.
    CannotTell,
}

impl Verdict {
    /// The word used in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Likely => "likely",
            Self::CannotTell => "cannot_tell",
        }
    }
}

impl ContrastFacts<'_> {
    /// One trial with one pot an arm never carries a verdict.
    pub fn verdict(&self) -> Verdict {
        let certain = self.prob_first_better.max(1.0 - self.prob_first_better);
        let only_pots = self.trials == 1 && self.single_replicate == 1;
        if certain >= TELL_APART && self.informative > 0 && !only_pots {
            Verdict::Likely
        } else {
            Verdict::CannotTell
        }
    }

    /// The sentence.
    pub fn sentence(&self) -> String {
        let pair = format!("{}: {} and {}", self.facet, self.first, self.second);
        let trials = counted(self.trials, "trial", "trials");
        if self.informative == 0 {
            return format!("{pair}: no difference could be seen in {trials}.");
        }
        match self.verdict() {
            Verdict::Likely => self.likely_better(),
            Verdict::CannotTell => format!(
                "{pair} cannot be told apart yet ({trials}).{}",
                pots(self.single_replicate, self.trials)
            ),
        }
    }

    fn likely_better(&self) -> String {
        let first_leads = self.prob_first_better >= 0.5;
        let (better, worse) = if first_leads { (self.first, self.second) } else { (self.second, self.first) };
        let probability = self.prob_first_better.max(1.0 - self.prob_first_better);
        format!(
            "{}: {better} likely better than {worse} ({} in 100), from {} with a difference to see.{}",
            self.facet,
            in_hundred(probability),
            counted(self.informative, "trial", "trials"),
            pots(self.single_replicate, self.trials),
        )
    }
}

/// What is added where trials stood in one pot an arm.
pub(super) fn pots(single_replicate: usize, trials: usize) -> String {
    match single_replicate {
        0 => String::new(),
        _ if trials == 1 => format!(" {ONE_POT_EACH}"),
        some => format!(" {some} of {trials} trials: {ONE_POT_EACH}"),
    }
}

/// Why one pot an arm proves little.
pub const ONE_POT_EACH: &str = "One pot each: a difference between pots would look the same.";
