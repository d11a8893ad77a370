//! What a reader should know of a trial beside its counts.

use super::counted;
use propagule_evidence::RowFlags;

/// What a reader should know of an arm beside its counts, each in a few words.
pub fn marks(flags: &RowFlags) -> Vec<String> {
    let said = [
        (flags.equivocated, "two updates contradict each other; one counts"),
        (flags.shrunk, "a later update lowered the number started; the larger one counts"),
        (flags.lot, "batch, nothing compared"),
        (flags.single_replicate && !flags.lot, "one pot each"),
        (flags.stock_plants_uneven, "stock plants shared unevenly"),
        (flags.opened_early, "announced before its first count"),
        (flags.transcribed, "from a printed source"),
        (flags.perhaps_chosen, "printed source may show successes only, so it never ranks"),
        (flags.marks_joined, "entered by one publisher, counted as one"),
        (flags.silent, "announced, overdue"),
        (flags.ended_earlier, "none alive at an earlier count"),
        (flags.unlisted_difference.is_some(), "treatments differ in something not listed"),
    ];
    let mut marks: Vec<String> =
        said.into_iter().filter(|(is, _)| *is).map(|(_, words)| words.to_owned()).collect();
    let months = counted(usize::from(flags.start_offset.unsigned_abs()), "month", "months");
    match flags.start_offset {
        0 => {}
        1.. => marks.push(format!("one treatment started {months} later")),
        _ => marks.push(format!("one treatment started {months} earlier")),
    }
    marks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_mark_has_its_words_and_none_is_made_up() {
        assert!(marks(&RowFlags::default()).is_empty());
        let one = RowFlags { single_replicate: true, start_offset: -1, ..RowFlags::default() };
        assert_eq!(marks(&one), ["one pot each", "one treatment started 1 month earlier"]);
        let lot = RowFlags { lot: true, single_replicate: true, start_offset: 2, ..RowFlags::default() };
        assert_eq!(marks(&lot), ["batch, nothing compared", "one treatment started 2 months later"]);
        let all = RowFlags {
            equivocated: true,
            shrunk: true,
            lot: false,
            single_replicate: true,
            stock_plants_uneven: true,
            opened_early: true,
            transcribed: true,
            perhaps_chosen: true,
            marks_joined: true,
            silent: true,
            ended_earlier: true,
            unlisted_difference: Some(1),
            ..RowFlags::default()
        };
        assert_eq!(marks(&all).len(), 11);
    }
}
