//! What comes in by which way, and what does not.

use super::*;
use crate::fixtures::{key, network, record};
use crate::limits::{AUTHOR_PER_HOUR, NEW_PER_DAY, REMEMBERED_LEFT, ROOM_GAP};
use crate::store::Memory;
use crate::sync::LocalSet;
use crate::timing::Timing;

fn gate() -> Gate {
    at("2026-10-15T12:00:00Z")
}

fn at(time: &str) -> Gate {
    let clock = Clock::Fixed(time.parse().expect("a timestamp"));
    Gate::new(network(), clock, Admittance::in_memory(Timing::home().known_after))
}

fn batch(author: u8, count: u32) -> Vec<Vec<u8>> {
    (0..count).map(|series| record(author, series, 0, 3).bytes).collect()
}

#[test]
fn an_author_over_the_hourly_quota_is_delayed_by_gossip_and_comes_by_every_other_way() {
    for way in [Way::Exchange, Way::Bundle, Way::Stem] {
        let (gate, store) = (gate(), Memory::new(1 << 20));
        let records = batch(1, AUTHOR_PER_HOUR + 10);
        let verdicts = gate.take(&store, &records, Way::Gossip).expect("takes");
        let delayed = verdicts.iter().filter(|verdict| **verdict == Verdict::Delayed).count();
        assert_eq!((delayed, store.count()), (10, AUTHOR_PER_HOUR.into()));
        assert_eq!((gate.counts().delayed, gate.left_today().len()), (10, 0));
        let other = gate.take(&store, &batch(2, 1), Way::Gossip).expect("takes");
        assert!(matches!(other[..], [Verdict::New(_)]), "each author has a quota of its own");
        gate.take(&store, &records, way).expect("takes");
        assert_eq!(store.count(), u64::from(AUTHOR_PER_HOUR) + 11, "{way:?}");
    }
}

#[test]
fn what_a_stranger_brings_in_a_day_is_limited_by_every_way_together_and_comes_the_next_day() {
    for way in [Way::Exchange, Way::Bundle, Way::Stem] {
        let (gate, store) = (gate(), Memory::new(1 << 20));
        let records = batch(1, NEW_PER_DAY + 20);
        let (by_gossip, rest) = records.split_at(10);
        gate.take(&store, by_gossip, Way::Gossip).expect("takes");
        let verdicts = gate.take(&store, rest, way).expect("takes");
        let delayed = verdicts.iter().filter(|verdict| **verdict == Verdict::Delayed).count();
        assert_eq!(
            (delayed, gate.left_today().len(), store.count()),
            (20, 20, NEW_PER_DAY.into()),
            "{way:?}"
        );
        let tomorrow = at("2026-10-16T00:00:01Z");
        assert!(tomorrow.left_today().is_empty());
        tomorrow.take(&store, rest, way).expect("takes");
        assert_eq!(store.count(), u64::from(NEW_PER_DAY) + 20);
    }
}

#[test]
fn a_flood_fills_no_home_and_who_was_known_stays_and_goes_on() {
    let (gate, store) = (gate(), Memory::new(100_000));
    let known: Vec<Vec<u8>> = (1..5).flat_map(|author| batch(author, 4)).collect();
    gate.take(&store, &known, Way::Exchange).expect("takes");
    gate.admission()
        .take_as_known(&(1..5).map(|author| key(author).author()).collect::<Vec<_>>())
        .expect("taken");
    let before = store.count();
    for author in 10..=250 {
        gate.take(&store, &batch(author, 4), Way::Exchange).expect("takes");
    }
    let (used, quota) = store.disk();
    assert!(used <= quota && gate.admission().range().bits() >= 1, "{used} of {quota}");
    let more: Vec<Vec<u8>> = (1..5).map(|author| record(author, 40, 0, 3).bytes).collect();
    let verdicts = gate.take(&store, &more, Way::Exchange).expect("takes");
    assert!(verdicts.iter().all(|verdict| matches!(verdict, Verdict::New(_))), "{verdicts:?}");
    for bytes in known.iter().chain(&more) {
        let id = propagule_protocol::id_of(bytes, &network()).expect("a record");
        assert!(store.knows(&id).expect("reads"));
    }
    assert!(store.count() > before + 4, "and some of the strangers");
}

