//! Sentences of a plan: how many to start, what a trial would show, what to try next.

#[cfg(test)]
mod tests;

use serde::{Deserialize, Serialize};

use crate::plan::{Expense, InPots, MOST_IN_ARM, MOST_POTS, TellApart};
use crate::words::number::{about_pieces, end_in_hundred, grouped, in_hundred, percent};
use crate::words::rate::none_of;
use crate::words::vocabulary::{Wording, start_verb};
use propagule_files::counted::counted;

/// What the sentence on a number to start is made of.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct StickFacts {
    /// Words for the pieces and the outcome.
    pub wording: Wording,
    /// Successes wanted.
    pub want: u32,
    /// With which probability.
    pub sure: f64,
    /// Pieces to start; `None` where there is no number.
    pub stick: Option<u32>,
    /// Pieces beyond which no plan is sensible.
    pub most: u32,
    /// Pieces put in by all growers.
    pub started: u32,
    /// Their successes.
    pub succeeded: u32,
    /// Growers.
    pub growers: usize,
    /// The reader's own successes and pieces, where there are any.
    pub own: Option<(u32, u32)>,
}

impl StickFacts {
    /// The whole sentence.
    pub fn sentence(&self, expense: Option<&Expense>) -> String {
        if self.succeeded == 0 {
            let none = none_of(self.wording, self.started);
            return format!("{none} So there is no number to start.");
        }
        let mut parts = vec![self.number_words()];
        parts.extend(expense.map(|expense| expense_words(expense, self.wording)));
        parts.extend(self.basis_words());
        parts.join(" ")
    }

    fn number_words(&self) -> String {
        let (want, done, sure) = (self.want, self.wording.done(), percent(self.sure));
        let Some(stick) = self.stick else {
            let most = grouped(u64::from(self.most));
            return format!(
                "Even {most} would not give {want} {done} with a chance of {sure} %: no sensible number."
            );
        };
        let about = about_pieces(stick);
        let number =
            if about == stick { stick.to_string() } else { format!("about {about} ({stick} by the model)") };
        format!(
            "{} {number} to have {} {sure} % chance of {want} {done}.",
            start_verb(self.wording.family),
            article(&sure)
        )
    }

    fn basis_words(&self) -> Option<String> {
        match (self.own, self.growers) {
            (Some((rooted, started)), 1) => Some(format!(
                "That rests on your own {rooted} of {started} alone; how much seasons differ is a guess built in by us."
            )),
            (Some((rooted, started)), growers) => Some(format!(
                "That starts from your own {rooted} of {started}, and leans on {}.",
                counted(growers - 1, "other grower", "other growers"),
            )),
            (None, 1) => {
                Some("One grower's result; how much yours would differ is a guess built in by us.".to_owned())
            }
            (None, _) => None,
        }
    }
}

/// "an" before 8, 11, 18 and 80 to 89, else "a".
fn article(number: &str) -> &'static str {
    let whole = number.split('.').next().unwrap_or_default();
    if number.starts_with('8') || ["11", "18"].contains(&whole) { "an" } else { "a" }
}

/// What a number of pieces costs: "That costs 24 (4.80 for each one wanted) and takes 3 h 0 min."
fn expense_words(expense: &Expense, wording: Wording) -> String {
    let done = wording.done();
    let money = expense
        .cost
        .zip(expense.cost_per_wanted)
        .map(|(all, each)| format!("costs {} ({} for each {done})", money(all), money(each)));
    let time = expense
        .minutes
        .zip(expense.minutes_per_wanted)
        .map(|(all, each)| format!("takes {} ({} for each {done})", duration(all), duration(each)));
    let parts: Vec<String> = money.into_iter().chain(time).collect();
    format!("That {}.", parts.join(" and "))
}

/// Money to two places; whole from 100 up.
fn money(amount: f64) -> String {
    if amount >= 100.0 { format!("{amount:.0}") } else { format!("{amount:.2}") }
}

/// `45 min`, `3 h`, `2 h 5 min`.
fn duration(minutes: f64) -> String {
    if minutes < 0.95 {
        return format!("{:.0} s", minutes * 60.0);
    }
    let whole = minutes.round() as u64;
    match (whole / 60, whole % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest} min"),
    }
}

/// Several methods: how many of them have a number, and its range.
pub fn several_plans(wording: Wording, want: u32, sure: f64, methods: usize, sticks: &[u32]) -> String {
    let (done, sure) = (wording.done(), percent(sure));
    let aim = format!("{} {sure} % chance of {want} {done}", article(&sure));
    match (sticks.iter().min(), sticks.iter().max()) {
        (Some(fewest), Some(most)) if fewest == most => {
            format!("{methods} methods: {fewest} pieces to have {aim}, by {} of them.", sticks.len())
        }
        (Some(fewest), Some(most)) => {
            format!(
                "{methods} methods: from {fewest} to {most} pieces to have {aim}, by {} of them.",
                sticks.len()
            )
        }
        _ => format!("{methods} methods, and none of them with a number to start for {aim}."),
    }
}

