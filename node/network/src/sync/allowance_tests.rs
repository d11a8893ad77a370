//! Peers that ask more than they may have, and how long they are told to wait.

use propagule_protocol::{Month, RecordId};
use proptest::prelude::*;

use super::*;
use crate::limits::{FETCH_IDS, FETCH_REPLY_BYTES, SESSION_RECORDS};

/// What all peers together may have a second in these tests.
const LINE: u64 = 1 << 20;

fn at(milliseconds: u64) -> Moment {
    Moment(1_000_000_000 + milliseconds)
}

fn allowances() -> Allowances<u32> {
    Allowances::new(LINE)
}

const SMALL: Asked = Asked { bytes: 40, most: 0, is_reconciling: false };
const FULL_FETCH: Asked = Asked { bytes: 8_704, most: FETCH_REPLY_BYTES as u64, is_reconciling: false };

/// Bytes that a peer has drawn which asks for `asked` again and again and waits as long as it is told.
fn drawn(
    allowances: &mut Allowances<u32>,
    familiarity: Familiarity,
    asked: Asked,
    (took, time): (u64, Duration),
    seconds: u64,
) -> (u64, u64) {
    let (mut now, mut answers) = (at(0), 0);
    while now < at(seconds * 1_000) {
        match allowances.ask(1, familiarity, asked, now) {
            Admission::Answer(granted) => {
                allowances.answered(&1, granted, took, time, now);
                answers += 1;
            }
            Admission::Wait { wait, is_impatient } => {
                assert!(!is_impatient && !wait.is_zero());
                now = now.plus(wait + Duration::from_millis(1));
            }
        }
    }
    (answers, answers * took)
}

/// What a bucket gives in some seconds.
fn within(seconds: u64, burst: u64, per_second: u64, one: u64) -> std::ops::RangeInclusive<u64> {
    let most = burst + seconds * per_second;
    most - (most / 20).max(2 * one)..=most
}

#[test]
fn a_peer_may_ask_a_burst_and_then_at_the_steady_rate() {
    for familiarity in [Familiarity::Stranger, Familiarity::Friend] {
        let (asked, _) = drawn(&mut allowances(), familiarity, SMALL, (0, Duration::ZERO), 60);
        let (burst, rate) = (familiarity.of(QUESTIONS), familiarity.of(QUESTIONS_PER_SECOND));
        assert!(within(60, burst, rate, 1).contains(&asked), "{familiarity:?}: {asked}");
    }
}

#[test]
fn a_peer_draws_no_more_bytes_than_it_may_have() {
    for familiarity in [Familiarity::Stranger, Familiarity::Friend] {
        // A line that is wide enough, so that only the peer's own bucket counts.
        let mut allowances = Allowances::new(1 << 32);
        let one = FULL_FETCH.most;
        let (_, bytes) = drawn(&mut allowances, familiarity, FULL_FETCH, (one, Duration::ZERO), 60);
        let (burst, rate) = (familiarity.of(ANSWERED_BYTES), familiarity.of(ANSWERED_BYTES_PER_SECOND));
        // Questions are short before bytes are for a friend.
        let least = (familiarity.of(QUESTIONS) + 60 * familiarity.of(QUESTIONS_PER_SECOND)) * one;
        let most = burst + 60 * rate;
        assert!((most.min(least) * 9 / 10..=most).contains(&bytes), "{familiarity:?}: {bytes} of {most}");
    }
}

#[test]
fn a_peer_takes_no_more_time_than_it_may_have() {
    for familiarity in [Familiarity::Stranger, Familiarity::Friend] {
        let slow = Duration::from_millis(50);
        let (answers, _) = drawn(&mut allowances(), familiarity, SMALL, (0, slow), 60);
        let most = familiarity.of(ANSWER_TIME) + familiarity.of(ANSWER_TIME_REFILL) * 60 + slow;
        let took = slow * answers as u32;
        assert!((most * 9 / 10..=most).contains(&took), "{familiarity:?}: {took:?} of {most:?}");
    }
}

