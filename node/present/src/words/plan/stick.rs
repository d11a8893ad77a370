//! How many to start, and what that costs.

use propagule_answer::said::{Expense, StickFacts, Wording};

use super::article;
use crate::number::{about_pieces, grouped, percent};
use crate::words::rate::none_of;
use crate::words::vocabulary::{PieceWords, start_verb};
use crate::words::{Of, counted};

/// How many to start by a method, with what that costs.
pub fn number_to_start(facts: &StickFacts, expense: Option<&Expense>) -> String {
    Of(facts).sentence(expense)
}

impl Of<'_, StickFacts> {
    /// The whole sentence.
    fn sentence(&self, expense: Option<&Expense>) -> String {
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

/// What a number of pieces costs: "That costs 24 (4.80 for each one wanted) and takes 3 h 0 min."
pub(super) fn expense_words(expense: &Expense, wording: Wording) -> String {
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
