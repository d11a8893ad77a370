//! Points, blocks and groups, at and beyond their limits.

use proptest::prelude::*;

use super::*;
use crate::limits::{GOSSIP_TAKEN_UP, GOSSIP_TAKEN_UP_PER_SECOND};
use crate::spread::GossipQuota;

const HOUR: Duration = Duration::from_hours(1);

fn at(seconds: u64) -> Moment {
    Moment(1_000_000_000 + seconds * 1_000)
}

fn ledger() -> Ledger<u64, u8> {
    Ledger::new(HOUR)
}

#[test]
fn a_peer_is_blocked_at_its_points_and_each_offence_weighs_what_the_table_says() {
    for (offence, most) in [
        (Offence::Garbled, 5),
        (Offence::Unasked, 2),
        (Offence::Forged, 2),
        (Offence::Refused, 5),
        (Offence::Endless, 5),
        (Offence::CutShort, 20),
        (Offence::Impatient, 20),
        (Offence::Withheld, 100),
        (Offence::Flood, 5),
    ] {
        let mut ledger = ledger();
        assert!((1..most).all(|_| !ledger.charge(1, offence, 1, at(0)).is_blocked), "{offence:?}");
        assert!(ledger.charge(1, offence, 1, at(0)).is_blocked && ledger.is_blocked(&1), "{offence:?}");
        assert_eq!(u32::div_ceil(POINTS_OF_PEER, offence.points()), most);
        assert!(ledger.charge(2, offence, most, at(0)).is_blocked, "many times at once");
        assert!(!ledger.is_blocked(&3), "and nobody else");
    }
}

#[test]
fn points_are_forgotten_after_a_while() {
    let gap = POINTS_MEMORY.as_secs() / 4;
    let mut ledger = ledger();
    assert!((0..50).all(|i| !ledger.charge(1, Offence::Garbled, 1, at(i * gap)).is_blocked));
    let faster = (0..50).any(|i| ledger.charge(2, Offence::Garbled, 1, at(i * (gap - 1))).is_blocked);
    assert!(faster, "a little faster is not forgotten");
}

/// How long each block of a peer lasts that is blocked again whenever it is free.
fn blocks(ledger: &mut Ledger<u64, u8>, rest: Duration) -> Vec<u64> {
    let mut now = at(0);
    let mut next = || {
        assert!(ledger.charge(1, Offence::Unasked, 2, now).is_blocked);
        let begun = now;
        while ledger.released(now).is_empty() {
            now = now.plus(HOUR / 2);
        }
        let lasted = now.since(begun);
        now = now.plus(rest);
        lasted.as_secs() / 3_600
    };
    (0..7).map(|_| next()).collect()
}

#[test]
fn each_block_is_twice_as_long_as_the_one_before_and_none_longer_than_a_day() {
    assert_eq!(BLOCK_LONGEST, HOUR * 24);
    assert_eq!(blocks(&mut ledger(), Duration::ZERO), [1, 2, 4, 8, 16, 24, 24]);
    assert_eq!(blocks(&mut ledger(), BLOCK_LONGEST), [1; 7], "and all of it is forgotten in the end");
}

#[test]
fn half_the_points_of_its_peers_are_charged_to_a_group_which_then_gets_one_connection() {
    let mut ledger = ledger();
    let of_group = POINTS_OF_GROUP / (POINTS_OF_PEER / 2);
    for peer in 1..=u64::from(of_group) {
        ledger.met(peer, Some(7), at(0));
        ledger.met(100 + peer, Some(8), at(0));
        let came_of_it = ledger.charge(peer, Offence::Unasked, 2, at(peer));
        assert!(came_of_it.is_blocked);
        assert_eq!(came_of_it.narrowed, (peer == u64::from(of_group)).then_some(7));
    }
    let last = at(of_group.into());
    let end = last.plus(GROUP_NARROWED);
    assert!(ledger.is_narrowed(&7, last) && !ledger.is_narrowed(&7, end) && !ledger.is_narrowed(&8, last));
    // Where a peer came from is remembered when it has gone, and a peer of unknown place belongs to no group.
    assert_eq!(ledger.charge(99, Offence::Unasked, 200, last).narrowed, None);
}

