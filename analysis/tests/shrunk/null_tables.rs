//! A small part of the program `contrasts`: what is claimed where all are equal, and where they are not.

use crate::tables::rows;
use crate::tally::{Tally, parted};

/// Tables a row; the program takes 400.
const TABLES: u64 = 12;

#[test]
fn equal_levels_are_hardly_ever_told_apart_and_unequal_ones_rightly() {
    let mut claims = Tally::default();
    for row in rows().into_iter().filter(|row| row.growers * row.trials_a_grower < 10) {
        let tally = Tally::of(&row, TABLES).expect("fits");
        let short = tally.shortfalls(&row);
        assert!(short.is_empty(), "{}: {short:?}", row.name());
        if row.levels_sd > 0.0 {
            claims.add(&tally);
        }
    }
    // A program that claims nothing would pass the rest.
    assert!(claims.claimed() > 0.2 && claims.right() + 2.0 * claims.right_error() > 0.95, "{claims}");
}

#[test]
fn levels_that_nothing_joins_get_no_verdict() {
    assert_eq!(parted(10).expect("fits"), 0);
}
