//! What an entry says of each place, and of the whole trial.

use crate::kind::KindWords;
use crate::words::counted;
use crate::words::entry::Holds;
use propagule_app::outcome::entry::{HadRoots, PlaceChange, PlaceStands, RootsSeen, Total};
use propagule_bench::Standing;

/// Names in a sentence beyond which only their number is given.
const MOST_NAMES: usize = 6;

/// `P1 12 → 10: 1 died, 1 lost`, or `P3 12: as before`.
pub(super) fn place(change: &PlaceChange) -> String {
    let PlaceChange { place, before, alive, .. } = change;
    let happened = [
        (change.died, "died"),
        (change.lost, "lost"),
        (change.found_alive, "found alive"),
        (change.not_known, "not known"),
    ];
    let mut parts: Vec<String> =
        happened.iter().filter(|(n, _)| *n > 0).map(|(n, word)| format!("{n} {word}")).collect();
    let is_as_before = parts.is_empty() && before == alive;
    let numbers = if is_as_before { format!("{before}") } else { format!("{before} \u{2192} {alive}") };
    if is_as_before {
        parts.push("as before".to_owned());
    }
    parts.extend(more(change));
    if parts.is_empty() {
        return format!("{place} {numbers}");
    }
    format!("{place} {numbers}: {}", parts.join(", "))
}

/// What else was counted or seen in a place.
fn more(change: &PlaceChange) -> Vec<String> {
    let counts =
        [(change.callused, "callused"), (change.established, "established"), (change.finished, "finished")];
    let counts = counts.iter().filter_map(|(count, word)| count.map(|count| format!("{count} {word}")));
    let marks = change.marks.iter().map(|name| name.replace('_', " "));
    counts.chain(marks).chain(change.cause.clone()).collect()
}

/// `P1 3 of 11 with roots; P2 0 of 10; roots of P3 and P4 not looked for`, in the words of the kind.
pub(super) fn roots(RootsSeen { seen, not_looked }: &RootsSeen, words: &KindWords) -> String {
    let mut parts = Vec::new();
    for (index, roots) in seen.iter().enumerate() {
        let word = if index == 0 { format!(" {}", words.with) } else { String::new() };
        parts.push(format!("{} {} of {}{word}", roots.place, roots.rooted, roots.alive));
    }
    if !not_looked.is_empty() {
        parts.push(format!("{} of {} not looked for", words.looked_for, names(not_looked)));
    }
    parts.join("; ")
}

