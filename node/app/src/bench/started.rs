//! Numbers put in that differ from the plan, or were miscounted.

use super::StartedAt;
use propagule_bench::doing::Doing;
use propagule_bench::{Arm, Trial};
use propagule_files::fault::Fault;

/// Pieces that a place can have.
const PIECES: std::ops::RangeInclusive<u16> = 1..=10_000;

/// Writes down how many pieces were put in.
pub(super) fn set(what: Doing, trial: &mut Trial, all: &[StartedAt]) -> Result<(), Fault> {
    for StartedAt { place, pieces } in all {
        let wrong = |why: &str| {
            Fault::user("started-malformed")
                .with("what", what)
                .with("text", format!("{place}={pieces}"))
                .with("why", why)
                .in_field(format!("started.{place}"))
        };
        if !PIECES.contains(pieces) {
            return Err(wrong("not-in-range"));
        }
        let target = trial.target(place).map(|(arm, pot)| (arm.number, pot.map(|pot| pot.code.clone())));
        let (number, pot) = target.ok_or_else(|| wrong("no-such-place"))?;
        let arm = trial.arms.iter_mut().find(|arm| arm.number == number).expect("it was found");
        if pot.is_none() && !arm.replicates.is_empty() {
            return Err(wrong("counted-by-pots"));
        }
        set_pieces(arm, pot.as_deref(), *pieces);
    }
    Ok(())
}

fn set_pieces(arm: &mut Arm, pot: Option<&str>, pieces: u16) {
    let Some(code) = pot else {
        arm.started = pieces;
        return;
    };
    for replicate in arm.replicates.iter_mut().filter(|replicate| replicate.code == code) {
        replicate.started = pieces;
    }
    arm.started = arm.replicates.iter().map(|replicate| replicate.started).sum();
}
