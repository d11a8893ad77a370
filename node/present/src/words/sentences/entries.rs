//! What is said when something is entered at the bench.

use super::{and, number_of, on, per_cent};
use crate::kind::KindWords;
use crate::number::grouped;

/// So many were started; the number stays.
pub fn started(words: &KindWords, units: u32, plant: &str, date: &str) -> String {
    let many = words.many(units);
    let of = match (plant.is_empty(), words.unit.is_empty()) {
        (true, _) => String::new(),
        (false, true) => format!(" {plant}"),
        (false, false) => format!(" of {plant}"),
    };
    format!(
        "{many}{of} {} {}. Every rate is worked out of this number; it does not change.",
        words.started,
        on(date)
    )
}

/// The same where the number was worked out later.
pub fn started_estimated(words: &KindWords, units: u32, plant: &str, date: &str) -> String {
    started(words, units, plant, &format!("{date}, number estimated"))
}

/// Nothing changed on a day.
pub fn checked(_: &KindWords, code: &str, date: &str) -> String {
    format!("Checked {code} {}: no change.", on(date))
}

/// Everything somewhere was checked.
pub fn checked_all(_: &KindWords, place: &str, date: &str, codes: &[String]) -> String {
    let trials = number_of(codes.len(), "trial", "trials");
    format!("Checked everything on {place} {}, no change: {trials}: {}.", on(date), codes.join(", "))
}

/// A note was added.
pub fn noted(_: &KindWords, subject: &str) -> String {
    format!("Note added to {subject}. It stays at home.")
}

/// The tape of grafts was cut.
pub fn tape_cut(words: &KindWords, date: &str) -> String {
    format!("{} {}.", crate::kind::capital(words.trade("tape cut")), on(date))
}

/// Something was saved: `Saved as entry 4: M2, lift count, Aug 29, 2026.`
pub fn saved(_: &KindWords, entry: u64, what: &str) -> String {
    format!("Saved as entry {entry}: {what}.")
}

/// A pot after a count: alive, with the outcome, and what became of the others.
#[derive(Clone, Copy, Debug, Default)]
pub struct PotCount {
    /// Started there.
    pub started: u32,
    /// Living ones.
    pub alive: u32,
    /// Of them, with the outcome; none where nobody looked for it.
    pub rooted: Option<u32>,
    /// Not seen.
    pub not_seen: u32,
    /// Dead.
    pub dead: u32,
    /// Lost.
    pub lost: u32,
    /// Sold, given or planted out as finished.
    pub finished: u32,
    /// Gone before they were finished.
    pub unfinished: u32,
}

/// `P2: 3 of 4 alive, 3 rooted, 1 dead`; parts that are none are left out, but for the outcome.
pub fn pot_count(words: &KindWords, pot: &str, count: &PotCount) -> String {
    let mut parts = vec![format!("{} of {} alive", count.alive, count.started)];
    parts.extend(count.rooted.filter(|_| count.alive > 0).map(|rooted| format!("{rooted} {}", words.ok)));
    let others = [
        (count.not_seen, "not seen"),
        (count.finished, "gone as finished"),
        (count.unfinished, "gone unfinished"),
        (count.dead, "dead"),
        (count.lost, "lost"),
    ];
    parts.extend(others.iter().filter(|(n, _)| *n > 0).map(|(n, word)| format!("{n} {word}")));
    let said = parts.join(", ");
    if pot.is_empty() { said } else { format!("{pot}: {said}") }
}

/// What is not counted stays alive.
pub fn rest_alive(_: &KindWords) -> String {
    "Anything you do not count stays alive.".to_owned()
}

/// Some are not accounted for.
pub fn rest_asked(words: &KindWords, units: u32) -> String {
    let many = words.many(units);
    let is = if units == 1 { "is" } else { "are" };
    format!("{many} {is} not accounted for. Count them, or say what became of the rest: --rest dead")
}

/// Pots that were left out of a count.
pub fn uncounted_pots(_: &KindWords, pots: &[String]) -> String {
    let were = if pots.len() == 1 { "was" } else { "were" };
    format!("{} {were} not counted. A blank is not a zero.", and(pots))
}

/// Living ones went to another bench; what roots from now on counts for the method, as rooted after the move.
pub fn moved(words: &KindWords, label: &str, started: u32, bench: &str, week: i64) -> String {
    format!(
        "{label}: same trial, same {started} {}, same method. Any that {} from now on count for {label}, as {} after the \
         move to {bench} (week {week}).",
        words.started, words.to_ok, words.lead
    )
}

