//! What is asked back before an unusual entry is saved.

use super::counting::{Counted, place_of};
use super::{Common, Enter, as_data};
use propagule_bench::{Bench, Entry, Gone, Trial, What};
use propagule_files::fault::{Asks, Fault};

/// A pot of so many pieces is asked about when half of them or more went at once.
const POT: u16 = 4;

/// Asks about a day before the last entry of the trial.
pub(super) fn check_order(bench: &Bench, trial: &Trial, common: &Common) -> Result<(), Fault> {
    if common.is_sure {
        return Ok(());
    }
    let latest = bench
        .entries()
        .filter(|(_, entry)| entry.what.trial() == Some(&trial.code) && is_of_the_pieces(entry))
        .max_by_key(|(number, entry)| (entry.on.middle(), *number));
    match latest {
        Some((number, entry)) if common.on.middle() < entry.on.middle() => {
            Err(Fault::user("day-before-last-entry")
                .with("on", common.on)
                .with("trial", &trial.code)
                .with("number", number)
                .with("what", entry.what.word())
                .with("kind", trial.kind().word())
                .with("last", entry.on)
                .in_field("on")
                .asks(Asks::IsItSo))
        }
        _ => Ok(()),
    }
}

/// Whether an entry says something of the pieces; notes and spots may come in any order.
fn is_of_the_pieces(entry: &Entry) -> bool {
    matches!(
        entry.what,
        What::Looked { .. }
            | What::Counted { .. }
            | What::Moved { .. }
            | What::Left { .. }
            | What::Closed { .. }
    )
}

/// Asks about pots of which half or more went between two looks, where no cause is given for it.
pub(super) fn check_gone(trial: &Trial, enter: &Enter, counted: &[Counted]) -> Result<(), Fault> {
    if enter.common.is_sure || enter.stage.is_some() {
        return Ok(());
    }
    let asked: Vec<Gone> = counted.iter().filter_map(|counted| gone(trial, counted)).collect();
    if asked.is_empty() {
        return Ok(());
    }
    Err(Fault::user("gone-at-once").with("gone", as_data(&asked)).asks(Asks::IsItSo))
}

fn gone(trial: &Trial, counted: &Counted) -> Option<Gone> {
    let Counted { full, before, after, tally } = counted;
    let (died, lost) = (full.dead.unwrap_or(0), full.lost.unwrap_or(0));
    let base = before.base();
    let is_much = base >= POT && u32::from(died + lost) * 2 >= u32::from(base);
    if !is_much || tally.cause.is_some() {
        return None;
    }
    let (before, after) = (before.fates.alive(), after.fates.alive());
    Some(Gone { place: place_of(trial, tally), before, after, died, lost })
}
