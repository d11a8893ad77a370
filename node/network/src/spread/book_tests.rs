//! Tests of the address book.

use super::*;
use crate::limits::FAILURES_OF_STRANGERS;
use crate::spread::SeededDice;

const NOW: Moment = Moment(10_000_000);

fn told(by: &str) -> Origin<'_> {
    Origin::Told(by)
}

fn fill(book: &mut Book<usize>, from: usize, count: usize, by: &str) -> usize {
    (from..from + count).filter(|n| book.add(*n, &format!("/a/{n}"), told(by)) == Some(true)).count()
}

#[test]
fn no_source_fills_more_than_a_quarter_and_the_book_has_an_end() {
    let mut book = Book::default();
    assert_eq!(fill(&mut book, 0, 1_000, "one"), BOOK_ADDRESSES_PER_SOURCE);
    let others: usize = (1..9).map(|i| fill(&mut book, i * 1_000, 1_000, &format!("source {i}"))).sum();
    assert_eq!(others, BOOK_ADDRESSES - BOOK_ADDRESSES_PER_SOURCE);
    assert_eq!(book.add(9, "/by/hand", Origin::Grower), Some(true), "the grower comes before strangers");
    assert_eq!(book.len(), BOOK_ADDRESSES);
    let mut own: Book<usize> = Book::default();
    assert!((0..BOOK_ADDRESSES).all(|n| own.add(n, &format!("/a/{n}"), Origin::Grower) == Some(true)));
    assert_eq!(own.add(9_999, "/one/more", Origin::Grower), None);
    let mut empty: Book<usize> = Book::default();
    assert_eq!(empty.add(0, &"x".repeat(ADDRESS_BYTES + 1), told("one")), None);
    assert_eq!(empty.add(0, &"x".repeat(ADDRESS_BYTES), told("one")), Some(true));
}

#[test]
fn strangers_are_dialled_as_far_as_connections_are_sought_and_the_last_peers_first() {
    let (mut book, mut dice, timing) = (Book::default(), SeededDice(1), Timing::home());
    fill(&mut book, 0, 50, "one");
    book.met(31, Some("/a/31"), "2026-11-01T00:00:00Z");
    book.met(32, Some("/a/32"), "2026-11-02T00:00:00Z");
    book.met(33, Some("/a/33"), "2026-10-01T00:00:00Z");
    let due = book.due(NOW, &timing, [], &mut dice);
    assert_eq!(due.len(), SOUGHT_CONNECTIONS);
    let first: std::collections::BTreeSet<usize> = due[..2].iter().map(|(peer, _)| *peer).collect();
    assert_eq!(first, [31, 32].into());
    assert_eq!(
        book.clone().due(NOW, &timing, (40..50).map(|peer| (peer, false)), &mut dice).len(),
        SOUGHT_CONNECTIONS
    );
    assert_eq!(book.due(NOW, &timing, (40..50).map(|peer| (peer, true)), &mut dice), []);
}

#[test]
fn failures_wait_longer_each_time_and_a_stranger_is_forgotten() {
    let (mut book, mut dice, timing) = (Book::default(), SeededDice(1), Timing::home());
    book.add(1, "/by/hand", Origin::Grower);
    book.add(2, "/told", told("one"));
    let mut now = NOW;
    for failures in 0..FAILURES_OF_STRANGERS {
        assert_eq!(book.due(now, &timing, [], &mut dice).len(), 2, "after {failures}");
        book.failed(1);
        book.failed(2);
        let wait = (timing.redial * 2_u32.pow(failures)).min(timing.back_off);
        assert_eq!(book.due(Moment(now.plus(wait).0 - 1), &timing, [], &mut dice), []);
        now = now.plus(wait);
    }
    assert_eq!(book.due(now, &timing, [], &mut dice).len(), 1, "what the grower added stays");
}

#[test]
fn only_addresses_that_were_reached_are_told_and_not_too_many() {
    let (mut book, mut dice) = (Book::default(), SeededDice(1));
    fill(&mut book, 0, 100, "one");
    assert_eq!(book.tell(|_, _| true, &mut dice), Vec::<String>::new());
    (0..60).for_each(|peer| book.met(peer, Some(&format!("/a/{peer}")), "2026-11-01T00:00:00Z"));
    book.met(70, Some("/a/71"), "2026-11-01T00:00:00Z");
    book.met(72, None, "2026-11-01T00:00:00Z");
    (0..30).for_each(|peer| book.failed(peer));
    let told = book.tell(|_, address| address != "/a/40", &mut dice);
    assert_eq!(told.len(), TOLD_ADDRESSES);
    for wrong in ["/a/40", "/a/3", "/a/70", "/a/71", "/a/72"] {
        assert!(!told.contains(&wrong.to_owned()), "{wrong}");
    }
}

/// A book in which a thousand addresses stand for one group.
fn in_groups() -> Book<usize> {
    Book::grouped(|address| address.rsplit('/').next()?.parse::<u64>().ok().map(|number| number / 1_000))
}

#[test]
fn who_has_many_addresses_in_few_places_is_dialled_no_more_often_for_it() {
    let (mut dice, timing) = (SeededDice(1), Timing::home());
    let mut book = in_groups();
    assert_eq!(fill(&mut book, 0, 50, "one"), BOOK_ADDRESSES_PER_GROUP);
    for group in 1..6 {
        fill(&mut book, group * 1_000, 1, "one");
    }
    let due = book.clone().due(NOW, &timing, [], &mut dice);
    let of_crowd = due.iter().filter(|(peer, _)| *peer < 1_000).count();
    assert_eq!((of_crowd, due.len()), (SOUGHT_PER_GROUP, SOUGHT_PER_GROUP + 5));
    let connected = (0..SOUGHT_PER_GROUP).map(|peer| (peer, true));
    let due = book.due(NOW, &timing, connected, &mut dice);
    assert!(due.iter().all(|(peer, _)| *peer >= 1_000), "{due:?}");
    assert_eq!(book.add(60, "/a/60", Origin::Grower), Some(true), "the grower's own are no strangers");
}
