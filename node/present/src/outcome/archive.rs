//! Archives in words.

use crate::document::{Action, Document};
use propagule_bench::archive::{EVENTS, RECORDS, TABLES};
use propagule_bench::tidy;
use propagule_files::counted::counted;

use super::command::propagule;
use propagule_app::outcome::archive::{ArchiveMade, LastArchive, Restored};

/// When the last archive was made; none where there is none yet.
pub fn last(days_ago: Option<i32>) -> String {
    match days_ago {
        None => "no archive yet".to_owned(),
        // A clock that was set back says so at its own check.
        Some(..=0) => "last archive today".to_owned(),
        Some(days) => format!("last archive {} ago", counted(days.unsigned_abs(), "day", "days")),
    }
}

/// The same as a reminder, before the command that makes one.
pub fn is_owed(days_ago: Option<i32>) -> String {
    let last = last(days_ago);
    let (first, rest) = last.split_at(1);
    format!("{}{rest}: everything is on this one disk. Make one:", first.to_uppercase())
}

/// The command that makes an archive.
pub fn make(last: &LastArchive) -> String {
    propagule(last.named_home.as_deref(), &format!("export {}", last.file))
}

/// An archive was made.
pub(super) fn made(ArchiveMade { archive, with_keys }: &ArchiveMade) -> Document {
    let rows = archive.rows(&format!("{TABLES}{}", tidy::TABLE));
    let held = in_full(archive.rows(EVENTS), archive.count_in(RECORDS), rows);
    let said = Document::new().say(format!("In it: {held}."));
    if *with_keys {
        said.say("warning: it holds your keys; whoever has this file can publish as you.")
    } else {
        said.say(
            "It has no keys: a data folder restored from it publishes as another grower (--with-keys adds them).",
        )
    }
}

/// An archive became a home.
pub(super) fn restored(restored: &Restored) -> Document {
    let Restored { file, home, named_home, made_on, events, records, with_keys, .. } = restored;
    Document::new()
        .say(format!(
            "Restored {} from {file}, made on {made_on}, into {home}.",
            contents(*events, *records)
        ))
        .say(if *with_keys {
            "Its keys came along: what you publish next is an update by the same grower."
        } else {
            "It had no keys: what you publish from here is published as another grower."
        })
        .say(
            "Use one of the two data folders from now on, this one or the old one: what you enter in one never reaches the other.",
        )
        .action(Action::command("Next", propagule(named_home.as_deref(), "trial list")))
}

fn contents(events: u64, records: usize) -> String {
    let events = counted(events, "entry at the bench", "entries at the bench");
    format!("{events}, {}", counted(records, "published result", "published results"))
}

fn in_full(events: u64, records: usize, rows: u64) -> String {
    let rows = counted(rows, "row of the table", "rows of the table");
    format!("{}, {rows}", contents(events, records))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_archive_at_none_today_one_and_many_days() {
        assert_eq!(last(None), "no archive yet");
        assert_eq!(last(Some(0)), "last archive today");
        assert_eq!(last(Some(-3)), "last archive today");
        assert_eq!(last(Some(1)), "last archive 1 day ago");
        assert_eq!(last(Some(31)), "last archive 31 days ago");
        assert_eq!(is_owed(None), "No archive yet: everything is on this one disk. Make one:");
        assert!(is_owed(Some(31)).starts_with("Last archive 31 days ago: "));
    }

    #[test]
    fn the_contents_at_none_one_and_many() {
        assert_eq!(in_full(0, 0, 0), "0 entries at the bench, 0 published results, 0 rows of the table");
        assert_eq!(in_full(1, 1, 1), "1 entry at the bench, 1 published result, 1 row of the table");
        assert_eq!(in_full(2, 3, 4), "2 entries at the bench, 3 published results, 4 rows of the table");
    }
}
