//! Sentences of a plan: how many to start, what a trial would show, what to try next.

mod apart;
mod bold;
mod stick;
#[cfg(test)]
mod tests;
mod tries;

pub use apart::{ApartCells, apart_cells};
pub use stick::{number_to_start, several_plans};
pub use tries::worth_a_try;

use super::sentences::number_of;

/// Said beside sizes of treatments.
pub const SEVERAL_POTS: &str = "These chances are by the test that judges a trial, for pots that differ somewhat. With one pot each a difference \
     between pots would look just the same, so no treatment is called better.";

/// Said of treatments that differ from the methods beside them in several things at once.
pub fn rank_nothing(arms: usize) -> String {
    let they = if arms == 1 { "it is" } else { "they are" };
    format!(
        "{} differed from the methods beside in more than the method. The cause cannot be named, so {they} left out of what \
         to try next.",
        number_of(arms, "treatment", "treatments")
    )
}

/// Said below numbers of growers and of plants.
pub const PINNED_DOWN: &str = "How wide the interval of the average would be after such trials, if the truth is what the results say now. Growers \
     differ, so more growers tell more than larger trials.";
