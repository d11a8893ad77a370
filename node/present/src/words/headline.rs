//! The sentence that a trial's page begins with, and the word in its box.

use propagule_analysis::verdict::Verdict;
use propagule_bench::Stage;
use propagule_bench::dates::When;

use super::sentences::when;
use crate::kind::{KindWords, capital};

/// The word in the box: what may be said of a pair. What is no verdict has its reason beside it.
pub const fn boxed(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Better => "did better",
        Verdict::Likely => "likely",
        Verdict::CannotTell => "cannot tell",
        Verdict::SingleUnit
        | Verdict::Confounded
        | Verdict::NeverCompared
        | Verdict::NothingToSee
        | Verdict::DependsOnLost
        | Verdict::Pending => "no verdict",
    }
}

/// A cell of a trial that is still planned.
pub const NOT_IN_YET: &str = "not in yet";
/// The heading of the lines of the living.
pub const STILL_ALIVE: &str = "Still alive";
/// What the axis of days is called.
pub const DAY: &str = "day";
/// What steps mean, and do not mean.
pub const STEPS: &str = "Steps stand on the days you checked. What happened in between is not known.";
/// The table behind the lines of the living.
pub const ALIVE_BY_DAY: &str = "Alive, by days since the start";
/// The heading of the trays of pots.
pub const BY_POT: &str = "Pot by pot";
/// Headings of the table behind the trays of pots.
pub const POT_HEADS: [&str; 3] = ["Pot", "Of", "Holds"];
/// The order of the table behind the trays of pots.
pub const TAG_ORDER: &str = "In the order of their tags";
/// Folded: each count with its interval.
pub const COUNTS: &str = "Counts with their intervals";
/// Folded: every pair.
pub const COMPARISONS: &str = "Every comparison";
/// Folded: what only an adviser asks for.
pub const TESTS: &str = "In detail: tests and pots";
/// Folded: how many came how far.
pub const STAGES: &str = "Stages";
/// What the counts of stages are of.
pub const OF_STARTED: &str = "Counts, each of all that were started";
/// Headings of the table of stages.
pub const STAGE_HEADS: [&str; 2] = ["Stage", "Count"];
/// Folded: what each treatment got.
pub const METHOD: &str = "Method and bench";
/// What is drawn on the life line.
pub const LIFE: &str = "The life of this trial";
/// What the last day is called.
pub const TODAY: &str = "today";
/// Headings of the table behind the life line.
pub const LIFE_HEADS: [&str; 2] = ["What", "When"];

/// The fold of the pots.
pub fn pots_folded(pots: usize) -> String {
    format!("{BY_POT}: {pots} pots")
}

/// Where a treatment stands, with the care given there.
pub fn stands_on(spot: &str, care: &str) -> String {
    if care.is_empty() { format!("on {spot}") } else { format!("on {spot}; {care}") }
}

/// What differs and has no detail of its own.
pub fn differs(what: &str) -> String {
    format!("differs: {what}")
}

/// The lines of the living in words: `dip 22 of 24, none 17 of 24 alive`.
pub fn curve<'a>(lines: impl IntoIterator<Item = (&'a str, u32, u32)>) -> String {
    let lines: Vec<String> =
        lines.into_iter().map(|(name, alive, of)| format!("{name} {alive} of {of}")).collect();
    format!("Alive on the last day: {}", lines.join(", "))
}

/// The life line in words.
pub fn life<'a>(stops: impl IntoIterator<Item = (&'a str, &'a str)>, looks: usize, today: &str) -> String {
    let stops: Vec<String> = stops.into_iter().map(|(what, on)| format!("{what} {on}")).collect();
    let looks = super::sentences::number_of(looks, "check", "checks");
    format!("{}; {looks} in between; today {today}", stops.join(", "))
}

/// A move on the life line.
pub fn moved(spot: &str) -> String {
    format!("to {spot}")
}

/// Not in yet.
pub fn planned(words: &KindWords, count: u32, on: &When) -> String {
    format!("{} planned for {}.", capital(&words.many(count)), when(words, on))
}

