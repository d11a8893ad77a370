//! Stems between machines: hops, hiding, guards, embargo, limits.

use std::collections::{BTreeSet, VecDeque};

use super::super::{Handing, SeededDice};
use super::*;
use crate::limits::{GUARDS_A_YEAR, OUTBOX, STEM_OUTLETS, STEMMED};

const ID: RecordId = RecordId([7; 32]);
const NOW: Moment = Moment(1_800_000_000_000);
const HOUR: Duration = Duration::from_hours(1);

/// As at home, but for the days until a peer can be a guard.
fn timing() -> Timing {
    Timing { guard_days: 1, ..Timing::home() }
}

fn spread(secret: u64) -> Spread<usize> {
    Spread::new(timing(), secret, Box::new(SeededDice(secret)))
}

/// One that has dialled these.
fn with_peers(secret: u64, peers: impl IntoIterator<Item = usize>) -> Spread<usize> {
    let mut node = spread(secret);
    peers.into_iter().for_each(|peer| node.met(peer, true, ""));
    node
}

fn author(peers: impl IntoIterator<Item = usize>) -> Spread<usize> {
    let mut node = with_peers(1, peers);
    node.load([(ID, Stage::Waiting(NOW))], NOW);
    node
}

/// Whom own records are handed to by these acts.
fn handed_to(acts: &[Act<usize>]) -> Vec<usize> {
    acts.iter().filter_map(|act| if let Act::SendOwn(to, _) = act { Some(*to) } else { None }).collect()
}

/// `count` machines, each connected with all others, having dialled those with higher numbers.
fn nodes(count: usize, seed: u64) -> Vec<Spread<usize>> {
    let make = |own: usize| with_peers(seed * 1_000 + own as u64, (0..count).filter(|other| *other != own));
    (0..count).map(make).collect()
}

/// Runs a stem that node 0 begins; returns who had it, in order. The last one ends it.
fn run(nodes: &mut [Spread<usize>]) -> Vec<usize> {
    nodes[0].load([(ID, Stage::Waiting(NOW))], NOW);
    let mut path = vec![0];
    let mut acts: VecDeque<(usize, Act<usize>)> =
        nodes[0].tick(NOW).into_iter().map(|act| (0, act)).collect();
    while let Some((at, act)) = acts.pop_front() {
        let (Act::SendOwn(to, _) | Act::SendOn { to, .. }) = act else { continue };
        path.push(to);
        let (answer, more) = nodes[to].handed(at, ID, vec![1], false, NOW);
        assert_eq!(answer, Answer::Taken);
        nodes[at].answered(to, ID, answer, NOW);
        acts.extend(more.into_iter().map(|act| (to, act)));
    }
    path
}

/// Hops of a stem through homes of which none has had it before, in a network too large for it to come round.
fn hops_of(seed: u64) -> usize {
    let (mut from, mut at) = (0, 1);
    for hops in 1.. {
        let mut node = with_peers(seed * 1_000 + hops as u64, [2 * hops, 2 * hops + 1]);
        let (_, acts) = node.handed(from, ID, vec![1], false, NOW);
        let [Act::SendOn { to, .. }] = acts[..] else { return hops };
        (from, at) = (at, to);
        assert!(at > from, "on to somebody new");
    }
    unreachable!("a stem ends")
}

#[test]
fn a_stem_has_four_hops_on_average_and_seldom_more_than_eleven() {
    let lengths: Vec<usize> = (0..4_000).map(hops_of).collect();
    let mean = lengths.iter().sum::<usize>() as f64 / lengths.len() as f64;
    let expected = 256.0 / f64::from(crate::limits::STEMS_ENDED);
    // The standard error of so many is 0.055.
    assert!((mean - expected).abs() < 0.2 && (3.9..4.1).contains(&expected), "{mean}, not {expected}");
    let long = lengths.iter().filter(|hops| **hops > 11).count();
    assert!(long * 100 <= lengths.len() * 5, "{long} of {}", lengths.len());
}