#[test]
fn what_is_known_costs_no_quota() {
    let (gate, store) = (gate(), Memory::new(1 << 20));
    let one = batch(1, 1);
    for _ in 0..AUTHOR_PER_HOUR * 3 {
        gate.take(&store, &one, Way::Gossip).expect("takes");
    }
    let more = gate.take(&store, &batch(1, 5), Way::Gossip).expect("takes");
    assert_eq!(more.iter().filter(|verdict| matches!(verdict, Verdict::New(_))).count(), 4);
}

#[test]
fn what_has_no_room_on_disk_is_dropped_counted_and_not_remembered() {
    let (gate, store) = (gate(), Memory::new(1_000));
    let records = batch(1, 10);
    let verdicts = gate.take(&store, &records, Way::Exchange).expect("takes");
    let dropped = verdicts.iter().filter(|verdict| **verdict == Verdict::Dropped).count() as u64;
    assert!(dropped > 5);
    assert_eq!(gate.counts().dropped, dropped);
    let last = record(1, 9, 0, 3);
    assert!(!store.knows(&last.id).expect("reads"));
}

#[test]
fn only_a_record_for_the_set_now_travels_by_stem() {
    let gate = gate();
    let good = record(1, 1, 0, 3);
    assert_eq!(gate.judge_stemmed(&good.bytes), Ok(good.id));
    assert_eq!(gate.judge_stemmed(&[0xFF; 40]), Err(Some("not canonical")));
}

#[test]
fn a_month_too_far_ahead_waits_and_nobody_is_to_blame() {
    let good = record(1, 1, 0, 3);
    for (ahead, stemmed, taken) in [
        (MONTHS_AHEAD, Ok(good.id), Verdict::New(good.id)),
        (MONTHS_AHEAD + 1, Err(None), Verdict::Aside(good.id)),
    ] {
        let then = format!("2026-{:02}-15T12:00:00Z", 10 - ahead);
        let gate = at(&then);
        assert_eq!(gate.judge_stemmed(&good.bytes), stemmed, "{then}");
        let store = Memory::new(1 << 20);
        let verdicts = gate.take(&store, std::slice::from_ref(&good.bytes), Way::Exchange);
        assert_eq!(verdicts.expect("takes"), [taken], "{then}");
    }
}

#[test]
fn ids_that_are_left_today_are_remembered_up_to_an_end() {
    let (gate, store) = (gate(), Memory::new(1 << 20));
    let ids = (0..REMEMBERED_LEFT as u32 + 10).map(|number| {
        let mut id = [0; 32];
        id[..4].copy_from_slice(&number.to_be_bytes());
        RecordId(id)
    });
    gate.left_today_are(ids);
    assert_eq!(gate.left_today().len(), REMEMBERED_LEFT);
    gate.take(&store, &batch(1, NEW_PER_DAY + 1), Way::Exchange).expect("takes");
    assert_eq!(gate.left_today().len(), REMEMBERED_LEFT);
}

/// A full home whose records are all of growers that it backs looks for room, and not again for each batch.
#[test]
fn room_that_was_looked_for_in_vain_is_not_looked_for_again_at_once() {
    #[derive(Debug)]
    struct All;
    impl crate::admission::Backing for All {
        fn backed(&self) -> Result<std::collections::HashSet<AuthorKey>, StoreError> {
            Ok((1..=200).map(|author| key(author).author()).collect())
        }
    }
    let (gate, store) = (gate(), Memory::new(3_000));
    gate.admission().backed_by(Box::new(All));
    for author in 1..20 {
        gate.take(&store, &batch(author, 1), Way::Exchange).expect("takes");
    }
    let looked = gate.looked_in_vain().expect("there was no room");
    gate.take(&store, &batch(30, 1), Way::Exchange).expect("takes");
    assert_eq!(gate.looked_in_vain(), Some(looked));
    assert!(ROOM_GAP > std::time::Duration::ZERO && store.count() > 5, "what was there stays");
}

#[test]
fn whose_records_were_here_before_days_were_written_down_stays_known_whatever_comes() {
    let (gate, store) = (gate(), Memory::new(1 << 20));
    let before = record(1, 1, 0, 3);
    store.append(&[Arrival::Accepted { signed: Box::new(before.clone()), own: None }]).expect("appends");
    for series in 2..4 {
        gate.take(&store, &[record(1, series, 0, 3).bytes, record(2, series, 0, 3).bytes], Way::Exchange)
            .expect("takes");
        assert_eq!(gate.class(&store, &before.author).expect("reads"), AuthorClass::Known);
        assert_eq!(gate.class(&store, &key(2).author()).expect("reads"), AuthorClass::New);
    }
}
