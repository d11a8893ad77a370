//! What becomes of each piece, and the counts that a grower would write down.

use propagule_protocol::{Counts, StageCounts};

use super::crop::Steps;
use super::effects::{LOST_SHARE, SCRATCH_ERROR, VOLE_SHARE};
use super::stable::logistic;
use super::stream::Stream;

/// One piece as it really is.
#[expect(clippy::struct_excessive_bools, reason = "what is counted of a piece, each on its own")]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Piece {
    lost: bool,
    seen_alive: bool,
    rooted_at_lift: bool,
    rooted_in_spring: bool,
    taken_by_vole: bool,
}

/// What holds for all pieces of an arm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Law {
    pub(super) steps: Steps,
    /// Share of the pieces that will root which have done so by lift.
    pub(super) in_time: f64,
    /// Whether any can root here.
    pub(super) can_root: bool,
}

/// What acts on one piece besides its treatment.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shift {
    /// On the steps to lift.
    pub(super) lift: f64,
    /// On winter.
    pub(super) winter: f64,
    /// Whether a vole comes to its bed.
    pub(super) vole: bool,
}

/// Draws one piece; the number of draws is the same for every piece.
pub(super) fn piece(stream: &mut Stream, law: &Law, shift: Shift) -> Piece {
    let steps = &law.steps;
    let lost = stream.chance(LOST_SHARE);
    let survives = stream.chance(steps.survive.map_or(1.0, |survive| logistic(survive + shift.lift)));
    let roots = stream.chance(logistic(steps.root + shift.lift)) && survives && law.can_root;
    let in_time = stream.chance(law.in_time);
    let winters = stream.chance(logistic(steps.winter + shift.winter));
    let wrong_scratch = stream.chance(SCRATCH_ERROR);
    let vole = stream.chance(VOLE_SHARE) && shift.vole;
    let rooted_at_lift = roots && in_time && !lost;
    // Buds and seeds without success are seen at once; a cutting without roots is scratched.
    let alive = if steps.survive.is_some() { survives } else { roots };
    let seen_alive = if rooted_at_lift || steps.survive.is_none() { alive } else { alive != wrong_scratch };
    Piece {
        lost,
        seen_alive: seen_alive && !lost,
        rooted_at_lift,
        rooted_in_spring: roots && winters && !lost && !vole,
        taken_by_vole: roots && vole && !lost,
    }
}

/// Pieces of one arm by replicate.
pub(super) type Replicates = Vec<Vec<Piece>>;

fn number(pieces: &Replicates, is: fn(&Piece) -> bool) -> u16 {
    pieces.iter().flatten().filter(|piece| is(piece)).count() as u16
}

fn by_replicate(pieces: &Replicates, is: fn(&Piece) -> bool) -> Vec<u16> {
    pieces.iter().map(|replicate| replicate.iter().filter(|piece| is(piece)).count() as u16).collect()
}

fn started(pieces: &Replicates) -> u16 {
    pieces.iter().map(Vec::len).sum::<usize>() as u16
}

fn at_lift(pieces: &Replicates) -> Counts {
    let (alive, lost) = (number(pieces, |piece| piece.seen_alive), number(pieces, |piece| piece.lost));
    Counts {
        alive: Some(alive),
        rooted: Some(number(pieces, |piece| piece.rooted_at_lift)),
        dead: Some(started(pieces) - alive - lost),
        lost: Some(lost),
        replicates: Some(by_replicate(pieces, |piece| piece.rooted_at_lift)),
        ..Counts::default()
    }
}

fn in_spring(pieces: &Replicates) -> Counts {
    let rooted = number(pieces, |piece| piece.rooted_in_spring);
    let lost = number(pieces, |piece| piece.lost || piece.taken_by_vole);
    Counts {
        alive: Some(rooted),
        rooted: Some(rooted),
        established: Some(rooted),
        dead: Some(started(pieces) - rooted - lost),
        lost: Some(lost),
        replicates: Some(by_replicate(pieces, |piece| piece.rooted_in_spring)),
        ..Counts::default()
    }
}

/// Counts at lift, and in spring where that has come.
pub(super) fn stages(pieces: &Replicates, spring_counted: bool) -> StageCounts {
    let spring = spring_counted.then(|| in_spring(pieces));
    StageCounts { lift: Some(at_lift(pieces)), spring, ..StageCounts::default() }
}
