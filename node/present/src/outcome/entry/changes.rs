//! What an entry says of each pot, and of the whole trial.

use crate::kind::KindWords;
use crate::words::sentences::entries::{self, PotCount};
use crate::words::sentences::{and, number_of};
use propagule_app::outcome::entry::{HadRoots, PlaceChange, PlaceStands, RootsSeen, Total};
use propagule_bench::Standing;

/// Names in a sentence beyond which only their number is given.
const MOST_NAMES: usize = 6;

/// `P1 12 → 10: 1 died, 1 lost`, or `P3 12: as before`.
pub(super) fn place(change: &PlaceChange, words: &KindWords) -> String {
    let PlaceChange { place, before, alive, .. } = change;
    let happened = [
        (change.died, "died"),
        (change.lost, "lost"),
        (change.found_alive, "found alive"),
        (change.not_known, "not seen"),
    ];
    let mut parts: Vec<String> =
        happened.iter().filter(|(n, _)| *n > 0).map(|(n, word)| format!("{n} {word}")).collect();
    let is_as_before = parts.is_empty() && before == alive;
    let numbers = if is_as_before { format!("{before}") } else { format!("{before} \u{2192} {alive}") };
    if is_as_before {
        parts.push("as before".to_owned());
    }
    parts.extend(more(change, words));
    if parts.is_empty() {
        return format!("{place} {numbers}");
    }
    format!("{place} {numbers}: {}", parts.join(", "))
}

/// What else was counted or seen in a pot.
fn more(change: &PlaceChange, words: &KindWords) -> Vec<String> {
    let counts = [
        (change.callused, "callused"),
        (change.established, words.established),
        (change.finished, "finished"),
    ];
    let counts = counts.iter().filter_map(|(count, word)| count.map(|count| format!("{count} {word}")));
    let marks = change.marks.iter().map(|name| words.mark(name));
    counts.chain(marks).chain(change.cause.clone()).collect()
}

/// `P1 3 of 11 rooted; P2 0 of 10; P3 and P4: rooting not checked yet`, in the words of the kind.
pub(super) fn roots(RootsSeen { seen, not_looked }: &RootsSeen, words: &KindWords) -> String {
    let mut parts = Vec::new();
    // Where nothing is alive there is nothing to look for.
    for (index, roots) in seen.iter().filter(|roots| roots.alive > 0).enumerate() {
        let word = if index == 0 { format!(" {}", words.ok) } else { String::new() };
        parts.push(format!("{} {} of {}{word}", roots.place, roots.rooted, roots.alive));
    }
    if !not_looked.is_empty() {
        parts.push(format!("{}: {}", names(not_looked), words.not_looked_for()));
    }
    parts.join("; ")
}

/// `P3 and P4`, `P1, P2 and P3`, `9 others`.
fn names(all: &[String]) -> String {
    if all.len() > MOST_NAMES { number_of(all.len(), "other", "others") } else { and(all) }
}

/// `P1 5 rooted, 6 before: 1 of the 2 gone since had rooted; in all 6 rooted at the least, 7 at most`.
pub(super) fn had_roots(change: &PlaceChange, words: &KindWords) -> Option<String> {
    let HadRoots { were, now, went, ever } = change.had_roots?;
    let short = were.saturating_sub(now);
    let which = match went {
        1 => "the one gone since".to_owned(),
        all if all == short => format!("all {all} gone since"),
        more => format!("{short} of the {more} gone since"),
    };
    let most = ever + went.saturating_sub(short);
    let most = if most > ever { format!(" at the least, {most} at most") } else { String::new() };
    let (place, ok, oked) = (&change.place, words.ok, words.oked);
    Some(format!("{place} {now} {ok}, {were} before: {which} had {oked}; in all {ever} {ok}{most}"))
}

/// How a whole trial stands: living ones, and those that ever succeeded.
pub(super) fn total(total: &Total, words: &KindWords) -> Vec<String> {
    let Total { started, alive, carried, ever_rooted_at_least, looked_for } = *total;
    let ever = ever(ever_rooted_at_least, started, looked_for, words);
    std::iter::once(self::alive(alive, started, carried)).chain(ever).collect()
}

/// `41 of 48 alive, 10 of them not counted this time`.
pub(in crate::outcome) fn alive(alive: u32, of: u32, carried: u32) -> String {
    let carried =
        if carried > 0 { format!(", {carried} of them not counted this time") } else { String::new() };
    format!("{alive} of {of} alive{carried}")
}

/// `at least 3 of 48 rooted so far (24 checked for it)`; nothing where nobody checked yet.
fn ever(at_least: u32, of: u32, looked_for: u32, words: &KindWords) -> Option<String> {
    let ok = words.ok;
    match looked_for {
        0 => None,
        _ if looked_for < of && at_least == 0 => None,
        _ if looked_for == of => Some(format!("{at_least} of {of} {ok} so far")),
        _ => Some(format!("at least {at_least} of {of} {ok} so far ({looked_for} checked for it)")),
    }
}