#[test]
fn a_record_is_hidden_on_its_way_and_public_once_it_is_seen() {
    let mut nodes = nodes(8, 3);
    let path = run(&mut nodes);
    assert!(nodes[0].is_hidden(&ID));
    let last = path[path.len() - 1];
    let later = NOW.plus(timing().stem_end.1);
    assert!(nodes[last].tick(later).iter().any(|act| matches!(act, Act::Release(_))));
    assert!(!nodes[last].is_hidden(&ID), "who released it has it in the set");
    assert_eq!(nodes[0].seen(&ID), [Act::Done(ID)]);
    assert!(!nodes[0].is_hidden(&ID));
    let acts = nodes[0].tick(NOW.plus(timing().hand_again.1));
    assert_eq!(handed_to(&acts), [0; 0], "nothing is handed on twice");
}

#[test]
fn own_records_always_go_to_the_same_guard_and_over_years_to_few() {
    let mut node = with_peers(3, 0..40);
    let mut had: BTreeSet<usize> = BTreeSet::new();
    let mut first_year: BTreeSet<usize> = BTreeSet::new();
    for week in 0..156_u32 {
        let now = NOW.plus(Duration::from_hours(7 * 24) * week);
        let id = RecordId([week as u8; 32]);
        node.load([(id, Stage::Waiting(now))], now);
        let to = handed_to(&node.tick(now));
        assert_eq!(to.len(), 1, "week {week}");
        node.answered(to[0], id, Answer::Taken, now);
        had.insert(to[0]);
        if week < 35 {
            first_year.insert(to[0]);
        }
        node.seen(&id);
    }
    assert_eq!(first_year.len(), 1, "one guard lasts nine months at least");
    assert!((3..=5).contains(&had.len()), "{had:?}");
}

#[test]
fn a_record_that_does_not_become_public_goes_to_the_next_guard_and_is_never_gossiped_by_its_author() {
    let mut author = author(0..20);
    let (mut had, mut now) = (Vec::new(), NOW);
    for _ in 0..24 * 30 {
        let acts = author.tick(now);
        assert!(!acts.iter().any(|act| matches!(act, Act::GossipOwn(_) | Act::Release(_))), "{acts:?}");
        for to in handed_to(&acts) {
            had.push(to);
            author.answered(to, ID, Answer::Taken, now);
        }
        now = now.plus(HOUR);
    }
    let different: BTreeSet<usize> = had.iter().copied().collect();
    assert_eq!(
        different.len(),
        GUARDS_A_YEAR,
        "a swallowed record shows itself to so many in a year, and no more"
    );
    assert!((15..=30).contains(&had.len()), "about once in 36 hours for 30 days: {}", had.len());
    assert_eq!(had[..3], had[3..6], "round and round");
    assert!(author.outbox.stage(&ID).is_some_and(|stage| stage.is_stuck(now, &timing())));
}

#[test]
fn a_guard_that_is_away_is_waited_for_and_then_another_is_taken() {
    let mut author = author(0..10);
    let first = handed_to(&author.tick(NOW))[0];
    author.answered(first, ID, Answer::Taken, NOW);
    author.seen(&ID);
    author.gone(&first);
    author.load([(ID, Stage::Waiting(NOW))], NOW);
    let wait = timing().guard_wait;
    assert_eq!(handed_to(&author.tick(Moment(NOW.plus(wait).0 - 1))), [0; 0]);
    let second = handed_to(&author.tick(NOW.plus(wait)));
    assert!(second.len() == 1 && second[0] != first);
}

#[test]
fn a_busy_guard_is_asked_again_later_and_none_beside_it_learns_of_the_record() {
    let mut author = author(0..10);
    let first = handed_to(&author.tick(NOW))[0];
    let acts = author.answered(first, ID, Answer::Busy, NOW);
    assert_eq!(acts, [Act::Note(ID, Stage::Waiting(NOW))], "as if it had not been asked");
    assert_eq!(handed_to(&author.tick(NOW)), [0; 0]);
    assert_eq!(handed_to(&author.tick(NOW.plus(timing().stem_end.1))), [first]);
}

#[test]
fn while_a_guard_has_not_answered_nothing_more_is_sent() {
    let mut author = author(0..10);
    assert_eq!(handed_to(&author.tick(NOW)).len(), 1);
    assert_eq!(handed_to(&author.tick(NOW.plus(HOUR * 100))), [0; 0]);
}

