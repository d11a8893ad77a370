//! Words for archives of a bench.

use super::counted;

/// When the last archive was made; none where there is none yet.
pub fn last_archive(days_ago: Option<i32>) -> String {
    match days_ago {
        None => "no archive yet".to_owned(),
        // A clock that was set back says so at its own check.
        Some(..=0) => "last archive today".to_owned(),
        Some(days) => format!("last archive {} ago", counted(days as usize, "day", "days")),
    }
}

/// The same as a reminder, before the command that makes one.
pub fn archive_is_owed(days_ago: Option<i32>) -> String {
    let last = last_archive(days_ago);
    let (first, rest) = last.split_at(1);
    format!("{}{rest}: everything is on this one disk. Make one:", first.to_uppercase())
}

/// What an archive holds.
pub fn archive_contents(events: u64, records: usize) -> String {
    let events = counted(events as usize, "event of the bench", "events of the bench");
    format!("{events}, {}", counted(records, "own record", "own records"))
}

/// The same with the rows of its table.
pub fn archive_in_full(events: u64, records: usize, rows: u64) -> String {
    let rows = counted(rows as usize, "row of the table", "rows of the table");
    format!("{}, {rows}", archive_contents(events, records))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_archive_at_none_today_one_and_many_days() {
        let said = |days| last_archive(days);
        assert_eq!(said(None), "no archive yet");
        assert_eq!(said(Some(0)), "last archive today");
        assert_eq!(said(Some(-3)), "last archive today");
        assert_eq!(said(Some(1)), "last archive 1 day ago");
        assert_eq!(said(Some(31)), "last archive 31 days ago");
        assert_eq!(archive_is_owed(None), "No archive yet: everything is on this one disk. Make one:");
        assert!(archive_is_owed(Some(31)).starts_with("Last archive 31 days ago: "));
    }

    #[test]
    fn the_contents_at_none_one_and_many() {
        assert_eq!(archive_in_full(0, 0, 0), "0 events of the bench, 0 own records, 0 rows of the table");
        assert_eq!(archive_in_full(1, 1, 1), "1 event of the bench, 1 own record, 1 row of the table");
        assert_eq!(archive_in_full(2, 3, 4), "2 events of the bench, 3 own records, 4 rows of the table");
    }
}
