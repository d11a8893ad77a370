//! What the page of the day says around its tasks.

use propagule_app::viewed::LotLine;
use propagule_protocol::Date;

use super::sentences::number_of;
use crate::kind::KindWords;

/// Days after which something due is said to wait.
const WAITS: i32 = 7;

/// The heading where something is due.
pub fn things(things: usize, benches: usize) -> String {
    let things = number_of(things, "thing", "things");
    match benches {
        0 => format!("{things} now"),
        some => format!("{things} now, on {}", number_of(some, "bench", "benches")),
    }
}

/// The heading where nothing is.
pub const NOTHING: &str = "Nothing to do now";
/// The heading of what comes within a week.
pub const SOON: &str = "Soon";
/// What that means.
pub const NEXT_WEEK: &str = "the next 7 days";
/// The heading of tasks of trials that stand nowhere.
pub const NO_BENCH: &str = "On no bench";
/// Before anything was set up.
pub const EMPTY: &str = "Nothing is on your bench yet.";
/// What to do then.
pub const BEGIN: &str =
    "Set up a trial before you take cuttings: you see what its size can show, and where each pot stands.";
/// The likeliest of that.
pub const SET_UP: &str = "Set up a trial or batch";
/// Another way.
pub const IMPORT: &str = "Import a spreadsheet";
/// Everything, however far away.
pub const SHOW_ALL: &str = "Show everything";
/// Only the next days.
pub const SHOW_NEAR: &str = "Only what is near";
/// The file that a calendar reads.
pub const CALENDAR: &str = "As a calendar file: now, and the coming 90 days";

/// The heading of what was done today.
pub const DONE: &str = "What you did today";

/// How far the round of a day has come; empty before anything was done.
pub fn so_far(done: usize, of: usize) -> String {
    if done == 0 { String::new() } else { format!("{done} of {of} done today.") }
}

/// What the fold of the entries of a day holds.
pub fn done(entries: usize) -> String {
    number_of(entries, "entry", "entries")
}

/// Entries that had no room in that fold.
pub fn more_done(entries: usize) -> String {
    format!("And {entries} more, in the history of each trial.")
}

/// Tasks of a bench that are folded.
pub fn folded(tasks: usize) -> String {
    format!("{tasks} more")
}

/// What was just saved of a count, and what comes next; without a next one, that it was the last.
pub fn then(next: Option<&str>) -> String {
    next.map_or_else(|| "That was the last.".to_owned(), |next| format!("Next: {next}."))
}

/// The heading of why pieces died or were lost.
pub const CAUSE: &str = "Why?";
/// The field for a reason that has no button.
pub const OWN_CAUSE: &str = "Another cause of death or loss";
/// Usual reasons: what is kept, and what is read; the first says none.
pub const CAUSES: [(&str, &str); 7] = [
    ("", "Not said"),
    ("basal rot", "Rot at the base"),
    ("desiccation", "Dried out"),
    ("leaf blight or grey mould", "Leaf blight or grey mould"),
    ("frost", "Frost"),
    ("vole, slug or bird", "Vole, slug or bird"),
    ("unknown", "Unknown"),
];

/// How many tasks a bench has.
pub fn to_do(tasks: usize) -> String {
    format!("{tasks} to do")
}

/// The button by which everything that is due for a look was looked at; it states no number of dead.
pub fn all_looked(lots: usize) -> String {
    match lots {
        1 => "Looked at, no change".to_owned(),
        some => format!("All {some} looked at, no change"),
    }
}

/// What the button saved.
pub fn all_looked_saved(spot: &str, lots: u64) -> String {
    let entries = number_of(usize::try_from(lots).unwrap_or(usize::MAX), "entry", "entries");
    format!("{spot}: all looked at, no change. {entries} saved.")
}

/// The key that adds one, for those at a keyboard.
pub fn key_adds(letter: &str) -> String {
    format!("key {}", letter.to_uppercase())
}

/// How far a count has come.
pub fn counted_so_far(counted: usize, of: usize) -> String {
    format!("{counted} of {of} counted")
}

/// It was saved on that day already.
pub const ALL_LOOKED_BEFORE: &str = "This was saved today already; nothing was changed.";
/// What the button saved was taken back.
pub const UNDONE: &str = "Undone. The history keeps it.";

/// When it is due, behind the plant: lateness is said only where it is more than a week.
pub fn due_on(in_days: i32, day: Date) -> String {
    let day = long(day);
    match in_days {
        0 => "today".to_owned(),
        1 => format!("tomorrow, {day}"),
        2.. => format!("{day}, in {in_days} days"),
        _ if in_days < -WAITS => format!("waiting since {day}"),
        _ => day,
    }
}

/// How many a lot holds: `36 cuttings, 33 alive`.
pub fn holds(lot: &LotLine) -> String {
    let words = KindWords::of(lot.kind);
    let many = words.many(lot.started);
    match &lot.row {
        Some(row) if row.alive() < lot.started => format!("{many}, {} alive", row.alive()),
        _ => many,
    }
}

/// A lot as its small tray is read aloud.
pub fn tray(code: &str, states: &str) -> String {
    if states.is_empty() { code.to_owned() } else { format!("{code}: {states}") }
}

/// `26 November 2026`.
pub fn long(day: Date) -> String {
    let month = usize::from(day.month()).wrapping_sub(1);
    let month = propagule_bench::dates::MONTHS.get(month).copied().unwrap_or_default();
    format!("{} {month} {}", day.day(), day.year())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn none_one_and_several() {
        assert_eq!(things(1, 0), "1 thing now");
        assert_eq!(things(7, 3), "7 things now, on 3 benches");
        assert_eq!([all_looked(1), all_looked(4)], ["Looked at, no change", "All 4 looked at, no change"]);
        assert_eq!(all_looked_saved("mist house", 1), "mist house: all looked at, no change. 1 entry saved.");
    }

    #[test]
    fn a_round_is_told_at_none_one_and_several() {
        assert_eq!([so_far(0, 4), so_far(1, 4)], ["", "1 of 4 done today."]);
        assert_eq!([done(1), done(12)], ["1 entry", "12 entries"]);
        assert_eq!([folded(1), folded(31)], ["1 more", "31 more"]);
        assert_eq!([then(Some("P6")), then(None)], ["Next: P6.", "That was the last."]);
    }

    #[test]
    fn a_cause_that_is_offered_is_one_that_the_bench_knows() {
        for (kept, _) in &CAUSES[1..] {
            assert!(propagule_protocol::vocab::LOSS_CAUSES.contains(kept), "{kept}");
        }
    }

    #[test]
    fn lateness_is_said_only_where_it_is_more_than_a_week() {
        let day = Date::new(2026, 9, 8).expect("a day");
        let said = [-8, -7, 0, 1, 5].map(|in_days| due_on(in_days, day));
        let expected = [
            "waiting since 8 September 2026",
            "8 September 2026",
            "today",
            "tomorrow, 8 September 2026",
            "8 September 2026, in 5 days",
        ];
        assert_eq!(said, expected);
    }
}
