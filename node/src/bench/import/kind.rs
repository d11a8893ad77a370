//! Words of a kind, and counts of a stage in the form of old tables.

use super::play::count;
use super::row::{Row, RowCount};
use crate::bench::{Counts, Stage};

/// The words of a kind for its lead outcome, and for how it is started.
pub(super) fn kind_words(row: &Row) -> (&'static str, &'static str) {
    let kind = row.facets.get("kind").map_or("", String::as_str);
    let has = |word: &str| kind.contains(word);
    if has("graft") {
        ("taken", "grafted")
    } else if has("bud") {
        ("taken", "budded")
    } else if has("seed") {
        ("germinated", "sown")
    } else {
        ("rooted", "put in")
    }
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
