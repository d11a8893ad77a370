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

use propagule_files::counted::counted;

/// "an" before 8, 11, 18 and 80 to 89, else "a".
fn article(number: &str) -> &'static str {
    let whole = number.split('.').next().unwrap_or_default();
    if number.starts_with('8') || ["11", "18"].contains(&whole) { "an" } else { "a" }
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
