//! What a reader should know of a trial beside its counts.

use super::counted;
use propagule_evidence::RowFlags;

/// What a reader should know of an arm beside its counts, each in a few words.
pub fn marks(flags: &RowFlags) -> Vec<String> {
    let said = [
        (flags.equivocated, "two records claim to be the same revision"),
        (flags.shrunk, "a later revision lowered the number put in; the larger one counts"),
        (flags.lot, "a lot: no comparison was meant"),
        (flags.single_replicate && !flags.lot, "one pot each"),
        (flags.stock_plants_uneven, "stock plants split unevenly over the arms"),
        (flags.opened_early, "opened before its first counts"),
        (flags.transcribed, "taken from print"),
        (flags.perhaps_chosen, "its source may have printed successes only, so it never ranks"),
        (flags.marks_joined, "entered by one publisher for several growers, counted as one"),
        (flags.silent, "overdue and silent"),
        (flags.ended_earlier, "none was alive at an earlier count"),
        (flags.unlisted_difference.is_some(), "arms differ in something that is not listed"),
    ];
    let mut marks: Vec<String> =
        said.into_iter().filter(|(is, _)| *is).map(|(_, words)| words.to_owned()).collect();
    let months = counted(usize::from(flags.start_offset.unsigned_abs()), "month", "months");
    match flags.start_offset {
        0 => {}
        1.. => marks.push(format!("an arm was put in {months} later")),
        _ => marks.push(format!("an arm was put in {months} earlier")),
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
        assert_eq!(marks(&one), ["one pot each", "an arm was put in 1 month earlier"]);
        let lot = RowFlags { lot: true, single_replicate: true, start_offset: 2, ..RowFlags::default() };
        assert_eq!(marks(&lot), ["a lot: no comparison was meant", "an arm was put in 2 months later"]);
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