/// What a trial of two arms would show.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct ApartFacts<T> {
    /// Method of the first rate; `None` for a rate in general.
    pub first: Option<T>,
    /// Method of the second rate.
    pub second: Option<T>,
    /// Both true rates.
    pub rates: (f64, f64),
    /// Wanted chance of showing the difference.
    pub sure: f64,
    /// Pieces in each arm.
    pub per_arm: u32,
    /// Pieces in each arm that are needed; `None` above `most`.
    pub needed: Option<u32>,
    /// Chance of showing the difference if these were the true rates and pots never differed.
    pub power: f64,
    /// The same arms in pots; `None` where pieces are the units.
    pub in_pots: Option<InPots>,
    /// Power averaged over what is not known of both rates.
    pub assurance: Option<f64>,
}

impl<T: AsRef<str>> ApartFacts<T> {
    /// The sentence; the figure that allows for pots leads.
    pub fn sentence(&self) -> String {
        let (a, b) = self.rates;
        let named = |method: Option<&str>, rate: f64| match method {
            Some(method) => format!("{method} (about {} in 100)", in_hundred(rate)),
            None => format!("{:.0} %", rate * 100.0),
        };
        let [first, second] = [&self.first, &self.second].map(|method| method.as_ref().map(T::as_ref));
        let pair = format!("{} and {}", named(first, a), named(second, b));
        let power = self.in_pots.map_or(self.power, |in_pots| in_pots.power);
        format!(
            "{pair}: {} in each of two arms would show the difference {} times in 100 if these were the true rates{}.{}",
            self.size(),
            in_hundred(power),
            self.beside(),
            self.needed_words(),
        )
    }

    /// `12`, or `3 pots of 4`.
    fn size(&self) -> String {
        self.in_pots
            .map_or_else(|| self.per_arm.to_string(), |InPots { pots, pieces, .. }| pots_of(pots, pieces))
    }

    /// What stands beside the figure that leads: without pots, and allowing for what is not known.
    fn beside(&self) -> String {
        let bare = |in_pots: InPots| {
            let same = in_pots.pots * in_pots.pieces == self.per_arm;
            let size = if same { String::new() } else { format!("{}: ", self.per_arm) };
            format!("{size}{} if pots never differed", in_hundred(self.power))
        };
        let assured = |assurance| format!("{} allowing for what is not known of them", in_hundred(assurance));
        match (self.in_pots.map(bare), self.assurance.map(assured)) {
            (None, None) => String::new(),
            (None, Some(one)) | (Some(one), None) => format!(" ({one})"),
            (Some(bare), Some(assured)) => format!(" ({bare}, and {assured})"),
        }
    }

    fn needed_words(&self) -> String {
        let sure = in_hundred(self.sure);
        match (self.in_pots, self.needed) {
            (Some(InPots { pieces, needed_pots: None, .. }), _) => {
                format!(" Even {} in each would not reach {sure}.", pots_of(MOST_POTS, pieces))
            }
            (Some(InPots { pots, pieces, needed_pots: Some(needed), .. }), _) if pots != needed => {
                format!(" {} in each would show it {sure} times in 100.", pots_of(needed, pieces))
            }
            (None, Some(needed)) if needed != self.per_arm => {
                format!(" {needed} in each would show it {sure} times in 100.")
            }
            (None, None) => format!(" Even {MOST_IN_ARM} in each would not reach {sure}."),
            _ => String::new(),
        }
    }
}

/// `3 pots of 4`.
fn pots_of(pots: u32, pieces: u32) -> String {
    format!("{pots} pots of {pieces}")
}

/// Two true rates in a table, the figure that allows for pots first.
pub struct ApartCells {
    /// `20 and 80 %`.
    pub rates: String,
    /// `3 pots of 4`, or `12`.
    pub each_arm: String,
    /// Of 100 trials.
    pub shown: String,
    /// Of 100 trials if pots never differed; `None` where pieces are the units.
    pub shown_without_pots: Option<String>,
    /// Pots, or pieces where pieces are the units, of each arm.
    pub needed: String,
}