/// Ids for small questions, in months that are never fetched.
#[test]
fn reconciling_answers_no_more_than_the_questions_answer_for() {
    for familiarity in [Familiarity::Stranger, Familiarity::Friend] {
        let asked = Asked { bytes: 100, most: 36 << 10, is_reconciling: true };
        let (answers, bytes) = drawn(&mut allowances(), familiarity, asked, (32 << 10, Duration::ZERO), 60);
        let ratio = familiarity.of(UNMATCHED_RATIO);
        let most =
            UNMATCHED_BYTES + UNMATCHED_BYTES * 60 / UNMATCHED_REFILL.as_secs() + answers * 100 * ratio;
        assert!((most * 9 / 10..=most + (4 << 10)).contains(&bytes), "{familiarity:?}: {bytes} of {most}");
    }
}

/// Every id of a session is answered before the first is fetched, and then each is asked for.
#[test]
fn an_honest_newcomer_is_never_held_up_by_the_ratio() {
    let mut allowances = Allowances::new(1 << 32);
    let rates = Rates::of(Familiarity::Stranger);
    let mut one = Allowance::full(at(0));
    for session in 0..20 {
        let frame = Asked { bytes: 60, most: 32 << 10, is_reconciling: true };
        for _ in 0..SESSION_RECORDS * 32 / (32 << 10) {
            assert!(one.unmatched.wait(rates.unmatched, frame.most, at(session)).is_zero(), "{session}");
            one.pay(&rates, frame, at(session));
        }
        for _ in 0..SESSION_RECORDS / FETCH_IDS {
            one.pay(&rates, FULL_FETCH, at(session));
        }
    }
    // Nor by anything else, as long as little is missing.
    for _ in 0..20 {
        let month = Asked::new(&Question::Reconcile(Month(1_500), vec![0; 300]), Budget::DIRECT);
        let fetch = Asked::new(&Question::Fetch(vec![RecordId([1; 32]); 4]), Budget::DIRECT);
        for asked in [month, fetch] {
            let Admission::Answer(granted) = allowances.ask(1, Familiarity::Stranger, asked, at(0)) else {
                panic!("it may have that")
            };
            allowances.answered(&1, granted, 2_000, Duration::from_millis(5), at(0));
        }
    }
}

#[test]
fn asking_on_is_impatient_once_it_cannot_have_been_under_way() {
    let mut allowances = allowances();
    let mut ask = |now| allowances.ask(1, Familiarity::Stranger, SMALL, now);
    for _ in 0..QUESTIONS.0 {
        assert!(matches!(ask(at(0)), Admission::Answer(_)));
    }
    let Admission::Wait { wait, is_impatient: false } = ask(at(0)) else { panic!("it is over budget") };
    for _ in 0..STREAMS_PER_PEER {
        assert_eq!(ask(at(0)), Admission::Wait { wait, is_impatient: false }, "may have been under way");
    }
    let before = wait.checked_sub(Duration::from_millis(1)).expect("it waits longer");
    assert!(matches!(ask(at(0).plus(before)), Admission::Wait { is_impatient: true, .. }));
    assert!(
        matches!(ask(at(0).plus(wait)), Admission::Answer(_)),
        "who waits as long as it is told is answered"
    );
}

/// Peers that all ask for as much as they can, and wait as long as they are told.
fn shared(peers: u32, seconds: u64, line: u64) -> Vec<u64> {
    let mut allowances = Allowances::new(line);
    let mut drawn = vec![0; peers as usize];
    let mut next = vec![at(0); peers as usize];
    let mut now = at(0);
    while now < at(seconds * 1_000) {
        for peer in 0..peers {
            let at_peer = peer as usize;
            while next[at_peer] <= now {
                match allowances.ask(peer, Familiarity::Friend, FULL_FETCH, now) {
                    Admission::Answer(granted) => {
                        allowances.answered(&peer, granted, FULL_FETCH.most, Duration::ZERO, now);
                        drawn[at_peer] += FULL_FETCH.most;
                    }
                    // In whole seconds, as it is told on the wire.
                    Admission::Wait { wait, .. } => {
                        let seconds = wait.as_millis().div_ceil(1_000) as u64;
                        next[at_peer] = now.plus(Duration::from_secs(seconds));
                    }
                }
            }
        }
        now = now.plus(Duration::from_millis(100));
    }
    drawn
}

