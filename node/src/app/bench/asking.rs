//! What is asked back before an unusual entry is saved.

use super::counting::{Counted, place_of};
use super::{Common, Enter};
use crate::answer::words::entry as words;
use propagule_bench::{Bench, Entry, Trial, What};
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
            let what = format!(
                "{} is before the last entry of {} (entry {number}, {} on {}): is the day right?",
                common.on,
                trial.code,
                entry.what.word(),
                entry.on
            );
            Err(sure(what, "if it is, add --yes; else correct the day with --on"))
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
    let asked: Vec<String> = counted.iter().filter_map(|counted| gone(trial, counted)).collect();
    if asked.is_empty() {
        return Ok(());
    }
    Err(sure(asked.join("; "), "if it is so, add --yes; else correct the number"))
}

fn gone(trial: &Trial, counted: &Counted) -> Option<String> {
    let Counted { full, before, after, tally } = counted;
    let (died, lost) = (full.dead.unwrap_or(0), full.lost.unwrap_or(0));
    let base = before.base();
    let is_much = base >= POT && u32::from(died + lost) * 2 >= u32::from(base);
    if !is_much || tally.cause.is_some() {
        return None;
    }
    let place = place_of(trial, tally);
    Some(words::gone_at_once(&place, before.fates.alive(), after.fates.alive(), died, lost))
}

fn sure(what: String, hint: &str) -> Fault {
    Fault::said(what).hint(hint).asks(Asks::IsItSo)
}