/// `P3 and P4`, `P1, P2 and P3`, `9 others`.
fn names(all: &[String]) -> String {
    match all {
        [] => String::new(),
        [one] => one.clone(),
        _ if all.len() > MOST_NAMES => counted(all.len(), "other", "others"),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// `P1 5 with roots where 6 were: 1 of the 2 that went since had roots; ever rooted 6 at the least, 7 at most`.
pub(super) fn had_roots(change: &PlaceChange, success: &str) -> Option<String> {
    let HadRoots { were, now, went, ever } = change.had_roots?;
    let short = were.saturating_sub(now);
    let (with, had) = if success == "rooted" { ("with roots", "roots") } else { (success, success) };
    let which = match went {
        1 => "the one that went since".to_owned(),
        all if all == short => format!("all {all} that went since"),
        more => format!("{short} of the {more} that went since"),
    };
    let most = ever + went.saturating_sub(short);
    let most = if most > ever { format!(" at the least, {most} at most") } else { String::new() };
    let place = &change.place;
    Some(format!("{place} {now} {with} where {were} were: {which} had {had}; ever {success} {ever}{most}"))
}

/// How a whole trial stands: living ones, and those that ever succeeded.
pub(super) fn total(total: &Total, success: &str) -> Vec<String> {
    let Total { started, alive, carried, ever_rooted_at_least, looked_for } = *total;
    let ever = ever(ever_rooted_at_least, started, looked_for, success);
    std::iter::once(self::alive(alive, started, carried)).chain(ever).collect()
}

/// `41 of 48 alive, 10 of them carried`.
pub(in crate::outcome) fn alive(alive: u32, of: u32, carried: u32) -> String {
    let carried = if carried > 0 { format!(", {carried} of them carried") } else { String::new() };
    format!("{alive} of {of} alive{carried}")
}

/// `at least 3 of 48 ever rooted (24 looked for)`; nothing where nobody looked for roots yet.
fn ever(at_least: u32, of: u32, looked_for: u32, word: &str) -> Option<String> {
    match looked_for {
        0 => None,
        _ if looked_for == of => Some(format!("{at_least} of {of} ever {word}")),
        _ => Some(format!("at least {at_least} of {of} ever {word} ({looked_for} looked for)")),
    }
}

/// How a place in which so many were started stands, in the same words.
pub fn standing(started: u16, standing: &Standing, words: &KindWords) -> String {
    let fates = standing.fates;
    let holds = Holds {
        started,
        alive: fates.alive(),
        rooted: standing.rooted(),
        not_known: fates.not_known.all(),
        dead: fates.dead.all(),
        lost: fates.lost.all(),
        left: fates.finished.all(),
        left_below: fates.below.all(),
    };
    holds.words(words)
}

/// `P1: of 4: 3 alive, 3 of them with roots, 1 dead`.
pub(super) fn stands(place: &PlaceStands, words: &KindWords) -> String {
    format!("{}: {}", place.place, holds(place, words))
}

/// `of 4: 3 alive, 3 of them with roots, 1 dead`.
pub(super) fn holds(place: &PlaceStands, words: &KindWords) -> String {
    let PlaceStands { started, alive, rooted, not_known, dead, lost, left, left_below, .. } = *place;
    Holds { started, alive, rooted, not_known, dead, lost, left, left_below }.words(words)
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_app::outcome::entry::PlaceRoots;
    use propagule_bench::kind::Kind;

    fn change(before: u16, alive: u16) -> PlaceChange {
        PlaceChange { place: "P1".to_owned(), before, alive, ..PlaceChange::default() }
    }

    #[test]
    fn a_change_says_what_happened_and_nothing_else() {
        assert_eq!(place(&change(12, 12)), "P1 12: as before");
        assert_eq!(place(&change(0, 0)), "P1 0: as before");
        assert_eq!(place(&PlaceChange { died: 1, ..change(12, 11) }), "P1 12 \u{2192} 11: 1 died");
        assert_eq!(
            place(&PlaceChange { died: 2, lost: 1, ..change(12, 9) }),
            "P1 12 \u{2192} 9: 2 died, 1 lost"
        );
        assert_eq!(
            place(&PlaceChange { died: 1, found_alive: 1, ..change(12, 12) }),
            "P1 12 \u{2192} 12: 1 died, 1 found alive"
        );
        let marks = vec!["roots_at_hole".to_owned()];
        assert_eq!(
            place(&PlaceChange { callused: Some(3), marks, cause: Some("rot".to_owned()), ..change(4, 4) }),
            "P1 4: as before, 3 callused, roots at hole, rot"
        );
    }

    #[test]
    fn sums_are_said_at_none_one_and_more() {
        assert_eq!(alive(44, 48, 0), "44 of 48 alive");
        assert_eq!(alive(41, 48, 10), "41 of 48 alive, 10 of them carried");
        assert_eq!(alive(0, 1, 0), "0 of 1 alive");
        assert_eq!(ever(0, 48, 0, "rooted"), None);
        assert_eq!(
            ever(3, 48, 24, "rooted").as_deref(),
            Some("at least 3 of 48 ever rooted (24 looked for)")
        );
        assert_eq!(ever(0, 48, 48, "taken").as_deref(), Some("0 of 48 ever taken"));
    }

    fn seen(all: &[(&str, u16, u16)], not_looked: &[&str]) -> RootsSeen {
        let seen = |(place, rooted, alive): &(&str, u16, u16)| PlaceRoots {
            place: (*place).to_owned(),
            rooted: *rooted,
            alive: *alive,
        };
        let not_looked = not_looked.iter().map(|place| (*place).to_owned()).collect();
        RootsSeen { seen: all.iter().map(seen).collect(), not_looked }
    }

    #[test]
    fn roots_are_said_pot_by_pot() {
        let (cutting, graft) = (KindWords::of(Kind::Cutting), KindWords::of(Kind::Graft));
        assert_eq!(
            roots(&seen(&[("P1", 3, 11), ("P2", 0, 10)], &["P3", "P4"]), &cutting),
            "P1 3 of 11 with roots; P2 0 of 10; roots of P3 and P4 not looked for"
        );
        assert_eq!(roots(&seen(&[("P1", 1, 1)], &[]), &graft), "P1 1 of 1 taken");
        assert_eq!(roots(&seen(&[], &["P"; 7]), &graft), "take of 7 others not looked for");
        assert_eq!(roots(&seen(&[], &["P1"]), &graft), "take of P1 not looked for");
    }

    #[test]
    fn of_pieces_that_went_it_is_said_how_many_had_roots() {
        let said = |were, now, went, success: &str| {
            let had_roots = Some(HadRoots { were, now, went, ever: 6 });
            super::had_roots(&PlaceChange { had_roots, ..change(6, 6) }, success).expect("it is new")
        };
        assert_eq!(
            said(6, 5, 2, "rooted"),
            "P1 5 with roots where 6 were: 1 of the 2 that went since had roots; ever rooted 6 at the least, 7 at most"
        );
        assert_eq!(
            said(6, 4, 2, "taken"),
            "P1 4 taken where 6 were: all 2 that went since had taken; ever taken 6"
        );
        assert_eq!(
            said(6, 5, 1, "germinated"),
            "P1 5 germinated where 6 were: the one that went since had germinated; ever germinated 6"
        );
        assert_eq!(had_roots(&change(6, 6), "rooted"), None);
    }
}
