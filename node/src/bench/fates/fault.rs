//! Why a count cannot be.

use crate::paper::dates::When;

/// Why a count cannot be.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FateFault {
    /// Alive, dead, lost and not known do not add up.
    #[error(
        "alive {alive} + dead {dead} + lost {lost} + not known {not_known} is {sum}, but {base} were left at the last count"
    )]
    Sum {
        /// As given or worked out.
        alive: u16,
        /// Died since.
        dead: u16,
        /// Lost since.
        lost: u16,
        /// Not known.
        not_known: u16,
        /// All of them.
        sum: u32,
        /// At the last count.
        base: u16,
    },
    /// More than there are.
    #[error("{count} {what}, but only {of} {of_what}")]
    TooMany {
        /// What.
        what: &'static str,
        /// How many.
        count: u16,
        /// Of how many.
        of: u16,
        /// Of what.
        of_what: &'static str,
    },
    /// A count at a stage leaves pieces unmentioned.
    #[error("{count} of {base} are not accounted for")]
    Unaccounted {
        /// How many.
        count: u16,
        /// Of how many.
        base: u16,
    },
    /// Green pieces were named, and others live on of which it is not said whether they have roots.
    #[error("{green} green of {alive} left: say what the other {} are", alive - green)]
    GreenOnly {
        /// Green, without roots.
        green: u16,
        /// Alive.
        alive: u16,
    },
    /// Fewer have roots than before, and too few went since.
    #[error("{}", roots_gone(*short, *since))]
    RootsGone {
        /// How many fewer than can be explained.
        short: u16,
        /// The last day on which roots were looked for.
        since: Option<When>,
    },
}

fn roots_gone(short: u16, since: Option<When>) -> String {
    let before = since.map_or("before".to_owned(), |day| format!("on {day}"));
    format!("{short} fewer with roots than {before}, and nothing died or left since")
}