/// How a pot in which so many were started stands, in the same words.
pub fn standing(started: u16, standing: &Standing, words: &KindWords) -> String {
    let fates = standing.fates;
    let count = PotCount {
        started: started.into(),
        alive: fates.alive().into(),
        rooted: standing.rooted().map(Into::into),
        not_seen: fates.not_known.all().into(),
        dead: fates.dead.all().into(),
        lost: fates.lost.all().into(),
        finished: fates.finished.all().into(),
        unfinished: fates.below.all().into(),
    };
    entries::pot_count(words, "", &count)
}

/// `P1: 3 of 4 alive, 3 rooted, 1 dead`.
pub(super) fn stands(place: &PlaceStands, words: &KindWords) -> String {
    entries::pot_count(words, &place.place, &count_of(place))
}

/// `3 of 4 alive, 3 rooted, 1 dead`.
pub(super) fn holds(place: &PlaceStands, words: &KindWords) -> String {
    entries::pot_count(words, "", &count_of(place))
}

fn count_of(place: &PlaceStands) -> PotCount {
    PotCount {
        started: place.started.into(),
        alive: place.alive.into(),
        rooted: place.rooted.map(Into::into),
        not_seen: place.not_known.into(),
        dead: place.dead.into(),
        lost: place.lost.into(),
        finished: place.left.into(),
        unfinished: place.left_below.into(),
    }
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
        assert_eq!(said(&change(12, 12)), "P1 12: as before");
        assert_eq!(said(&change(0, 0)), "P1 0: as before");
        assert_eq!(said(&PlaceChange { died: 1, ..change(12, 11) }), "P1 12 \u{2192} 11: 1 died");
        assert_eq!(
            said(&PlaceChange { died: 2, lost: 1, ..change(12, 9) }),
            "P1 12 \u{2192} 9: 2 died, 1 lost"
        );
        assert_eq!(
            said(&PlaceChange { died: 1, found_alive: 1, ..change(12, 12) }),
            "P1 12 \u{2192} 12: 1 died, 1 found alive"
        );
        let marks = vec!["roots_at_hole".to_owned()];
        assert_eq!(
            said(&PlaceChange { callused: Some(3), marks, cause: Some("rot".to_owned()), ..change(4, 4) }),
            "P1 4: as before, 3 callused, roots showing, rot"
        );
    }

    #[test]
    fn sums_are_said_at_none_one_and_more() {
        let (cutting, graft) = (KindWords::of(Kind::Cutting), KindWords::of(Kind::Graft));
        assert_eq!(alive(44, 48, 0), "44 of 48 alive");
        assert_eq!(alive(41, 48, 10), "41 of 48 alive, 10 of them not counted this time");
        assert_eq!(alive(0, 1, 0), "0 of 1 alive");
        assert_eq!(ever(0, 48, 0, &cutting), None);
        assert_eq!(
            ever(3, 48, 24, &cutting).as_deref(),
            Some("at least 3 of 48 rooted so far (24 checked for it)")
        );
        // Nothing is said of a nought where most was not looked at.
        assert_eq!(ever(0, 48, 24, &cutting), None);
        assert_eq!(ever(0, 48, 48, &graft).as_deref(), Some("0 of 48 took so far"));
    }

    fn said(change: &PlaceChange) -> String {
        place(change, &KindWords::of(Kind::Cutting))
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
            "P1 3 of 11 rooted; P2 0 of 10; P3 and P4: rooting not checked yet"
        );
        assert_eq!(roots(&seen(&[("P1", 1, 1)], &[]), &graft), "P1 1 of 1 took");
        assert_eq!(roots(&seen(&[], &["P"; 7]), &graft), "7 others: take not checked yet");
        assert_eq!(roots(&seen(&[], &["P1"]), &graft), "P1: take not checked yet");
    }

    #[test]
    fn of_those_gone_it_is_said_how_many_had_rooted() {
        let said = |were, now, went, kind| {
            let had_roots = Some(HadRoots { were, now, went, ever: 6 });
            let words = KindWords::of(kind);
            super::had_roots(&PlaceChange { had_roots, ..change(6, 6) }, &words).expect("it is new")
        };
        assert_eq!(
            said(6, 5, 2, Kind::Cutting),
            "P1 5 rooted, 6 before: 1 of the 2 gone since had rooted; in all 6 rooted at the least, 7 at most"
        );
        assert_eq!(
            said(6, 4, 2, Kind::Graft),
            "P1 4 took, 6 before: all 2 gone since had taken; in all 6 took"
        );
        assert_eq!(
            said(6, 5, 1, Kind::Seed),
            "P1 5 germinated, 6 before: the one gone since had germinated; in all 6 germinated"
        );
        assert_eq!(had_roots(&change(6, 6), &KindWords::of(Kind::Cutting)), None);
    }
}
