//! Pieces put elsewhere, and pieces that left, in words.

use crate::document::Document;

use super::super::spots::facets;
use super::{changes, saved, titled, undo};
use crate::kind::KindWords;
use propagule_app::outcome::entry::{ArmMoved, PiecesLeft, PiecesMoved};

/// Living pieces were put elsewhere.
pub(super) fn moved(number: u64, moved: &PiecesMoved) -> Document {
    let PiecesMoved { kind, spot, new_spot, on, correction, arms, take_back, .. } = moved;
    let words = KindWords::of(*kind);
    let lines = arms.iter().flat_map(|arm| {
        let carried = arm
            .moves_carried
            .map(|most| format!("{}: a record carries {most} moves: the first and the last", arm.arm));
        std::iter::once(self::arm(arm, spot, &words)).chain(carried)
    });
    titled(format!("{}: moved to {spot} on {on}.", saved(number, *correction)), lines.collect())
        .each(new_spot, |said, new| {
            said.say(format!("{} is a new bench of yours: {}.", new.name, facets(&new.facets)))
        })
        .action(undo::of(take_back))
}

fn arm(ArmMoved { arm, started, week, is_phase, .. }: &ArmMoved, spot: &str, words: &KindWords) -> String {
    if *is_phase {
        format!(
            "{arm}: same trial, same {started} put in, same method; what is first seen to have {} from now on counts for \
             it, as after the move to {spot} (week {week})",
            words.had
        )
    } else {
        format!("{arm}: aftercare: every living piece is {} already", words.lead)
    }
}

/// Pieces were sold, given or planted out.
pub(super) fn left(number: u64, left: &PiecesLeft) -> Document {
    let PiecesLeft { kind, pieces, how, at_grade, on, correction, from, take_back, .. } = left;
    let counted = if *at_grade {
        "they count as finished on that day"
    } else {
        "below your grade: what becomes of them is not known, and is shown both ways"
    };
    let saved = saved(number, *correction);
    let standing = changes::holds(from, &KindWords::of(*kind));
    titled(format!("{saved}: {pieces} {} on {on}; {counted}.", how.word()), vec![standing])
        .action(undo::of(take_back))
}