/// Not counted yet: how many live, and what comes.
pub fn awaited(words: &KindWords, alive: u32, started: u32, on: Option<&When>) -> String {
    let count = words.name(Stage::Lift);
    match on {
        Some(on) => format!("{alive} of {started} alive. The {count} is planned for {}.", when(words, on)),
        None => format!("{alive} of {started} alive. Next comes the {count}."),
    }
}

/// A count of all treatments together: `None rooted yet: 0 of 36, 27 still green.`
pub fn together(words: &KindWords, stage: Stage, count: u32, of: u32, waiting: u32) -> String {
    let ok = words.outcome(stage);
    match (count, waiting) {
        (0, 0) => format!("None {ok}: 0 of {of}."),
        (0, _) => format!("None {ok} yet: 0 of {of}, {waiting} {}.", words.green_short()),
        _ => format!("{count} of {of} {ok}."),
    }
}

/// Some pots are still to be counted.
pub fn in_part(words: &KindWords, stage: Stage, alive: u32, started: u32) -> String {
    format!("The {} is not complete: {alive} of {started} alive.", words.name(stage))
}

/// Two sides: `dip rooted more: 19 of 24 against 6 of 24.`
pub fn more(
    words: &KindWords,
    stage: Stage,
    label: &str,
    [first, of_first]: [u32; 2],
    [second, of_second]: [u32; 2],
) -> String {
    let ok = words.outcome(stage);
    format!("{} {ok} more: {first} of {of_first} against {second} of {of_second}.", capital(label))
}

/// Two sides of which none is said to be better.
pub fn beside(
    words: &KindWords,
    stage: Stage,
    labels: [&str; 2],
    [first, of_first, second, of_second]: [u32; 4],
) -> String {
    let ok = words.outcome(stage);
    format!("{first} of {of_first} {ok} with {}, {second} of {of_second} with {}.", labels[0], labels[1])
}

/// The count of a treatment beside its tray.
pub fn count(words: &KindWords, stage: Stage, count: u32, of: u32) -> String {
    format!("{count} of {of} {}", words.outcome(stage))
}

/// How many live, beside the tray of a treatment that is not counted yet.
pub fn alive(count: u32, of: u32) -> String {
    format!("{count} of {of} alive")
}

#[cfg(test)]
mod tests {
    use propagule_bench::kind::Kind;
    use propagule_protocol::Date;

    use super::*;

    #[test]
    fn none_one_and_several() {
        let words = KindWords::of(Kind::Cutting);
        let said = |count, waiting| together(&words, Stage::Lift, count, 36, waiting);
        assert_eq!(said(0, 27), "None rooted yet: 0 of 36, 27 still green.");
        assert_eq!([said(0, 0), said(1, 20)], ["None rooted: 0 of 36.", "1 of 36 rooted."]);
        let day = When::day(Date::new(2026, 8, 29).expect("a day"));
        assert_eq!(awaited(&words, 24, 24, None), "24 of 24 alive. Next comes the lift count.");
        assert!(
            awaited(&words, 1, 1, Some(&day)).starts_with("1 of 1 alive. The lift count is planned for ")
        );
        assert!(planned(&words, 1, &day).starts_with("1 cutting planned for "));
    }

    #[test]
    fn two_sides_are_named_and_only_a_clear_one_did_more() {
        let words = KindWords::of(Kind::Graft);
        let better = more(&words, Stage::Lift, "whip", [19, 24], [6, 24]);
        assert_eq!(better, "Whip took more: 19 of 24 against 6 of 24.");
        let open = beside(&words, Stage::Lift, ["whip", "cleft"], [9, 12, 0, 12]);
        assert_eq!(open, "9 of 12 took with whip, 0 of 12 with cleft.");
        assert_eq!(boxed(Verdict::Better), "did better");
        assert_eq!([boxed(Verdict::Confounded), boxed(Verdict::Pending)], ["no verdict"; 2]);
    }
}
