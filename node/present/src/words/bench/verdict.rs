//! What may be said of two sides of a trial, in the words of the one verdict engine.

use std::fmt::Write;

use propagule_analysis::verdict::{Design, FamilyKind, Reason, Verdict};
use propagule_analysis::{Count, interval};

use super::{and, p_words};
use crate::number::percent;
use crate::words::counted;
use propagule_answer::trial::{FamilyRow, VerdictRow};
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
    /// Word for the lead outcome.
    pub outcome: &'a str,
}

impl VerdictFacts<'_> {
    /// `dip and none (auxin only): 9 of 12 against 6 of 12 rooted; cannot be told apart: …`.
    pub fn sentence(&self) -> String {
        let pair = self.pair;
        let only = match &pair.factor {
            Some(factor) if pair.verdict != Verdict::Confounded => format!(" ({} only)", plain(factor)),
            _ => String::new(),
        };
        let counts = self
            .totals()
            .map_or_else(String::new, |(a, b)| format!("{} against {} {}; ", of(a), of(b), self.outcome));
        let (first, second) = (&pair.first, &pair.second);
        format!(
            "{first} and {second}{only}: {counts}{}.{}{}",
            self.said(),
            self.difference(),
            self.without_lost()
        )
    }

    fn totals(&self) -> Option<(Count, Count)> {
        self.pair.numbers.totals.map(sides)
    }

    /// The verdict and its reason.
    pub fn said(&self) -> String {
        let pair = self.pair;
        match &pair.because {
            Reason::Clear => self.better(),
            Reason::WithinChance => self.open("cannot be told apart"),
            Reason::PotsDisagree => {
                self.open("cannot be told apart: pots of one arm differ more than chance would have it")
            }
            Reason::FewPots => {
                self.open("cannot be told apart: there are too few pots to know how much pots differ")
            }
            Reason::OneOfSeveral => self.open(&format!("cannot be told apart{}", self.among())),
            Reason::OneUnit => {
                "no verdict: one pot each: a difference between pots would look the same".to_owned()
            }
            Reason::Together(names) => format!("no verdict: {} cannot be separated", names_of(names)),
            Reason::PeopleAreNotCompared => {
                "no verdict: only who did the work differs, and people are not compared".to_owned()
            }
            Reason::NoneSucceeded => self.none_succeeded(),
            Reason::AllSucceeded => "no difference could be seen: all did".to_owned(),
            Reason::AlikeInEachStratum => {
                "no difference could be seen: in each block none did, or all".to_owned()
            }
            Reason::ClearWithLostOnly => {
                "no verdict: clear only while the lost ones count as failures".to_owned()
            }
            Reason::ClearWithoutLostOnly => {
                "no verdict: clear only when the lost ones are left out".to_owned()
            }
            Reason::LostTurnItRound => "no verdict: leaving the lost ones out turns it round".to_owned(),
            Reason::NotCounted(names) => format!("not counted yet: {}", and(names)),
        }
    }

    fn better(&self) -> String {
        let pair = self.pair;
        let label = pair.better.as_ref().unwrap_or(&pair.second);
        let cause = pair.factor.as_ref().map_or_else(String::new, |factor| format!(" for {}", plain(factor)));
        self.open(&format!("{label} did better{cause}{}", self.among()))
    }

    /// What is tested, with how often chance alone would bring it, and whether chance placed the units.
    fn open(&self, said: &str) -> String {
        let p = self.pair.numbers.p;
        let chance =
            p.map_or_else(String::new, |p| format!("; if it made no difference, {}", times_in_100(p)));
        let placed = if self.family.is_randomised { "" } else { " (not placed at random)" };
        format!("{said}{placed}{chance}")
    }

    /// `, one of 3 comparisons with none`: what the correction is over.
    fn among(&self) -> String {
        let FamilyRow { kind, size, control, .. } = self.family;
        match kind {
            _ if *size < 2 => String::new(),
            FamilyKind::Control => {
                format!(", one of {size} comparisons with {}", control.as_deref().unwrap_or("the control"))
            }
            FamilyKind::Factorial => format!(", one of {size} factors"),
            FamilyKind::Pair | FamilyKind::Pairs => format!(", one of {size} pairs"),
        }
    }

    fn none_succeeded(&self) -> String {
        let bound = |count: Count| percent(interval::one_sided_upper(count, LEVEL));
        let pots = if self.pair.numbers.design == Some(Design::Single) { "; one pot each" } else { "" };
        let bounds = self.totals().map_or_else(String::new, |(a, b)| match (bound(a), bound(b)) {
            (a, b) if a == b => format!(" (up to {a} % in each would fit{pots})"),
            (a, b) => format!(" (up to {a} and {b} % would fit{pots})"),
        });
        format!("no difference could be seen{bounds}")
    }

    /// The difference with its limits, where a test stands behind it.
    fn difference(&self) -> String {
        match (self.pair.numbers.p, self.pair.numbers.difference) {
            (Some(_), Some([d, low, high])) => format!(" Difference {} points.", points(d, low, high)),
            _ => String::new(),
        }
    }

    /// The other reading of lost pieces, where it changes something.
    fn without_lost(&self) -> String {
        let other = self.pair.lost_left_out.as_ref().and_then(|other| other.numbers.totals);
        let Some((with, without)) = self.totals().zip(other.map(sides)) else { return String::new() };
        let order = |a: Count, b: Count| rate(a).total_cmp(&rate(b));
        let turns = order(with.0, with.1) != order(without.0, without.1);
        let moves = |a: Count, b: Count| b.started > 0 && (rate(a) - rate(b)).abs() >= 0.05;
        if !turns && !moves(with.0, without.0) && !moves(with.1, without.1) {
            return String::new();
        }
        let (a, b) = (percent(rate(without.0)), percent(rate(without.1)));
        let rates = if a == b { format!("both {a} %") } else { format!("{a} and {b} %") };
        format!(" Without the lost ones {} against {}, {rates}.", of(without.0), of(without.1))
    }

    /// All the numbers, one line, for the details.
    pub fn detail(&self) -> Option<String> {
        let found = &self.pair.numbers;
        let (p_exact, fisher) = (found.p_exact?, found.fisher_on_totals?);
        let mut text = format!("{} and {}", self.pair.first, self.pair.second);
        if found.p.is_none() {
            text.push_str(", as if every piece were independent");
        }
        let p = found.p.unwrap_or(p_exact);
        let _ = write!(text, ": p {}", p_words(p));
        if let Some(pots) = found.p_pots {
            let _ = write!(text, " (exact {}, by pots {})", p_words(p_exact), p_words(pots));
        }
        if let Some(holm) = found.p_holm.filter(|_| self.family.size > 1) {
            let _ = write!(text, ", {} after Holm's correction over {}", p_words(holm), self.family.size);
        }
        if let (Some(phi_hat), Some(df), Some(phi)) = (found.phi_hat, found.df, found.phi) {
            let _ = write!(
                text,
                "; pots differ {phi_hat:.1} times as much as by chance ({df} degrees of freedom), reckoned as {phi:.1} times"
            );
        }
        if let Some([d, low, high]) = found.difference.filter(|_| found.p.is_none()) {
            let _ = write!(text, "; difference {} points", points(d, low, high));
        }
        if let Some([estimate, low, high]) = found.odds_ratio {
            let _ = write!(text, "; odds ratio {}, {} to {}", odd(estimate), odd(low), odd(high));
        }
        let _ = write!(text, "; Fisher's test of the totals p {}", p_words(fisher));
        if let Some(boschloo) = found.boschloo {
            let _ = write!(text, ", Boschloo's {}", p_words(boschloo));
        }
        if self.pair.blocks_left_out > 0 {
            let blocks = counted(self.pair.blocks_left_out, "block", "blocks");
            let _ = write!(text, "; {blocks} with one side only left out");
        }
        for within in &self.pair.within {
            let odds = within.odds_ratio.map_or("nothing to see".to_owned(), |[estimate, ..]| odd(estimate));
            let _ = write!(text, "; odds ratio within {} {odds}", within.stratum);
        }
        Some(text)
    }
}