/// All that live have the outcome already.
pub fn moved_rooted(words: &KindWords, label: &str) -> String {
    format!(
        "{label}: all living {} are {}. This is aftercare; their method stays.",
        words.plural(),
        words.lead
    )
}

/// So many went as finished.
pub fn sold(_: &KindWords, units: u32, how: &str, date: &str) -> String {
    let count = if units == 1 { "counts" } else { "count" };
    let (units_said, on) = (grouped(u64::from(units)), on(date));
    format!("{units_said} {how} {on}; {} {count} as finished on that day.", they(units))
}

/// So many went before they were finished.
pub fn left_unfinished(_: &KindWords, units: u32, how: &str, date: &str) -> String {
    let their = if units == 1 { "Its" } else { "Their" };
    format!(
        "{} {how} {}, before {} finished. {their} outcome is unknown, so it is shown both ways.",
        grouped(u64::from(units)),
        on(date),
        if units == 1 { "it was" } else { "they were" }
    )
}

const fn they(units: u32) -> &'static str {
    if units == 1 { "it" } else { "they" }
}

/// Something was logged for all that stands on a bench.
pub fn log_other(_: &KindWords, bench: &str, what: &str, date: &str, trials: usize) -> String {
    let on = match trials {
        0 => "on no trial yet".to_owned(),
        some => format!("on {}", number_of(some, "trial", "trials")),
    };
    format!("{bench}: {what}, from {date}, {on}.")
}

/// Mist, with what its cycles come to in a day.
pub fn log_mist(
    words: &KindWords,
    bench: &str,
    mist: &str,
    cycles: u32,
    minutes: f64,
    trials: usize,
) -> String {
    let what = format!("mist {mist}: {cycles} mist cycles, {minutes:.0} min of mist a day");
    let on = match trials {
        0 => "on no trial yet".to_owned(),
        some => format!("on {}", number_of(some, "trial", "trials")),
    };
    let _ = words;
    format!("{bench}: {what}, {on}.")
}

/// Rootstock suckers that were removed.
pub fn suckers(_: &KindWords, removed: u32, from: &str) -> String {
    match removed {
        0 => "Looked for suckers: none.".to_owned(),
        some => {
            format!("{} removed from {from}.", number_of(some, "rootstock sucker", "rootstock suckers"))
        }
    }
}

/// An entry was undone.
pub fn undone(_: &KindWords, entry: u64, what: &str) -> String {
    let what = if what.is_empty() { String::new() } else { format!(" ({what})") };
    format!("Entry {entry} undone{what}. It stays in the history.")
}

/// A count was fixed.
pub fn fixed(_: &KindWords, entry: u64, correction: u64, change: &str) -> String {
    format!("Entry {entry} fixed as entry {correction}: {change}. The old figures stay in the history.")
}

/// The same numbers are in already.
pub fn already(_: &KindWords, entry: u64) -> String {
    format!("Already saved as entry {entry}. Nothing was added.")
}

/// Entries that wait on a phone.
pub fn queued(_: &KindWords, entries: usize) -> String {
    let (are, they) = if entries == 1 { ("is", "It") } else { ("are", "They") };
    format!(
        "{} {are} waiting on this phone. {they} will be sent when the computer answers.",
        number_of(entries, "entry", "entries")
    )
}

/// Trials of a table that were brought in.
pub fn imported(words: &KindWords, trials: usize, started: u64, succeeded: Option<(u64, u64)>) -> String {
    if trials == 0 {
        return "Nothing was brought in.".to_owned();
    }
    let rooted = succeeded.map_or_else(String::new, |(count, of)| {
        let of_them = if of == started { String::new() } else { format!(" of {}", grouped(of)) };
        let share = per_cent(count as f64 / of.max(1) as f64);
        format!(", {}{of_them} {} ({share})", grouped(count), words.ok)
    });
    format!(
        "{} brought in: {} {}{rooted}.",
        number_of(trials, "trial", "trials"),
        grouped(started),
        words.started
    )
}

/// Rows of a table that were left out.
pub fn import_skipped(_: &KindWords, rows: usize, reasons: &str) -> String {
    format!("{} left out: {reasons}", number_of(rows, "row", "rows"))
}
