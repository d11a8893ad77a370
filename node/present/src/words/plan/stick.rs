//! How many to start, and what that costs.

use propagule_answer::said::{Expense, StickFacts, Wording};

use crate::number::about_pieces;
use crate::words::Of;
use crate::words::rate::none_of;
use crate::words::sentences::planning::{self, PlantsWanted};
use crate::words::vocabulary::PieceWords;

/// How many to start by a method, with what that costs.
pub fn number_to_start(facts: &StickFacts, expense: Option<&Expense>) -> String {
    Of(facts).sentence(expense)
}

impl Of<'_, StickFacts> {
    /// The whole sentence.
    fn sentence(&self, expense: Option<&Expense>) -> String {
        let words = self.wording.kind();
        if self.succeeded == 0 {
            let none = none_of(self.wording, self.started);
            return format!("{none} {}", planning::stick_none(&words, self.wording.done()));
        }
        let mut parts = vec![self.number_words()];
        parts.extend(expense.map(|expense| expense_words(expense, self.wording)));
        parts.extend(self.basis_words());
        parts.join(" ")
    }

    const fn aim(&self, oked: &'static str) -> PlantsWanted<'static> {
        PlantsWanted { want: self.0.want, oked, sure: self.0.sure }
    }

    fn number_words(&self) -> String {
        let (words, aim) = (self.wording.kind(), self.aim(self.wording.done()));
        match self.stick {
            None => planning::stick_impossible(&words, self.most, aim),
            Some(stick) => planning::stick(&words, about_pieces(stick), about_pieces(stick) != stick, aim),
        }
    }

    fn basis_words(&self) -> Option<String> {
        let words = self.wording.kind();
        match (self.own, self.growers) {
            (Some((rooted, started)), 1) => Some(planning::own_only(&words, rooted, started)),
            (Some((rooted, started)), growers) => {
                Some(planning::own_first(&words, rooted, started, growers - 1))
            }
            (None, 1) => Some(planning::one_other(&words)),
            (None, _) => None,
        }
    }
}

/// What a number of them costs: "That costs 24.00 (4.80 for each one rooted) and takes 3 h (36 min each)."
pub(super) fn expense_words(expense: &Expense, wording: Wording) -> String {
    let money = expense.cost.zip(expense.cost_per_wanted).map(|(all, each)| [money(all), money(each)]);
    let time = expense.minutes.zip(expense.minutes_per_wanted);
    let time = time.map(|(all, each)| [duration(all), duration(each)]);
    planning::cost(&wording.kind(), wording.done(), money, time)
}

/// Money to two places; whole from 100 up.
fn money(amount: f64) -> String {
    if amount >= 100.0 { format!("{amount:.0}") } else { format!("{amount:.2}") }
}

/// `45 min`, `3 h`, `2 h 5 min`.
pub(super) fn duration(minutes: f64) -> String {
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
    let range = sticks.iter().min().zip(sticks.iter().max());
    let range = range.map(|(fewest, most)| (*fewest, *most, sticks.len()));
    planning::several_plans(
        &wording.kind(),
        methods,
        range,
        PlantsWanted { want, oked: wording.done(), sure },
    )
}