#[test]
fn all_peers_together_draw_no_more_than_the_line_gives_and_share_it_evenly() {
    let before = shared(8, 1, LINE);
    let after = shared(8, 121, LINE);
    let (first, last): (u64, u64) = (before.iter().sum(), after.iter().sum());
    assert!(first <= LINE_BYTES + LINE && last <= LINE_BYTES + 121 * LINE, "{first} {last}");
    assert!(last - first >= 100 * LINE, "and nothing of it is left unused: {}", last - first);
    let each: Vec<u64> = after.iter().zip(&before).map(|(after, before)| after - before).collect();
    let (least, most) = (each.iter().min().copied(), each.iter().max().copied());
    let (least, most) = (least.unwrap_or_default(), most.unwrap_or_default());
    assert!(most - least <= most / 10, "{each:?}");
}

#[test]
fn a_turn_is_kept_for_a_while_and_whoever_comes_later_waits_anew() {
    let just = TURN_KEPT.checked_sub(Duration::from_millis(1)).expect("it is longer");
    for (late, is_answered) in [(just, true), (TURN_KEPT, false)] {
        let mut allowances = allowances();
        let line = allowances.line;
        let ask = |allowances: &mut Allowances<u32>, peer, now| match allowances.ask(
            peer,
            Familiarity::Friend,
            FULL_FETCH,
            now,
        ) {
            Admission::Answer(_) => None,
            Admission::Wait { wait, .. } => Some(wait),
        };
        allowances.all.spend(line, LINE_BYTES, at(0));
        let first = ask(&mut allowances, 1, at(0)).expect("the line is used up");
        let second = ask(&mut allowances, 2, at(0)).expect("and there is one before it");
        assert!(second > first);
        // Others use the line up meanwhile.
        let then = at(0).plus(first + late);
        allowances.all.spend(line, LINE_BYTES, then);
        assert_eq!(ask(&mut allowances, 1, then).is_none(), is_answered, "{late:?}");
    }
}

#[test]
fn small_questions_are_answered_while_there_is_anything_left() {
    let asked = Asked::new(&Question::Peers, Budget::DIRECT);
    assert_eq!(asked.most, ALLOWANCE_SMALL_REPLY as u64);
    let mut allowances = allowances();
    let most = ANSWERED_BYTES.0 / ALLOWANCE_SMALL_REPLY as u64;
    let rates = Rates::of(Familiarity::Stranger);
    allowances.peers.insert(1, Allowance::full(at(0)));
    let one = allowances.peers.get_mut(&1).expect("it is there");
    (0..most).for_each(|_| one.bytes.spend(rates.bytes, asked.most, at(0)));
    assert!(matches!(allowances.ask(1, Familiarity::Stranger, asked, at(0)), Admission::Wait { .. }));
}

#[test]
fn the_memory_of_who_has_asked_is_bounded() {
    let mut allowances = allowances();
    for peer in 0..REMEMBERED_PEERS as u32 * 2 {
        let _ = allowances.ask(peer, Familiarity::Stranger, SMALL, at(peer.into()));
        assert!(allowances.peers.len() <= REMEMBERED_PEERS);
    }
}

proptest! {
    /// Whatever is asked when, nobody has more than its bucket gives, and who waits as told is never impatient.
    #[test]
    fn nobody_draws_more_than_its_allowance(
        asked in prop::collection::vec((0_u64..5_000, 0_u64..300_000, any::<bool>()), 1..300),
    ) {
        let mut allowances = allowances();
        let (mut now, mut drawn) = (at(0), 0);
        for (wait, most, is_reconciling) in asked {
            now = now.plus(Duration::from_millis(wait));
            let asked = Asked { bytes: 30, most, is_reconciling };
            match allowances.ask(1, Familiarity::Stranger, asked, now) {
                Admission::Answer(granted) => {
                    drawn += most;
                    allowances.answered(&1, granted, most, Duration::ZERO, now);
                }
                Admission::Wait { wait, .. } => now = now.plus(wait),
            }
            let most = ANSWERED_BYTES.0 + ANSWERED_BYTES_PER_SECOND.0 * now.since(at(0)).as_secs() + (128 << 10);
            prop_assert!(drawn <= most);
        }
    }
}
