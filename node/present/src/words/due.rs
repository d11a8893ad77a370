//! What is due, in sentences.

use crate::kind::KindWords;
use crate::number::grouped;
use crate::words::sentences::{due, number_of};
use propagule_bench::Stage;
use propagule_bench::due::DueKind;
use propagule_bench::kind::Kind;

/// Codes that are named before the rest is only counted.
const NAMED: usize = 3;
/// Years that are named before the rest is only counted.
const YEARS: usize = 3;

/// What is to be done, in the words of the trial's kind.
pub fn task(kind: DueKind, of: Kind) -> String {
    let words = KindWords::of(of);
    match kind {
        DueKind::Stick => due::due_stick(&words),
        DueKind::Check => due::due_check(&words),
        DueKind::Lift => due::due_count(&words, Stage::Lift),
        DueKind::WrapCut => due::due_tape(&words),
        DueKind::Suckers => due::due_suckers(&words),
        DueKind::Spring => due::due_count(&words, Stage::Spring),
        DueKind::PublishLift => due::due_publish(&words),
        DueKind::PublishRevision => due::due_update(&words),
    }
}

/// `, and 2 more` behind the most pressing task of a trial; empty where there is no other.
pub fn and_more(others: usize) -> String {
    if others == 0 { String::new() } else { format!(", and {others} more") }
}

/// Trials that had no room in the list; empty where all had.
pub fn no_room(more: usize) -> String {
    if more == 0 { String::new() } else { format!("and {} more", grouped(more as u64)) }
}

/// How far a day is away: `, 3 days ago`, `, in 2 days`; empty today.
pub fn how_far(days: i32) -> String {
    if days == 0 { String::new() } else { format!(", {}", due::far(days)) }
}

/// Trials that are late, the nearest first; `None` where none is.
pub fn late<'a>(codes: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let codes: Vec<&str> = codes.into_iter().collect();
    named("More than 2 weeks late", &codes)
}

/// Trials whose results were never published and are not asked for any more; `None` where there is none.
pub fn unpublished<'a>(codes: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let codes: Vec<&str> = codes.into_iter().collect();
    named("Counted more than 90 days ago, not published", &codes)
}

fn named(what: &str, codes: &[&str]) -> Option<String> {
    let first = codes.iter().take(NAMED).copied().collect::<Vec<_>>().join(", ");
    let rest = no_room(codes.len().saturating_sub(NAMED));
    let rest = if rest.is_empty() { rest } else { format!(" {rest}") };
    (!codes.is_empty()).then(|| format!("{what}: {}: {first}{rest}", trials(codes.len())))
}

fn trials(trials: usize) -> String {
    number_of(trials, "trial", "trials")
}

/// Trials that nobody touched for long, by the year in which they were started, the newest first; `None` where there is
/// none.
pub fn asleep(by_year: &[(u16, usize)]) -> Option<String> {
    let all: usize = by_year.iter().map(|(_, trials)| trials).sum();
    let years =
        by_year.iter().take(YEARS).map(|(year, trials)| format!("{} of {year}", grouped(*trials as u64)));
    let mut years: Vec<String> = years.collect();
    let earlier: usize = by_year.iter().skip(YEARS).map(|(_, trials)| trials).sum();
    if earlier > 0 {
        years.push(format!("{} earlier", grouped(earlier as u64)));
    }
    match by_year {
        [] => None,
        [(year, _)] => Some(format!("Nothing entered for more than 8 weeks: {} of {year}", trials(all))),
        _ => Some(format!("Nothing entered for more than 8 weeks: {}: {}", trials(all), years.join(", "))),
    }
}

/// Nothing is due now or soon; what comes next where something does.
pub fn nothing_due(next: Option<(&str, &str, &str)>, is_some_waiting: bool) -> String {
    due::due_none(&KindWords::of(Kind::Mixed), next, is_some_waiting)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn none_one_and_several() {
        assert_eq!([and_more(0), and_more(1), and_more(2)], ["", ", and 1 more", ", and 2 more"]);
        assert_eq!([no_room(0), no_room(1), no_room(1190)], ["", "and 1 more", "and 1,190 more"]);
        let far = [-2, -1, 0, 1, 2].map(how_far);
        assert_eq!(far, [", 2 days ago", ", 1 day ago", "", ", in 1 day", ", in 2 days"]);
    }

    #[test]
    fn a_task_is_named_by_the_kind_of_its_trial() {
        assert_eq!(task(DueKind::Lift, Kind::Cutting), "lift count, all treatments on one day");
        assert_eq!(task(DueKind::Lift, Kind::Graft), "take count, all treatments on one day");
        assert_eq!(task(DueKind::Spring, Kind::Bud), "spring count");
        assert_eq!(task(DueKind::PublishLift, Kind::Cutting), "counted, not published");
        assert_eq!(task(DueKind::PublishLift, Kind::Seed), "counted, not published");
    }

    #[test]
    fn folds_name_the_nearest_and_count_the_rest() {
        assert_eq!(late([]), None);
        assert_eq!(late(["M1"]).as_deref(), Some("More than 2 weeks late: 1 trial: M1"));
        let all = ["M1", "M2", "M3", "M4", "M5"];
        assert_eq!(late(all).as_deref(), Some("More than 2 weeks late: 5 trials: M1, M2, M3 and 2 more"));
        assert_eq!(unpublished([]), None);
        assert_eq!(
            unpublished(["M1", "M2"]).as_deref(),
            Some("Counted more than 90 days ago, not published: 2 trials: M1, M2")
        );
    }

    #[test]
    fn sleepers_are_counted_by_year() {
        assert_eq!(asleep(&[]), None);
        let one = asleep(&[(2026, 1)]);
        assert_eq!(one.as_deref(), Some("Nothing entered for more than 8 weeks: 1 trial of 2026"));
        let years: Vec<(u16, usize)> = (2017..=2026).rev().map(|year| (year, 119)).collect();
        let said = asleep(&years).expect("some sleep");
        assert!(said.contains("1,190 trials: 119 of 2026, 119 of 2025,"), "{said}");
        assert!(said.ends_with("119 of 2024, 833 earlier"), "{said}");
    }

    #[test]
    fn nothing_names_what_comes_next() {
        assert_eq!(nothing_due(None, false), "Nothing is due.");
        assert_eq!(nothing_due(None, true), "Nothing new is due.");
        let next = nothing_due(Some(("M2", "check", "2026-12-01")), false);
        assert_eq!(next, "Nothing is due. Next: M2, check, 2026-12-01.");
    }
}