#[test]
fn the_memory_of_passing_offenders_and_groups_is_bounded_and_blocks_outlast_points() {
    let mut ledger: Ledger<u64, u64> = Ledger::new(HOUR);
    ledger.charge(0, Offence::Unasked, 2, at(0));
    for peer in 1..REMEMBERED_PEERS as u64 * 2 {
        ledger.met(peer, Some(peer), at(1));
        ledger.charge(peer, Offence::Garbled, 1, at(1));
        assert!(ledger.peers.len() <= REMEMBERED_PEERS && ledger.groups.len() <= REMEMBERED_PEERS);
    }
    assert!(ledger.is_blocked(&0), "who passes by pushes nobody out of a block");
}

#[test]
fn of_too_many_blocked_peers_the_first_to_be_free_again_are_let_go() {
    let (mut ledger, most) = (ledger(), REMEMBERED_PEERS as u64);
    for peer in 0..most + 3 {
        ledger.charge(peer, Offence::Unasked, 2, at(peer));
    }
    let released = ledger.released(at(0));
    assert!(ledger.blocked() <= REMEMBERED_PEERS && ledger.is_blocked(&(most + 2)));
    assert!(released.iter().all(|peer| !ledger.is_blocked(peer)), "and whoever is forgotten is named");
    assert_eq!(released.len() + ledger.blocked(), most as usize + 3);
}

#[test]
fn a_record_that_failed_is_not_asked_of_the_same_peer_for_a_day() {
    let (mut ledger, id) = (ledger(), RecordId([1; 32]));
    ledger.shun(1, id, at(0));
    let end = at(0).plus(SHUNNED_FOR);
    let shunned = |ledger: &Ledger<u64, u8>, peer, now| ledger.shunned(peer, now).collect::<Vec<_>>();
    assert_eq!(shunned(&ledger, 1, Moment(end.0 - 1)), [id]);
    assert!(shunned(&ledger, 1, end).is_empty() && shunned(&ledger, 2, at(0)).is_empty());
}

#[test]
fn a_flood_of_gossip_is_charged_and_what_may_be_sent_is_not() {
    let mut ledger = ledger();
    let mut charged =
        |peer, count: u32, now| (0..count).filter(|_| ledger.gossiped(peer, now).is_some()).count() as u32;
    assert_eq!(charged(1, GOSSIP_FLOOD, at(0)), 0);
    assert_eq!(charged(1, 10 * GOSSIP_FLOOD_PER_SECOND, at(10)), 0, "as many as it may, each second");
    assert_eq!(charged(1, 1, at(10)), 1);
    let until_blocked = GOSSIP_FLOOD + 1 + 4 * (GOSSIP_FLOOD / 2 + 1);
    assert_eq!(charged(2, until_blocked, at(0)), 5, "and whoever goes on is blocked soon");
    assert!(ledger.is_blocked(&2) && !ledger.is_blocked(&1));
}

proptest! {
    /// However many peers flood a node, what it takes up and passes on is no flood to its neighbours.
    #[test]
    fn who_passes_on_what_it_takes_up_is_never_charged(
        waits in prop::collection::vec((0_u64..4_000, 0_u32..900), 1..60),
    ) {
        let (mut quota, mut neighbour, mut now) = (GossipQuota::default(), ledger(), at(0));
        let (mut passed_on, mut floods) = (0, false);
        for (wait, came) in waits {
            now = now.plus(Duration::from_millis(wait));
            for number in 0..came {
                if quota.admit(number % 40, now) {
                    passed_on += 1;
                    prop_assert_eq!(neighbour.gossiped(1, now), None);
                }
                // Without that quota it would be one.
                floods |= neighbour.gossiped(2, now).is_some();
            }
            let seconds = now.since(at(0)).as_secs() as u32 + 1;
            prop_assert!(passed_on <= GOSSIP_TAKEN_UP + seconds * GOSSIP_TAKEN_UP_PER_SECOND);
            prop_assert!(floods || came < GOSSIP_FLOOD + 1);
        }
    }
}
