//! Stems between machines: hops, hiding, embargo, limits.

use std::collections::VecDeque;

use super::super::SeededDice;
use super::*;
use crate::limits::OUTBOX;

const ID: RecordId = RecordId([7; 32]);
const NOW: Moment = Moment(1_000_000_000);

fn spread(secret: u64) -> Spread<usize> {
    Spread::new(Timing::home(), secret, Box::new(SeededDice(secret)))
}

/// `count` machines, each connected with all others, having dialled those with higher numbers.
fn nodes(count: usize, seed: u64) -> Vec<Spread<usize>> {
    let make = |own: usize| {
        let mut node = spread(seed * 1_000 + own as u64);
        (0..count).filter(|other| *other != own).for_each(|other| node.met(other, true));
        node
    };
    (0..count).map(make).collect()
}

/// Runs a stem that node 0 begins; returns who had it, in order. The last one released it.
fn run(nodes: &mut [Spread<usize>]) -> Vec<usize> {
    nodes[0].load([(ID, Stage::Waiting(NOW))], NOW);
    let mut path = vec![0];
    let mut acts: VecDeque<(usize, Act<usize>)> =
        nodes[0].tick(NOW).into_iter().map(|act| (0, act)).collect();
    while let Some((at, act)) = acts.pop_front() {
        let (to, must_pass) = match act {
            Act::SendOwn(to, _) => (to, true),
            Act::SendOn { to, must_pass, .. } => (to, must_pass),
            _ => continue,
        };
        path.push(to);
        let (answer, more) = nodes[to].handed(at, ID, vec![1], must_pass, false, NOW);
        assert_eq!(answer, Answer::Taken);
        acts.extend(more.into_iter().map(|act| (to, act)));
    }
    path
}

#[test]
fn a_stem_has_two_hops_or_more_and_mostly_no_more_than_four() {
    let lengths: Vec<usize> = (0..2_000).map(|seed| run(&mut nodes(30, seed)).len() - 1).collect();
    assert!(lengths.iter().all(|hops| *hops >= 2));
    let mean = lengths.iter().sum::<usize>() as f64 / lengths.len() as f64;
    let again = STEM_PASS_ON as f64 / 256.0;
    let expected = 2.0 + again / (1.0 - again);
    assert!((mean - expected).abs() < 0.1 && (2.8..3.2).contains(&expected), "{mean}, not {expected}");
    let short = lengths.iter().filter(|hops| **hops <= 4).count();
    assert!(short * 100 > lengths.len() * 84, "{short} of {}", lengths.len());
}

#[test]
fn a_record_is_hidden_on_its_way_and_public_once_it_is_seen() {
    let mut nodes = nodes(5, 3);
    let path = run(&mut nodes);
    assert!(nodes[0].is_hidden(&ID));
    let last = path[path.len() - 1];
    assert!(!nodes[last].is_hidden(&ID), "who released it has it in the set");
    assert_eq!(nodes[0].seen(&ID), [Act::Done(ID)]);
    assert!(!nodes[0].is_hidden(&ID));
    assert_eq!(nodes[0].tick(NOW.plus(Timing::home().embargo.1)), [], "nothing is gossiped twice");
}

#[test]
fn a_stem_that_dies_is_gossiped_after_the_embargo_by_its_author() {
    let mut author = spread(1);
    author.met(9, true);
    author.load([(ID, Stage::Waiting(NOW))], NOW);
    let acts = author.tick(NOW);
    assert!(matches!(acts[..], [Act::Note(_, Stage::Stemmed(_)), Act::SendOwn(9, _)]), "{acts:?}");
    author.answered(9, ID, Answer::Taken, NOW);
    assert_eq!(author.tick(Moment(NOW.plus(Timing::home().embargo.0).0 - 1)), []);
    let later = NOW.plus(Timing::home().embargo.1);
    assert_eq!(author.tick(later), [Act::Note(ID, Stage::Open), Act::GossipOwn(ID)]);
    assert_eq!(author.gossiped(&ID, false), [], "alone, it stays in the outbox");
    assert_eq!(author.tick(later), [Act::GossipOwn(ID)]);
    assert_eq!(author.gossiped(&ID, true), [Act::Done(ID)]);
}