/// The cells of a row.
pub fn apart_cells(row: &TellApart) -> ApartCells {
    let rates = format!("{:.0} and {:.0} %", row.rate_a * 100.0, row.rate_b * 100.0);
    match row.in_pots {
        Some(InPots { pots, pieces, power, needed_pots, .. }) => ApartCells {
            rates,
            each_arm: pots_of(pots, pieces),
            shown: in_hundred(power),
            shown_without_pots: Some(in_hundred(row.power)),
            needed: needed_pots
                .map_or_else(|| format!("over {MOST_POTS} pots"), |needed| format!("{needed} pots")),
        },
        None => ApartCells {
            rates,
            each_arm: row.per_arm.to_string(),
            shown: in_hundred(row.power),
            shown_without_pots: None,
            needed: row
                .needed_per_arm
                .map_or_else(|| format!("over {MOST_IN_ARM}"), |needed| needed.to_string()),
        },
    }
}

/// What a bold arm could show.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct BoldFacts {
    /// Pieces of the arm.
    pub pieces: u32,
    /// Wanted chance.
    pub sure: f64,
    /// Lowest true rate at which one success shows with that chance.
    pub rate_shown: f64,
    /// Upper bound of the rate if none succeeds.
    pub upper_if_none: f64,
    /// Upper bound of the method tried so far, now and with as many pieces more.
    pub again: Option<(f64, f64)>,
}

impl BoldFacts {
    /// The sentence.
    pub fn sentence(&self) -> String {
        let Self { pieces, rate_shown, upper_if_none, .. } = *self;
        let (shown, open, sure) = (percent(rate_shown), percent(upper_if_none), percent(self.sure));
        let new = format!(
            "One bold arm of {pieces} by a method not tried yet would show at least one success with {} {sure} % chance if \
             its true rate were {shown} % or more; none of {pieces} would still leave rates up to {open} % open.",
            article(&sure),
        );
        let again = self.again.map_or_else(String::new, |(now, then)| {
            format!(
                " {pieces} more of the same without a success would only lower its bound from {} to {} %.",
                percent(now),
                percent(then)
            )
        });
        format!("{new}{again}")
    }
}

/// One method among those to try next.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct TryFacts {
    /// Place, 0 for the best.
    pub place: usize,
    /// Methods ranked.
    pub among: usize,
    /// Words for the outcome.
    pub wording: Wording,
    /// Pieces put in.
    pub started: u32,
    /// Successes.
    pub succeeded: u32,
    /// Average rate by the method's own counts.
    pub alone: f64,
    /// The same partially pooled.
    pub pooled: f64,
    /// A new grower's rate by the partially pooled law, 2.5 and 97.5 %.
    pub range: [f64; 2],
}

/// Points by which the two rates must differ to be worth a word.
const CURSE_MATTERS: f64 = 0.01;

impl TryFacts {
    /// The sentence.
    pub fn sentence(&self, method: &str) -> String {
        if self.succeeded == 0 {
            return format!("{method}: {}", none_of(self.wording, self.started));
        }
        let (alone, pooled) = (in_hundred(self.alone), in_hundred(self.pooled));
        let place = self.place_words();
        let differs = (self.alone - self.pooled).abs() >= CURSE_MATTERS && alone != pooled;
        match (self.place, differs) {
            (0, true) if self.alone > self.pooled => format!(
                "{method}: about {alone} in 100 by its own counts. The best of {} looks better than it is; allowing for \
                 that, expect about {pooled}, {place}.",
                self.among
            ),
            (_, true) => {
                format!(
                    "{method}: about {alone} in 100 by its own counts; beside the others about {pooled}, {place}."
                )
            }
            (_, false) => format!("{method}: about {pooled} in 100, {place}."),
        }
    }

    fn place_words(&self) -> String {
        let [low, high] = self.range;
        format!("anything from {} to {} at your place", end_in_hundred(low), end_in_hundred(high))
    }
}

/// Said beside a ranking over growers.
pub const RANKED_ACROSS_GROWERS: &str = "What to try next ranks rates of different growers, so a difference may be the growers'. It says where a \
     trial may pay, not which method is better.";

/// Said beside sizes of arms.
pub const SEVERAL_POTS: &str = "Chances are by the test that judges a trial, for pots that differ somewhat (correlation 0.1 within a pot). With \
     one pot each a difference between pots would look the same, and no verdict is given.";

/// Said of arms that differ from the methods beside them in several things at once.
pub fn rank_nothing(arms: usize) -> String {
    let (arms, they) = (counted(arms, "arm", "arms"), if arms == 1 { "it ranks" } else { "they rank" });
    format!(
        "{arms} stood beside other methods and differed from them in more than the method: which of it did it cannot be \
         said, and {they} nothing under \"what to try next\"."
    )
}

/// Said below numbers of growers and of pieces.
pub const PINNED_DOWN: &str = "The range to which such trials alone would pin a typical grower's rate down, if the truth is what the data say now: \
     growers differ, so more growers beat more pieces.";
