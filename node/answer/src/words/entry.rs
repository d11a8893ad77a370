//! Sentences about an entry: what it says of each pot, what it is asked about, what it cannot be.

use super::counted;
use super::kind::KindWords;

/// Names in a sentence beyond which only their number is given.
const MOST_NAMES: usize = 6;

/// What an entry says of a place.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Change {
    /// The place.
    pub place: String,
    /// Alive at the last look.
    pub before: u16,
    /// Alive now.
    pub after: u16,
    /// Died since.
    pub died: u16,
    /// Lost since.
    pub lost: u16,
    /// Counted dead before, and alive.
    pub found: u16,
    /// Neither known alive nor known dead.
    pub not_known: u16,
    /// What else was counted, in words.
    pub more: Vec<String>,
}

impl Change {
    /// `P1 12 → 10: 1 died, 1 lost`, or `P3 12: as before`.
    pub fn words(&self) -> String {
        let Self { place, before, after, .. } = self;
        let happened = [
            (self.died, "died"),
            (self.lost, "lost"),
            (self.found, "found alive"),
            (self.not_known, "not known"),
        ];
        let mut parts: Vec<String> =
            happened.iter().filter(|(n, _)| *n > 0).map(|(n, word)| format!("{n} {word}")).collect();
        let is_as_before = parts.is_empty() && before == after;
        let numbers = if is_as_before { format!("{before}") } else { format!("{before} \u{2192} {after}") };
        if is_as_before {
            parts.push("as before".to_owned());
        }
        parts.extend(self.more.iter().cloned());
        if parts.is_empty() {
            return format!("{place} {numbers}");
        }
        format!("{place} {numbers}: {}", parts.join(", "))
    }
}

/// `P1 3 of 11 with roots; P2 0 of 10; roots of P3 and P4 not looked for`, in the words of the kind.
pub fn roots(seen: &[(&str, u16, u16)], not_looked: &[&str], words: &KindWords) -> String {
    let mut parts = Vec::new();
    for (index, (place, rooted, alive)) in seen.iter().enumerate() {
        let word = if index == 0 { format!(" {}", words.with) } else { String::new() };
        parts.push(format!("{place} {rooted} of {alive}{word}"));
    }
    if !not_looked.is_empty() {
        parts.push(format!("{} of {} not looked for", words.looked_for, names(not_looked)));
    }
    parts.join("; ")
}

/// What a look for roots told of pieces that went before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Missing {
    /// Living ones with roots at the look before.
    pub were: u16,
    /// Now.
    pub now: u16,
    /// Went between the two looks.
    pub went: u16,
    /// Ever with roots, the fewest that the counts allow.
    pub ever: u16,
}

/// `P1 5 with roots where 6 were: 1 of the 2 that went since had roots; ever rooted 6 at the least, 7 at most`.
pub fn had_roots(place: &str, missing: Missing, success: &str) -> String {
    let Missing { were, now, went, ever } = missing;
    let short = were.saturating_sub(now);
    let (with, had) = if success == "rooted" { ("with roots", "roots") } else { (success, success) };
    let which = match went {
        1 => "the one that went since".to_owned(),
        all if all == short => format!("all {all} that went since"),
        more => format!("{short} of the {more} that went since"),
    };
    let most = ever + went.saturating_sub(short);
    let most = if most > ever { format!(" at the least, {most} at most") } else { String::new() };
    format!("{place} {now} {with} where {were} were: {which} had {had}; ever {success} {ever}{most}")
}

