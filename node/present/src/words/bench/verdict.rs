//! What may be said of two sides of a trial, in the words of the one verdict engine.

use std::fmt::Write;

use propagule_analysis::verdict::{FamilyKind, Reason};
use propagule_analysis::{Count, interval};

use crate::kind::{KindWords, detail, details};
use crate::words::sentences::comparing::{self, Sides};
use crate::words::sentences::{and, number_of, p_value};
use propagule_answer::trial::{FamilyRow, VerdictRow};
use propagule_bench::Stage;
use propagule_bench::results::rate;

/// How sure a bound is.
const LEVEL: f64 = 0.95;

/// What a verdict's sentence is made of.
#[derive(Clone, Copy, Debug)]
pub struct VerdictFacts<'a> {
    /// The pair as judged.
    pub pair: &'a VerdictRow,
    /// What the trial asks.
    pub family: &'a FamilyRow,
    /// The words of the trial's kind.
    pub words: KindWords,
    /// The count that it is of.
    pub stage: Stage,
}

impl VerdictFacts<'_> {
    /// The whole sentence: counts, what they say, how often chance would do as much, and the other reading of lost ones.
    pub fn sentence(&self) -> String {
        format!("{}{}{}{}", self.judged(), self.placed(), self.difference(), self.without_lost())
    }

    fn ok(&self) -> &'static str {
        self.words.outcome(self.stage)
    }

    fn totals(&self) -> Option<(Count, Count)> {
        self.pair.numbers.totals.map(sides)
    }

    fn sides(&self) -> Sides<'_> {
        let counts = self.totals().map(|(a, b)| [a, b]);
        Sides { labels: [&self.pair.first, &self.pair.second], counts, ok: self.ok() }
    }

    /// The counts, and what may be said of them.
    fn judged(&self) -> String {
        let (words, sides, p) = (&self.words, self.sides(), self.pair.numbers.p);
        let no = |why: &str| comparing::no_verdict(words, &sides, why);
        match &self.pair.because {
            Reason::Clear => self.better(&sides),
            Reason::WithinChance => comparing::cannot_tell(words, &sides, None, p),
            Reason::PotsDisagree => comparing::pots_unruly(words, &sides, p),
            Reason::FewPots => {
                comparing::cannot_tell(words, &sides, Some("too few pots to know how much pots differ"), p)
            }
            Reason::OneOfSeveral => {
                let why = format!("clear by itself, but not as {}", self.among());
                comparing::cannot_tell(words, &sides, Some(&why), p)
            }
            Reason::OneUnit => comparing::one_pot_each(words, &sides),
            Reason::Together(names) => comparing::confounded(words, &sides, &details(names)),
            Reason::PeopleAreNotCompared => no("only who did the work differs, and people are not compared"),
            Reason::NoneSucceeded => {
                let bound = |count: Count| interval::one_sided_upper(count, LEVEL);
                comparing::same_count(words, &sides, self.totals().map(|(a, b)| [bound(a), bound(b)]))
            }
            Reason::AllSucceeded | Reason::AlikeInEachStratum => comparing::same_count(words, &sides, None),
            Reason::ClearWithLostOnly => {
                no(&format!("clear only while the lost {} count as failures", words.plural()))
            }
            Reason::ClearWithoutLostOnly => {
                no(&format!("clear only when the lost {} are left out", words.plural()))
            }
            Reason::LostTurnItRound => {
                no(&format!("without the lost {} the order is the other way round", words.plural()))
            }
            Reason::NotCounted(names) => comparing::pair_pending(words, &sides, names),
        }
    }

    fn better(&self, sides: &Sides<'_>) -> String {
        let first = self.pair.better.as_ref() == Some(&self.pair.first);
        let factor = self.pair.factor.as_deref().map(detail);
        let said = comparing::better(&self.words, sides, first, factor.as_deref(), self.pair.numbers.p);
        if self.family.size < 2 { said } else { format!("{said} This is {}.", self.among()) }
    }

    /// Why, in a few words, for data.
    pub fn said(&self) -> String {
        match &self.pair.because {
            Reason::Clear => {
                let label = self.pair.better.as_ref().unwrap_or(&self.pair.second);
                format!(
                    "{label} did better{}",
                    comparing::by_chance(self.pair.numbers.p).trim_end_matches('.')
                )
                .replacen(" If", "; if", 1)
            }
            Reason::Together(names) => {
                format!("{} changed together and cannot be separated", and(&details(names)))
            }
            Reason::NotCounted(names) => format!("not counted yet: {}", and(names)),
            _ => {
                let all = self.judged();
                let behind =
                    all.split_once(&format!(" {}. ", self.ok())).map_or(all.as_str(), |(_, said)| said);
                behind.trim_end_matches('.').to_owned()
            }
        }
    }

    /// That chance did not place the pots, where a test stands on them.
    fn placed(&self) -> String {
        let is_tested = self.pair.numbers.p.is_some();
        if self.family.is_randomised || !is_tested {
            return String::new();
        }
        format!(" {}", comparing::not_at_random(&self.words))
    }

    /// `one of 3 comparisons with none`: what the correction is over.
    fn among(&self) -> String {
        let FamilyRow { kind, size, control, .. } = self.family;
        let with = match kind {
            FamilyKind::Control => control.as_deref(),
            FamilyKind::Factorial | FamilyKind::Pair | FamilyKind::Pairs => None,
        };
        comparing::one_of_several(&self.words, *size, with)
    }

    /// The difference with its limits, where a test stands behind it.
    fn difference(&self) -> String {
        match (self.pair.numbers.p, self.pair.numbers.difference) {
            (Some(_), Some([d, low, high])) => {
                let [d, interval] = points(d, low, high);
                format!(" {}", comparing::difference(&self.words, &d, &interval))
            }
            _ => String::new(),
        }
    }

    /// The other reading of lost ones, where it changes something.
    fn without_lost(&self) -> String {
        let other = self.pair.lost_left_out.as_ref().and_then(|other| other.numbers.totals);
        let Some((with, without)) = self.totals().zip(other.map(sides)) else { return String::new() };
        let order = |a: Count, b: Count| rate(a).total_cmp(&rate(b));
        let turns = order(with.0, with.1) != order(without.0, without.1);
        let moves = |a: Count, b: Count| b.started > 0 && (rate(a) - rate(b)).abs() >= 0.05;
        if !turns && !moves(with.0, without.0) && !moves(with.1, without.1) {
            return String::new();
        }
        format!(" {}", comparing::without_lost(&self.words, [without.0, without.1]))
    }

    /// All the numbers, one line, for the details.
    pub fn detail(&self) -> Option<String> {
        let found = &self.pair.numbers;
        let (p_exact, fisher) = (found.p_exact?, found.fisher_on_totals?);
        let mut text = format!("{} and {}", self.pair.first, self.pair.second);
        if found.p.is_none() {
            let unit = if self.words.unit.is_empty() { "one" } else { self.words.unit };
            let _ = write!(text, ", as if every {unit} were independent");
        }
        let p = found.p.unwrap_or(p_exact);
        let _ = write!(text, ": {}", p_value(p));
        if let Some(pots) = found.p_pots {
            let _ = write!(text, " (exact {}, by pots {})", p_value(p_exact), p_value(pots));
        }
        if let Some(holm) = found.p_holm.filter(|_| self.family.size > 1) {
            let holm = comparing::better_holm(&self.words, p, holm, self.family.size);
            let _ = write!(text, " {holm}");
        }
        if let (Some(phi_hat), Some(df), Some(phi)) = (found.phi_hat, found.df, found.phi) {
            let _ = write!(
                text,
                "; pots differ {phi_hat:.1} times as much as by chance ({df} degrees of freedom), counted as {phi:.1} times"
            );
        }
        if let Some([d, low, high]) = found.difference.filter(|_| found.p.is_none()) {
            let [d, interval] = points(d, low, high);
            let _ = write!(text, "; difference {d} points (95% interval {interval})");
        }
        if let Some([estimate, low, high]) = found.odds_ratio {
            let _ = write!(text, "; odds ratio {}, {} to {}", odd(estimate), odd(low), odd(high));
        }
        let _ = write!(text, "; Fisher's test of the totals {}", p_value(fisher));
        if let Some(boschloo) = found.boschloo {
            let _ = write!(text, ", Boschloo's {}", p_value(boschloo));
        }
        if self.pair.blocks_left_out > 0 {
            let blocks = number_of(self.pair.blocks_left_out, "block", "blocks");
            let _ = write!(text, "; {blocks} with one side only left out");
        }
        for within in &self.pair.within {
            let odds = within.odds_ratio.map_or("nothing to see".to_owned(), |[estimate, ..]| odd(estimate));
            let _ = write!(text, "; odds ratio within {} {odds}", within.stratum);
        }
        Some(text)
    }
}

/// Both sides of a pair.
fn sides([first, of_first, second, of_second]: [u32; 4]) -> (Count, Count) {
    (Count { succeeded: first, started: of_first }, Count { succeeded: second, started: of_second })
}

/// `43` and `8 to 65`, in points of the rate.
fn points(d: f64, low: f64, high: f64) -> [String; 2] {
    let whole = |value: f64| {
        let rounded = (100.0 * value).round().abs();
        let sign = if value < 0.0 && rounded > 0.0 { "\u{2212}" } else { "" };
        format!("{sign}{rounded:.0}")
    };
    [whole(d), format!("{} to {}", whole(low), whole(high))]
}

/// An odds ratio with two digits; one that has no end is said so.
fn odd(value: Option<f64>) -> String {
    value.map_or_else(|| "without end".to_owned(), |value| format!("{value:.2}"))
}

#[cfg(test)]
mod tests;