#[test]
fn without_a_peer_a_record_waits_and_nothing_is_written_down() {
    let mut author = author([]);
    assert_eq!(author.tick(NOW.plus(HOUR * 1_000)), []);
    assert!(author.is_hidden(&ID));
}

#[test]
fn who_came_by_itself_is_a_guard_only_where_nobody_else_is_there_for_days() {
    let mut author = author([]);
    author.met(5, false, "");
    let wait = timing().guard_wait;
    assert_eq!(handed_to(&author.tick(NOW)), [0; 0]);
    let mut chosen_too = self::author([9]);
    chosen_too.guards = Guards::default();
    chosen_too.met(5, false, "");
    for _ in 0..50 {
        assert_eq!(handed_to(&chosen_too.tick(NOW.plus(wait)))[..], [9], "one of its own choice is there");
        chosen_too.answered(9, ID, Answer::Busy, NOW.plus(wait));
        chosen_too.busy.clear();
    }
    assert_eq!(handed_to(&author.tick(NOW.plus(wait))), [5]);
}

#[test]
fn whoever_offers_a_record_shows_that_it_is_public_unless_it_is_a_guard() {
    let mut author = author(0..10);
    let guard = handed_to(&author.tick(NOW))[0];
    author.answered(guard, ID, Answer::Taken, NOW);
    assert_eq!(author.offered(&guard, &[ID]), []);
    assert!(author.is_hidden(&ID));
    assert_eq!(author.offered(&((guard + 1) % 10), &[ID]), [Act::Done(ID)]);
    assert!(!author.is_hidden(&ID));
}

#[test]
fn what_is_done_with_a_stem_depends_on_its_neighbour_and_quarter_alone() {
    let peers = 200;
    let node = with_peers(4, 0..peers);
    let passing = (0..peers).filter(|peer| node.passes(peer, NOW)).count();
    assert!((130..=170).contains(&passing), "three of four: {passing}");
    let quarter = STEM_QUARTER.as_millis() as u64;
    let begin = Moment(NOW.0 / quarter * quarter);
    for peer in 0..20 {
        for day in [1, 30, 60, 91] {
            let now = begin.plus(HOUR * 24 * day);
            assert_eq!(node.passes(&peer, now), node.passes(&peer, begin));
            assert_eq!(node.outlets(&peer, now), node.outlets(&peer, begin));
        }
    }
    let used: BTreeSet<usize> = (0..40).flat_map(|peer| node.outlets(&peer, NOW)).collect();
    assert_eq!(used.len(), STEM_OUTLETS);
    let first: BTreeSet<usize> = (0..40).map(|peer| node.outlets(&peer, NOW)[0]).collect();
    assert_eq!(first.len(), STEM_OUTLETS, "both have their turn");
    assert!((0..40).all(|peer| !node.outlets(&peer, NOW).contains(&peer)), "never back");
    let other = |count: u64| begin.plus(STEM_QUARTER * count as u32);
    let changed = (1..200).filter(|count| node.passes(&0, other(*count)) != node.passes(&0, begin)).count();
    assert!(changed > 20, "another quarter, another draw: {changed}");
}

/// The own record and one that passes through leave by the same words: a neighbour that hands both to this node sees
/// no difference in what it is answered and in what comes of it.
#[test]
fn a_record_that_comes_round_ends_here_whether_it_is_an_own_one_or_not() {
    let own = {
        let mut node = author(0..10);
        let to = handed_to(&node.tick(NOW))[0];
        node.answered(to, ID, Answer::Taken, NOW);
        node
    };
    let passing = {
        let mut node = with_peers(1, 0..10);
        let from = (0..10).find(|peer| node.passes(peer, NOW)).expect("three of four");
        assert_eq!(node.handed(from, ID, vec![5], false, NOW).0, Answer::Taken);
        node
    };
    for (mut node, gossips) in [(own, Act::GossipOwn(ID)), (passing, Act::Release(vec![5]))] {
        assert_eq!(node.handed(3, ID, vec![5], false, NOW), (Answer::Taken, vec![]));
        assert!(node.is_hidden(&ID));
        assert!(node.tick(NOW.plus(timing().stem_end.1)).contains(&gossips));
        assert!(!node.is_hidden(&ID));
    }
}

