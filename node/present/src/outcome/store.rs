//! The files of a home in words.

use crate::document::Document;
use propagule_files::counted::counted;
use propagule_files::journal::Damage;
use propagule_network::store::Loss;

use super::command::ending_in_command;
use propagule_app::outcome::store::{StoreOutcome, StoreRepaired, StoreTidied, StoreVerified};

/// Lost records that are told one by one; JSON has them all.
const MOST_TOLD: usize = 10;

/// What was done about the files of a home.
pub(super) fn done(outcome: &StoreOutcome) -> Document {
    match outcome {
        StoreOutcome::Verify(found) => verified(found),
        StoreOutcome::Repair(repaired) => self::repaired(repaired),
        StoreOutcome::Compact(tidied) => compacted(tidied),
    }
}

fn verified(found: &StoreVerified) -> Document {
    let StoreVerified { records, bench, .. } = found;
    let damage = found.found_at_opening.iter().chain(&records.damage).chain(&bench.damage);
    Document::new()
        .say(format!(
            "Results: {} in {}, {} KB; every signature checked again.",
            records.records,
            counted(records.frames, "frame", "frames"),
            records.bytes.div_ceil(1_024),
        ))
        .say(format!("Bench: {}.", counted(bench.frames, "entry", "entries")))
        .each(damage, |said, damage| said.say(format!("Damaged: {}.", self::damage(damage))))
        .each(records.unsound.iter().chain(&bench.unsound), |said, what| {
            said.say(format!("Unsound: {what}."))
        })
        .each(&records.index, |said, what| said.say(format!("Index: {what}.")))
        .append(lost(&records.losses))
        .each(&found.kept_aside, |said, file| said.say(format!("Kept aside from damage: {file}")))
        .when(found.is_sound && found.is_complete, |said| said.say("All is well."))
}

fn repaired(repaired: &StoreRepaired) -> Document {
    let StoreRepaired { tidied, is_bench_poorer, is_running } = repaired;
    let how = if *is_running { "now" } else { "when Propagule runs (propagule serve)" };
    Document::new()
        .say("The journal is written anew from everything that is whole, and the index with it.")
        .each(&tidied.kept_aside, |said, file| said.say(format!("Kept aside, as it was: {file}")))
        .when(*is_bench_poorer, |said| {
            said.say("Your own entries were damaged too: go through your trials for what is missing.")
        })
        .append(lost(&tidied.losses))
        .when(!tidied.losses.is_empty(), |said| {
            let said_of_it = format!(
                "What other growers have of it is fetched {how}; see it with: propagule store verify"
            );
            said.say(ending_in_command(&said_of_it))
        })
}

fn compacted(tidied: &StoreTidied) -> Document {
    let kilobytes = |bytes: u64| bytes.div_ceil(1_024);
    Document::new().say(format!(
        "The data file had {} KB and has {} KB now; every result is still there.",
        kilobytes(tidied.bytes_before),
        kilobytes(tidied.bytes)
    ))
}

fn lost(losses: &[Loss]) -> Document {
    Document::new().each(losses, |said, one| said.say(format!("Lost: {}.", loss(one))))
}

/// One damaged stretch.
pub(super) fn damage(damage: &Damage) -> String {
    let bytes = damage.to - damage.from;
    let file = &damage.file;
    let damaged = || counted(bytes, "damaged byte", "damaged bytes");
    let unfinished = || counted(bytes, "byte that was", "bytes that were");
    match &damage.moved_to {
        _ if damage.to == u64::from(u32::MAX) && damage.from == 0 => format!("{file} is gone"),
        Some(aside) if damage.is_loss => {
            format!("{file} ends in {} where something acknowledged stood; moved to {aside}", damaged())
        }
        Some(aside) => format!(
            "{file} ended in {} never finished; moved to {aside}, and nothing that had been acknowledged is gone",
            unfinished()
        ),
        None if bytes == 0 => {
            format!(
                "{file} could not be read; it only says how far the journal had come, and is written anew"
            )
        }
        None if !damage.is_loss => format!("{file} ends in {} never finished", unfinished()),
        None => format!(
            "{file} is damaged from byte {} to {}; everything before and behind that is kept",
            damage.from, damage.to
        ),
    }
}

/// What is lost.
pub(super) fn loss(loss: &Loss) -> String {
    let place = format!("{} from byte {}", loss.file, loss.from);
    if loss.records.is_empty() {
        return format!("what stood in {place}; which results that were cannot be told");
    }
    let told: Vec<String> = loss.records.iter().take(MOST_TOLD).map(ToString::to_string).collect();
    let more = match loss.records.len() - told.len() {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    format!("{} of {place}: {}{more}", counted(loss.records.len(), "record", "records"), told.join(", "))
}