/// `P3 and P4`, `P1, P2 and P3`, `9 others`.
fn names(all: &[&str]) -> String {
    match all {
        [] => String::new(),
        [one] => (*one).to_owned(),
        _ if all.len() > MOST_NAMES => counted(all.len(), "other", "others"),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// `41 of 48 alive, 10 of them carried`.
pub fn alive(alive: u32, of: u32, carried: u32) -> String {
    let carried = if carried > 0 { format!(", {carried} of them carried") } else { String::new() };
    format!("{alive} of {of} alive{carried}")
}

/// `at least 3 of 48 ever rooted (24 looked for)`; nothing where nobody looked for roots yet.
pub fn ever(at_least: u32, of: u32, looked_for: u32, word: &str) -> Option<String> {
    match looked_for {
        0 => None,
        _ if looked_for == of => Some(format!("{at_least} of {of} ever {word}")),
        _ => Some(format!("at least {at_least} of {of} ever {word} ({looked_for} looked for)")),
    }
}

/// Half or more of a pot went at once: is it so?
pub fn gone_at_once(place: &str, before: u16, after: u16, died: u16, lost: u16) -> String {
    let gone = match (died, lost) {
        (died, 0) => format!("{died} died"),
        (0, lost) => format!("{lost} lost"),
        (died, lost) => format!("{died} died and {lost} lost"),
    };
    format!("{place} {before} \u{2192} {after}: {gone} at once?")
}

/// More than were put in.
pub fn more_than_put_in(place: &str, (alive, dead): (u16, u16), typed: u16, started: u16) -> String {
    format!("{place} had {alive} alive and {dead} dead: {typed} are more than the {started} put in")
}

/// More alive than were left, and enough were counted dead.
pub fn perhaps_alive(place: &str, before: u16, typed: u16) -> String {
    let found = typed.saturating_sub(before);
    let were = if found == 1 {
        "1 that was counted dead is alive".to_owned()
    } else {
        format!("{found} that were counted dead are alive")
    };
    format!("{place} {before} \u{2192} {typed}: {were}?")
}

/// More alive than were left, and too few were counted dead.
pub fn more_than_left(place: &str, before: u16, typed: u16, dead: u16) -> String {
    format!("{place} {before} \u{2192} {typed}: only {before} were left, and {dead} counted dead")
}

/// Numbers that do not add up to what was left, and what was perhaps meant.
pub fn no_sum(place: &str, base: u16, parts: &[(u16, &str)], meant: Option<&str>) -> String {
    let sum: u32 = parts.iter().map(|(n, _)| u32::from(*n)).sum();
    let parts: Vec<String> = parts.iter().map(|(n, word)| format!("{n} {word}")).collect();
    let meant = meant.map(|meant| format!(". Did you mean {meant}?")).unwrap_or_default();
    format!("{place} had {base} left: {} is {sum}{meant}", parts.join(" + "))
}

/// The wrong number of cells.
pub fn wrong_number(code: &str, (one, many): (&str, &str), places: &[&str], came: usize) -> String {
    let came = counted(came, "number", "numbers");
    format!("{code} has {} ({}), {came} came", counted(places.len(), one, many), places.join(" "))
}

/// The same entry is there.
pub fn already_in(number: u64, on: &str) -> String {
    format!("Already in (entry {number}, {on}, the same numbers); nothing saved")
}

/// Another entry of that day is there.
pub fn in_already(number: u64, on: &str, differences: &[String]) -> String {
    format!("{on} is in already (entry {number}). {}", differences.join("; "))
}

/// `P2: 11 then, 10 now`.
pub fn then_and_now(place: &str, then: &str, now: &str) -> String {
    format!("{place}: {then} then, {now} now")
}

/// `P1 3 → 2 with roots`.
pub fn corrected(place: &str, then: Option<u16>, now: Option<u16>, word: &str) -> String {
    let told = |count: Option<u16>| count.map_or("not said".to_owned(), |n| n.to_string());
    format!("{place} {} \u{2192} {} {word}", told(then), told(now))
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_bench::kind::Kind;

    fn change(before: u16, after: u16) -> Change {
        Change { place: "P1".to_owned(), before, after, ..Change::default() }
    }

    #[test]
    fn a_change_says_what_happened_and_nothing_else() {
        assert_eq!(change(12, 12).words(), "P1 12: as before");
        assert_eq!(change(0, 0).words(), "P1 0: as before");
        assert_eq!(Change { died: 1, ..change(12, 11) }.words(), "P1 12 \u{2192} 11: 1 died");
        assert_eq!(Change { died: 2, lost: 1, ..change(12, 9) }.words(), "P1 12 \u{2192} 9: 2 died, 1 lost");
        assert_eq!(
            Change { died: 1, found: 1, ..change(12, 12) }.words(),
            "P1 12 \u{2192} 12: 1 died, 1 found alive"
        );
        let more = vec!["3 callused".to_owned()];
        assert_eq!(Change { more, ..change(4, 4) }.words(), "P1 4: as before, 3 callused");
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

    #[test]
    fn a_correction_says_both_numbers() {
        assert_eq!(corrected("P1", Some(3), Some(2), "with roots"), "P1 3 \u{2192} 2 with roots");
        assert_eq!(corrected("P1", None, Some(0), "dead"), "P1 not said \u{2192} 0 dead");
        assert_eq!(then_and_now("P2", "11", "10"), "P2: 11 then, 10 now");
        assert_eq!(
            already_in(2, "2026-06-22"),
            "Already in (entry 2, 2026-06-22, the same numbers); nothing saved"
        );
    }

    #[test]
    fn roots_are_said_pot_by_pot() {
        let all = roots(&[("P1", 3, 11), ("P2", 0, 10)], &["P3", "P4"], &KindWords::of(Kind::Cutting));
        assert_eq!(all, "P1 3 of 11 with roots; P2 0 of 10; roots of P3 and P4 not looked for");
        assert_eq!(roots(&[("P1", 1, 1)], &[], &KindWords::of(Kind::Graft)), "P1 1 of 1 taken");
        let taken = KindWords::of(Kind::Graft);
        let many: Vec<&str> = vec!["P"; 7];
        assert_eq!(roots(&[], &many, &taken), "take of 7 others not looked for");
        assert_eq!(roots(&[], &["P1"], &taken), "take of P1 not looked for");
    }

    #[test]
    fn of_pieces_that_went_it_is_said_how_many_had_roots() {
        let missing = |were, now, went| Missing { were, now, went, ever: 6 };
        assert_eq!(
            had_roots("P1", missing(6, 5, 2), "rooted"),
            "P1 5 with roots where 6 were: 1 of the 2 that went since had roots; ever rooted 6 at the least, 7 at most"
        );
        assert_eq!(
            had_roots("P1", missing(6, 4, 2), "taken"),
            "P1 4 taken where 6 were: all 2 that went since had taken; ever taken 6"
        );
        assert_eq!(
            had_roots("P1", missing(6, 5, 1), "germinated"),
            "P1 5 germinated where 6 were: the one that went since had germinated; ever germinated 6"
        );
    }

    #[test]
    fn what_cannot_be_is_said_with_its_numbers() {
        assert_eq!(perhaps_alive("P2", 10, 11), "P2 10 \u{2192} 11: 1 that was counted dead is alive?");
        assert_eq!(perhaps_alive("P2", 10, 12), "P2 10 \u{2192} 12: 2 that were counted dead are alive?");
        assert_eq!(gone_at_once("P3", 12, 2, 10, 0), "P3 12 \u{2192} 2: 10 died at once?");
        assert_eq!(gone_at_once("P3", 4, 0, 0, 4), "P3 4 \u{2192} 0: 4 lost at once?");
        assert_eq!(gone_at_once("P3", 4, 1, 2, 1), "P3 4 \u{2192} 1: 2 died and 1 lost at once?");
        let sum = no_sum("P4", 10, &[(10, "alive"), (2, "lost")], Some("8l2"));
        assert_eq!(sum, "P4 had 10 left: 10 alive + 2 lost is 12. Did you mean 8l2?");
        let one = wrong_number("M8", ("pot", "pots"), &["P1"], 0);
        assert_eq!(one, "M8 has 1 pot (P1), 0 numbers came");
        assert_eq!(
            wrong_number("M8", ("pot", "pots"), &["P1", "P2"], 1),
            "M8 has 2 pots (P1 P2), 1 number came"
        );
    }
}
