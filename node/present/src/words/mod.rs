//! Every sentence of an answer, in one place, by topic: tested at 0, 1 and n.

pub mod bench;
pub mod cautions;
pub mod changes;
mod circle;
mod compare;
mod contrast;
mod curve;
pub mod due;
pub mod entry;
mod facets;
pub mod finding;
pub mod forms;
pub mod headline;
mod left_out;
mod life;
mod marks;
pub mod never_said;
pub mod new_trial;
mod nothing;
pub mod pieces;
mod plan;
pub mod pots;
pub mod printed;
pub mod published;
mod rank;
mod rate;
pub mod read_aloud;
pub mod recorded;
mod regraft;
pub mod rooms;
mod said;
pub mod sentences;
pub mod sharing;
mod shrunk;
mod silence;
pub mod standing;
pub mod tasks;
#[cfg(test)]
mod tests;
pub mod time;
pub mod today;
pub mod transcribed;
pub mod trial;
mod vocabulary;
pub mod works;

use std::ops::Deref;

pub use crate::number::{about_pieces, grouped, in_hundred, percent, percent_range, percent_with_range};
pub use circle::{
    average_or_nobody, circle_differs, everybody_words, nobody_asked_for, others_outside, outside_only,
};
pub use compare::{as_if_at, band_words, flags_by_chance, nobody_else};
pub use contrast::{always_together, any_kind};
pub use curve::{at_least, curve_point, over_time};
pub use facets::{ADDITIVE, NO_FACETS};
pub use life::{moved, whole_life};
pub use marks::marks;
pub use nothing::{
    NEVER_SIDE_BY_SIDE, NOT_ADVICE, also_counted, did_you_mean, filtered_away, no_evidence, nothing_counted,
};
pub use plan::{
    ApartCells, PINNED_DOWN, SEVERAL_POTS, apart_cells, number_to_start, rank_nothing, several_plans,
    worth_a_try,
};
use propagule_evidence::Family;
pub use propagule_files::counted::counted;
pub use rate::{CLASSICAL, MOSTLY_PRIOR, NO_MAXIMUM, all_of, count_reading, none_of, several_methods};
pub use regraft::WITH_REGRAFTS;
pub use shrunk::methods_looked_at;
pub use silence::{silence_words, silent_as_zero_words, silent_trials};
pub use time::how_long;
pub use vocabulary::{PieceWords, question_words};
pub use works::whose_words;

/// What has words of its own.
pub trait InWords {
    /// The words.
    fn words(&self) -> String;
}

/// Facts of an answer while they are worded: the parts of their sentence are methods of this.
struct Of<'a, F>(&'a F);

impl<F> Deref for Of<'_, F> {
    type Target = F;

    fn deref(&self) -> &F {
        self.0
    }
}