#[test]
fn a_relay_whose_next_hop_dies_releases_after_its_own_embargo() {
    let mut relay =
        (0..100).map(|seed| with_peers(seed, [1, 2])).find(|node| node.passes(&1, NOW)).expect("one");
    let (_, acts) = relay.handed(1, ID, vec![5], false, NOW);
    assert!(matches!(acts[..], [Act::SendOn { to: 2, .. }]), "{acts:?}");
    let busy = relay.answered(2, ID, Answer::Busy, NOW);
    assert_eq!(busy, [], "there is nobody else");
    assert!(relay.is_hidden(&ID));
    let release = Act::Release(vec![5]);
    assert!(!relay.tick(Moment(NOW.plus(timing().embargo.0).0 - 1)).contains(&release));
    assert!(relay.tick(NOW.plus(timing().embargo.1)).contains(&release));
}

#[test]
fn with_nobody_to_pass_it_to_a_stem_ends_here() {
    let mut relay = (0..100).map(spread).find(|node| node.passes(&1, NOW)).expect("one");
    relay.met(1, false, "");
    relay.met(2, false, "");
    assert_eq!(relay.handed(1, ID, vec![5], false, NOW), (Answer::Taken, vec![]));
    assert!(relay.tick(NOW.plus(timing().stem_end.1)).contains(&Act::Release(vec![5])));
}

#[test]
fn the_number_of_relayed_records_has_a_limit_and_so_has_each_peer() {
    let mut relay = with_peers(5, [1, 2]);
    for number in 0..STEMMED as u64 {
        let mut id = [0; 32];
        id[..8].copy_from_slice(&number.to_be_bytes());
        assert_eq!(relay.handed(1, RecordId(id), vec![0], false, NOW).0, Answer::Taken);
    }
    assert_eq!(relay.handed(1, ID, vec![0], false, NOW).0, Answer::Busy);
    assert_eq!(relay.relaying(), STEMMED);
    assert!(!relay.admits(1, NOW));
    let mut idle = spread(6);
    assert_eq!((0..1_000).filter(|_| idle.admits(1, NOW)).count(), STEM_BURST as usize);
    let later = NOW.plus(Duration::from_mins(1));
    assert_eq!((0..1_000).filter(|_| idle.admits(1, later)).count(), STEM_PER_MINUTE as usize);
}

#[test]
fn what_is_public_already_is_taken_and_goes_nowhere() {
    let mut relay = with_peers(7, [2]);
    assert_eq!(relay.handed(1, ID, vec![0], true, NOW), (Answer::Taken, vec![]));
    assert!(!relay.is_hidden(&ID));
}

#[test]
fn a_restart_keeps_the_guards_and_how_often_a_record_was_handed_on() {
    let mut before = author(0..20);
    let first = handed_to(&before.tick(NOW))[0];
    let stage = before.outbox.stage(&ID).expect("it is under way");
    let Stage::Stemmed(Handing { times, until, .. }) = stage else { panic!("{stage:?}") };
    assert_eq!(times, 1);
    let mut after = with_peers(1, 0..20).guarded(before.guards().clone());
    after.load([(ID, Stage::decode(&stage.encode()).expect("as written"))], NOW);
    let again = handed_to(&after.tick(until));
    assert!(again.len() == 1 && again[0] != first, "the next one, since the first had it");
    after.load([(RecordId([8; 32]), Stage::Waiting(NOW))], NOW);
    assert_eq!(handed_to(&after.tick(until)), [first], "the same first hop");
}

#[test]
fn the_outbox_has_an_end() {
    let mut author = spread(8);
    let row = |number: u64| {
        let mut id = [0; 32];
        id[..8].copy_from_slice(&number.to_be_bytes());
        (RecordId(id), Stage::Open)
    };
    let most = OUTBOX as u64;
    author.load((50..most).map(row), NOW);
    author.load((0..most + 50).map(row), NOW);
    assert_eq!(author.tick(NOW).len(), OUTBOX, "also of what comes later");
    author.seen(&row(0).0);
    author.load((0..most + 50).map(row), NOW);
    assert_eq!(author.tick(NOW).len(), OUTBOX, "what has gone makes room");
}
