//! Plants that were moved, and plants that left, in words.

use crate::document::Document;

use super::super::spots::{facets, to_mind};
use super::{changes, saved, titled, undo};
use crate::kind::KindWords;
use crate::words::sentences::{entries, when};
use propagule_app::outcome::entry::{ArmMoved, PiecesLeft, PiecesMoved};

/// Living ones were moved to another bench.
pub(super) fn moved(number: u64, moved: &PiecesMoved) -> Document {
    let PiecesMoved { kind, spot, new_spot, on, correction, arms, take_back, .. } = moved;
    let words = KindWords::of(*kind);
    let lines = arms.iter().flat_map(|arm| {
        let carried = arm.moves_carried.map(|most| {
            format!("{}: a published result carries {most} moves: the first and the last", arm.arm)
        });
        std::iter::once(self::arm(arm, spot, &words)).chain(carried)
    });
    let day = when(&words, on);
    titled(format!("{}: moved to {spot} on {day}.", saved(number, *correction)), lines.collect())
        .each(new_spot, |said, new| {
            said.say(format!("{} is a new bench of yours: {}.", new.name, facets(&new.facets)))
        })
        .action(undo::of(take_back))
}

fn arm(ArmMoved { arm, started, week, is_phase, .. }: &ArmMoved, spot: &str, words: &KindWords) -> String {
    if *is_phase {
        entries::moved(words, arm, u32::from(*started), spot, i64::from(*week))
    } else {
        entries::moved_rooted(words, arm)
    }
}

/// Plants were sold, given or planted out.
pub(super) fn left(number: u64, left: &PiecesLeft) -> Document {
    let PiecesLeft { kind, pieces, how, at_grade, on, correction, from, cautions, take_back, .. } = left;
    let (words, units) = (KindWords::of(*kind), u32::from(*pieces));
    let day = when(&words, on);
    let left = if *at_grade {
        entries::sold(&words, units, how.word(), &day)
    } else {
        entries::left_unfinished(&words, units, how.word(), &day)
    };
    let saved = saved(number, *correction);
    let standing = changes::holds(from, &words);
    let said = titled(format!("{saved}: {left}"), vec![standing]);
    to_mind(said, cautions).action(undo::of(take_back))
}
