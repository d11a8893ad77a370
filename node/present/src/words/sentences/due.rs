//! What is due.

use propagule_bench::Stage;

use super::number_of;
use crate::kind::KindWords;

/// When something was or is due, behind a task: ` 3 days ago`, ` in 2 days`; nothing today.
pub fn far(days: i32) -> String {
    match days {
        0 => "today".to_owned(),
        -1 => "1 day ago".to_owned(),
        1 => "in 1 day".to_owned(),
        ..0 => format!("{} days ago", days.unsigned_abs()),
        _ => format!("in {days} days"),
    }
}

/// Not in yet: `stick the cuttings`.
pub fn due_stick(words: &KindWords) -> String {
    format!("{} the {}", words.start.to_lowercase(), words.plural())
}

/// A check.
pub fn due_check(_: &KindWords) -> String {
    "check".to_owned()
}

/// The first count: all treatments on one day.
pub fn due_count(words: &KindWords, stage: Stage) -> String {
    match stage {
        Stage::Lift => format!("{}, all treatments on one day", words.name(stage)),
        _ => words.name(stage).to_owned(),
    }
}

/// Rootstock suckers.
pub fn due_suckers(_: &KindWords) -> String {
    "remove rootstock suckers".to_owned()
}

/// The tape of grafts.
pub fn due_tape(words: &KindWords) -> String {
    format!("cut the {} before it strangles the {}", words.trade("graft tape"), words.only())
}

/// Counted, and not published.
pub fn due_publish(_: &KindWords) -> String {
    "counted, not published".to_owned()
}

/// Why failures are wanted too.
pub fn why_publish(_: &KindWords) -> String {
    "When failures stay at home, everybody's figures come out too high.".to_owned()
}

/// Published, and counted again since.
pub fn due_update(words: &KindWords) -> String {
    format!("growers are waiting for its {}", words.name(Stage::Spring))
}

/// Nothing is due, or nothing beside what has been waiting for long.
pub fn due_none(_: &KindWords, next: Option<(&str, &str, &str)>, is_some_waiting: bool) -> String {
    let nothing = if is_some_waiting { "Nothing new is due." } else { "Nothing is due." };
    match next {
        None => nothing.to_owned(),
        Some((code, what, date)) => format!("{nothing} Next: {code}, {what}, {date}."),
    }
}

/// How many things are due.
pub fn due_list(_: &KindWords, things: usize) -> String {
    match things {
        0 => "Nothing is due.".to_owned(),
        1 => "1 thing is due.".to_owned(),
        some => format!("{} are due.", number_of(some, "thing", "things")),
    }
}

/// A calendar file was written.
pub fn ics(_: &KindWords, dates: usize, file: &str) -> String {
    match dates {
        0 => "There are no dates, so no file was written.".to_owned(),
        some => format!("Calendar written: {} in {file}.", number_of(some, "date", "dates")),
    }
}

/// A page to print was written.
pub fn printed(_: &KindWords, file: &str) -> String {
    format!("{file} is ready; open it in a browser and print.")
}

/// Files were written.
pub fn exported(_: &KindWords, files: usize, folder: &str) -> String {
    format!("{} written to {folder}.", number_of(files, "file", "files"))
}