fn plain(name: &str) -> String {
    name.replace('_', " ")
}

fn names_of(names: &[String]) -> String {
    and(&names.iter().map(|name| plain(name)).collect::<Vec<_>>())
}

/// Both sides of a pair.
fn sides([first, of_first, second, of_second]: [u32; 4]) -> (Count, Count) {
    (Count { succeeded: first, started: of_first }, Count { succeeded: second, started: of_second })
}

fn of(count: Count) -> String {
    format!("{} of {}", count.succeeded, count.started)
}

/// `43 (95 % range 8 to 65)`, in points of the rate.
fn points(d: f64, low: f64, high: f64) -> String {
    let whole = |value: f64| {
        let rounded = (100.0 * value).round().abs();
        let sign = if value < 0.0 && rounded > 0.0 { "\u{2212}" } else { "" };
        format!("{sign}{rounded:.0}")
    };
    format!("{} (95 % range {} to {})", whole(d), whole(low), whole(high))
}

/// An odds ratio with two digits; one that has no end is said so.
fn odd(value: Option<f64>) -> String {
    value.map_or_else(|| "without end".to_owned(), |value| format!("{value:.2}"))
}

/// `a result this lopsided would turn up about 3 times in 100`.
fn times_in_100(p: f64) -> String {
    let times = (100.0 * p).round() as usize;
    let often = match times {
        _ if p < 0.005 => "fewer than 1 time in 100".to_owned(),
        0 | 1 => "about 1 time in 100".to_owned(),
        100 => "nearly always".to_owned(),
        many => format!("about {many} times in 100"),
    };
    format!("a result this lopsided would turn up {often}")
}

#[cfg(test)]
mod tests;
