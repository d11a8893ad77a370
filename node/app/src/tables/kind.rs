//! The kind of a row, and counts of a stage in the form of old tables.

use super::play::count;
use super::row::{Row, RowCount};
use propagule_bench::kind::Kind;
use propagule_bench::{Counts, Stage};

/// The kind of propagation of a row.
pub(super) fn kind_of(row: &Row) -> Kind {
    Kind::of_facets(&row.facets).unwrap_or_default()
}

/// Counts of a stage in the old form, for trials that came with an old table.
pub(super) fn old_counts(row: &Row, stage: Stage) -> Counts {
    let counts: Vec<&RowCount> = row.counts.iter().filter(|count| count.stage == Some(stage)).collect();
    let of = |what: &str| count(&counts, what);
    Counts {
        alive: of("alive"),
        callused: of("callused"),
        rooted: of("rooted"),
        established: of("established"),
        finished: of("finished"),
        dead: of("dead"),
        lost: of("lost"),
        left_as_finished: of("left_as_finished"),
        ever_rooted: None,
    }
}
