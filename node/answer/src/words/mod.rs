//! Every sentence of an answer, in one place, by topic.

pub mod bench;
pub mod changes;
mod circle;
mod compare;
mod contrast;
mod curve;
pub mod due;
pub mod entry;
mod facets;
pub mod fault;
pub mod kind;
mod left_out;
mod life;
mod marks;
mod nothing;
mod number;
mod plan;
pub mod pots;
pub mod printed;
pub mod published;
mod rank;
mod rate;
pub mod recorded;
mod regraft;
mod said;
mod silence;
#[cfg(test)]
mod tests;
mod time;
pub mod trial;
mod vocabulary;

pub use circle::{
    EverybodyFacts, PART_NOT_JOINED, average_or_nobody, circle_differs, everybody_words, nobody_asked_for,
    others_outside, outside_only,
};
pub use compare::{CompareFacts, FALSE_FLAGS, Flag, as_if_at, band_words, nobody_else};
pub use contrast::{ContrastFacts, ONE_POT_EACH, TELL_APART, Verdict, always_together};
pub use curve::{at_least, curve_point, over_time};
pub use facets::{ADDITIVE, LevelFacts, NO_FACETS};
pub use life::{moved, whole_life};
pub use marks::marks;
pub use nothing::{
    NEVER_SIDE_BY_SIDE, NOT_ADVICE, also_counted, did_you_mean, filtered_away, no_evidence, nothing_counted,
};
pub use number::{
    about_pieces, end_in_hundred, grouped, in_hundred, percent, percent_range, percent_with_range,
    small_number,
};
pub use plan::{
    ApartCells, ApartFacts, BoldFacts, PINNED_DOWN, RANKED_ACROSS_GROWERS, SEVERAL_POTS, StickFacts,
    TryFacts, apart_cells, rank_nothing, several_plans,
};
pub use propagule_evidence::Family;
pub use propagule_files::counted::counted;
pub use rank::{RankFacts, Ranked};
pub use rate::{
    CLASSICAL, LOST_MATTERS, Lead, MOSTLY_PRIOR, NO_MAXIMUM, RateFacts, Rates, all_of, count_interval,
    count_reading, none_of, several_methods,
};
pub use regraft::WITH_REGRAFTS;
pub use said::AnswerSaid;
pub use silence::{silence_words, silent_as_zero_words, silent_trials};
pub use time::how_long;
pub use vocabulary::{Wording, question_words, start_verb};