#[test]
fn a_relay_whose_next_hop_dies_releases_after_its_own_embargo() {
    let mut relay = spread(2);
    relay.met(1, true);
    relay.met(2, true);
    let (_, acts) = relay.handed(1, ID, vec![5], true, false, NOW);
    assert!(matches!(acts[..], [Act::SendOn { to: 2, .. }]), "{acts:?}");
    assert!(relay.is_hidden(&ID));
    assert_eq!(relay.tick(NOW.plus(Timing::home().embargo.1)), [Act::Release(vec![5])]);
}

#[test]
fn without_a_peer_a_record_waits_and_nothing_is_written_down() {
    let mut author = spread(1);
    author.load([(ID, Stage::Waiting(NOW))], NOW);
    assert_eq!(author.tick(NOW.plus(Duration::from_hours(1_000))), []);
    assert!(author.is_hidden(&ID));
}

#[test]
fn a_busy_hop_is_passed_over_and_after_some_tries_the_embargo_decides() {
    let mut author = spread(1);
    (1..=20).for_each(|peer| author.met(peer, true));
    author.load([(ID, Stage::Waiting(NOW))], NOW);
    let mut acts = author.tick(NOW);
    let mut tried = Vec::new();
    while let Some(Act::SendOwn(to, _)) = acts.last().cloned() {
        tried.push(to);
        acts = author.answered(to, ID, Answer::Busy, NOW);
    }
    assert_eq!(tried.len() as u32, STEM_TRIES + 1);
    tried.dedup();
    assert_eq!(tried.len() as u32, STEM_TRIES + 1, "another one each time");
    assert!(author.tick(NOW.plus(Timing::home().embargo.1)).contains(&Act::GossipOwn(ID)));
}

#[test]
fn the_next_hop_stays_for_an_epoch_and_is_one_that_this_node_dialled() {
    let mut node = spread(4);
    (0..10).for_each(|peer| node.met(peer, peer >= 5));
    let hops: Vec<usize> = (0..6)
        .filter_map(|day| {
            node.next_hop(
                None,
                Moment(
                    NOW.0 / STEM_EPOCH.as_millis() as u64 * STEM_EPOCH.as_millis() as u64 + day * 86_400_000,
                ),
            )
        })
        .collect();
    assert_eq!(hops, [hops[0]; 6]);
    let over_years: std::collections::BTreeSet<usize> =
        (0..200).filter_map(|week| node.next_hop(None, NOW.plus(STEM_EPOCH * week))).collect();
    assert_eq!(over_years, (5..10).collect());
    assert_ne!(node.next_hop(Some(hops[0]), NOW), Some(hops[0]), "never back to whom it came from");
}

#[test]
fn the_number_of_relayed_records_has_a_limit_and_so_has_each_peer() {
    let mut relay = spread(5);
    relay.met(1, true);
    relay.met(2, true);
    for number in 0..STEMMED as u64 {
        let mut id = [0; 32];
        id[..8].copy_from_slice(&number.to_be_bytes());
        assert_eq!(relay.handed(1, RecordId(id), vec![0], true, false, NOW).0, Answer::Taken);
    }
    assert_eq!(relay.handed(1, ID, vec![0], true, false, NOW).0, Answer::Busy);
    assert_eq!(relay.relaying(), STEMMED);
    assert!(!relay.admits(1, NOW));
    let mut idle = spread(6);
    assert_eq!((0..1_000).filter(|_| idle.admits(1, NOW)).count(), STEM_BURST as usize);
    let later = NOW.plus(Duration::from_mins(1));
    assert_eq!((0..1_000).filter(|_| idle.admits(1, later)).count(), STEM_PER_MINUTE as usize);
}

#[test]
fn what_is_public_already_is_taken_and_goes_nowhere() {
    let mut relay = spread(7);
    relay.met(2, true);
    assert_eq!(relay.handed(1, ID, vec![0], true, true, NOW), (Answer::Taken, vec![]));
    assert!(!relay.is_hidden(&ID));
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
