//! Sessions between sets in memory, with honest and lying peers.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use sha2::{Digest, Sha256};

use super::super::{Answerer, Budget, Decline};
use super::*;
use crate::limits::{
    FETCH_IDS, FETCH_REPLY_BYTES, FRAME_BYTES, RELAYED_FRAME_BYTES, RELAYED_REPLY_BYTES,
    RELAYED_SESSION_BYTES,
};

const NETWORK: NetworkId = NetworkId([5; 32]);

/// A set in memory whose record bytes are any bytes, with their SHA-256 as id.
#[derive(Clone, Debug, Default)]
struct Memory {
    records: BTreeMap<RecordId, (Month, Vec<u8>)>,
}

impl Memory {
    fn put(&mut self, month: u16, number: u32) {
        let bytes = [&month.to_be_bytes()[..], &number.to_be_bytes()].concat();
        self.take(&bytes);
    }

    fn take(&mut self, bytes: &[u8]) -> RecordId {
        let month = Month(u16::from_be_bytes([bytes[0], bytes[1]]));
        let id = RecordId(Sha256::digest(bytes).into());
        self.records.insert(id, (month, bytes.to_vec()));
        id
    }

    fn ids(&self) -> BTreeSet<RecordId> {
        self.records.keys().copied().collect()
    }
}

impl LocalSet for Memory {
    fn months(&self) -> Vec<MonthRow> {
        let mut sums = crate::store::MonthSums::default();
        for (id, (month, _)) in &self.records {
            sums.add(*month, id);
        }
        sums.rows()
    }

    fn ids_in_month(&self, month: Month) -> Result<Vec<RecordId>, StoreError> {
        Ok(self.records.iter().filter(|(_, (other, _))| *other == month).map(|(id, _)| *id).collect())
    }

    fn knows(&self, id: &RecordId) -> Result<bool, StoreError> {
        Ok(self.records.contains_key(id))
    }

    fn bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(self.records.get(id).map(|(_, bytes)| bytes.clone()))
    }

    fn id_of(&self, bytes: &[u8], _: &NetworkId) -> Option<RecordId> {
        (bytes.len() > 2).then(|| RecordId(Sha256::digest(bytes).into()))
    }
}

/// Runs a session of `ours` against whatever `peer` answers.
fn session(ours: &mut Memory, peer: impl FnMut(&Question) -> Reply) -> Outcome {
    session_within(ours, Budget::DIRECT, peer)
}

fn session_within(ours: &mut Memory, budget: Budget, mut peer: impl FnMut(&Question) -> Reply) -> Outcome {
    let (mut pull, first) = Pull::start(NETWORK, budget);
    let mut step = Step::Ask(first);
    loop {
        step = match step {
            Step::Ask(question) => pull.answer(peer(&question), ours).expect("memory does not fail"),
            Step::Take(records) => {
                for bytes in &records {
                    ours.take(bytes);
                }
                pull.taken(&vec![Receipt::Kept; records.len()], ours).expect("memory does not fail")
            }
            Step::Done(outcome) => return outcome,
        };
    }
}

fn pull_from(ours: &mut Memory, theirs: &Memory) -> Outcome {
    let answerer = Answerer::new(NETWORK);
    session(ours, |question| answerer.reply(question, theirs, Budget::DIRECT))
}

#[test]
fn over_a_relay_every_session_keeps_to_its_bytes_and_the_next_goes_on() {
    let (mut ours, mut theirs) = (Memory::default(), Memory::default());
    (0..20_000).for_each(|number| theirs.put(1_500, number));
    (0..10_000).for_each(|number| ours.put(1_500, number));
    let answerer = Answerer::new(NETWORK);
    let mut sessions = 0;
    loop {
        let (before, mut moved) = (ours.ids().len(), 0);
        let outcome = session_within(&mut ours, Budget::RELAYED, |question| {
            let reply = answerer.reply(question, &theirs, Budget::RELAYED);
            moved += question.encode().len() + reply.encode().len();
            reply
        });
        sessions += 1;
        let one_more = RELAYED_FRAME_BYTES.max(RELAYED_REPLY_BYTES) * 2;
        assert!(moved <= RELAYED_SESSION_BYTES + one_more, "{moved} bytes in session {sessions}");
        assert!(!outcome.is_peer_at_fault(), "{outcome:?}");
        if outcome.is_complete {
            break;
        }
        assert!(ours.ids().len() > before, "session {sessions} brought nothing");
    }
    assert!(sessions > 10 && ours.ids() == theirs.ids(), "{sessions}");
}

#[test]
fn a_node_that_was_away_gets_everything_and_pushes_nothing() {
    let (mut ours, mut theirs) = (Memory::default(), Memory::default());
    for number in 0..3_000 {
        theirs.put(1_500 + (number % 4) as u16, number);
    }
    for number in 2_000..5_000 {
        ours.put(1_500 + (number % 4) as u16, number);
    }
    let before = theirs.ids();
    let outcome = pull_from(&mut ours, &theirs);
    assert!(outcome.is_complete && !outcome.is_peer_at_fault(), "{outcome:?}");
    assert_eq!((outcome.wanted, outcome.came, outcome.missing), (2_000, 2_000, 0));
    assert!(ours.ids().is_superset(&before));
    assert_eq!(theirs.ids(), before);
}

#[test]
fn equal_sets_cost_one_question() {
    let mut ours = Memory::default();
    for number in 0..100 {
        ours.put(1_500, number);
    }
    let theirs = ours.clone();
    let outcome = pull_from(&mut ours, &theirs);
    assert_eq!(outcome, Outcome { is_complete: true, ..Outcome::default() });
}

#[test]
fn the_newest_month_is_reconciled_first() {
    let mut theirs = Memory::default();
    for month in [10, 30, 20] {
        theirs.put(month, 0);
    }
    let answerer = Answerer::new(NETWORK);
    let mut asked = Vec::new();
    session(&mut Memory::default(), |question| {
        if let Question::Reconcile(month, _) = question {
            asked.push(month.0);
        }
        answerer.reply(question, &theirs, Budget::DIRECT)
    });
    assert_eq!(asked, [30, 20, 10]);
}

#[test]
fn a_peer_of_another_network_is_left_alone() {
    let answerer = Answerer::new(NetworkId([6; 32]));
    let mut theirs = Memory::default();
    theirs.put(1_500, 1);
    let outcome =
        session(&mut Memory::default(), |question| answerer.reply(question, &theirs, Budget::DIRECT));
    assert_eq!(outcome, Outcome::default());
}

/// A peer with 600 records, and how a session with it ends in which it answers fetches otherwise.
fn fetching(mut fetched: impl FnMut(&[RecordId], &Memory) -> Reply) -> (Memory, Outcome) {
    let (mut ours, mut theirs) = (Memory::default(), Memory::default());
    (0..600).for_each(|number| theirs.put(1_500, number));
    let answerer = Answerer::new(NETWORK);
    let outcome = session(&mut ours, |question| match question {
        Question::Fetch(ids) => fetched(ids, &theirs),
        other => answerer.reply(other, &theirs, Budget::DIRECT),
    });
    (ours, outcome)
}

#[test]
fn promised_records_that_never_come_are_dropped_counted_and_charged_each() {
    let (_, outcome) = fetching(|_, _| Reply::Records(Vec::new()));
    assert_eq!((outcome.wanted, outcome.came, outcome.missing), (600, 0, 600));
    assert!(!outcome.is_complete && !outcome.is_peer_at_fault());
    assert_eq!(outcome.offence, Some((Offence::Withheld, 600)));
}

/// Bytes that come back for the ids of a fetch.
type Fetched<'a> = dyn Fn(&[RecordId], &Memory) -> Vec<Vec<u8>> + 'a;

#[test]
fn a_record_that_was_not_asked_for_ends_the_session_before_anything_of_the_reply_is_taken_in() {
    let stranger = vec![0, 1, 99];
    let of = |theirs: &Memory, id: &RecordId| theirs.records[id].1.clone();
    let also_that = |ids: &[RecordId], theirs: &Memory| vec![of(theirs, &ids[0]), stranger.clone()];
    let twice = |ids: &[RecordId], theirs: &Memory| vec![of(theirs, &ids[0]); 2];
    let no_record = |_: &[RecordId], _: &Memory| vec![Vec::new()];
    for fetched in [&also_that as &Fetched<'_>, &twice, &no_record] {
        let (ours, outcome) = fetching(|ids, theirs| Reply::Records(fetched(ids, theirs)));
        assert_eq!(outcome.offence, Some((Offence::Unasked, 1)));
        assert!(ours.records.is_empty() && outcome.came == 0 && outcome.is_peer_at_fault());
    }
}

#[test]
fn a_reply_of_another_kind_is_the_peers_fault() {
    for reply in [Reply::Taken, Reply::Months(Vec::new()), Reply::Reconcile(vec![0x61])] {
        let (_, outcome) = fetching(|_, _| reply.clone());
        assert_eq!(outcome.offence, Some((Offence::Garbled, 1)));
    }
}

#[test]
fn whoever_is_asked_to_wait_does_and_nobody_is_to_blame() {
    let (_, outcome) = fetching(|_, _| Reply::Declined(Decline::OverBudget(90)));
    assert_eq!((outcome.again_after, outcome.offence, outcome.is_complete), (Some(90), None, false));
}

/// Pulls ten records of which the second fails, and gives what then is asked of the same peer.
#[test]
fn a_record_that_fails_ends_the_session_and_is_not_asked_of_that_peer_again() {
    let (ours, mut theirs) = (Memory::default(), Memory::default());
    (0..10).for_each(|number| theirs.put(1_500, number));
    let answerer = Answerer::new(NETWORK);
    let run = |pull: Pull, receipts: &dyn Fn(usize) -> Vec<Receipt>| {
        let (mut pull, mut step, mut asked) = (pull, Step::Ask(Question::Months(NETWORK)), Vec::new());
        loop {
            step = match step {
                Step::Ask(question) => {
                    if let Question::Fetch(ids) = &question {
                        asked.clone_from(ids);
                    }
                    pull.answer(answerer.reply(&question, &theirs, Budget::DIRECT), &ours)
                }
                Step::Take(records) => pull.taken(&receipts(records.len()), &ours),
                Step::Done(outcome) => return (outcome, asked, pull.failed().to_vec()),
            }
            .expect("memory does not fail");
        }
    };
    let second_fails = |count| {
        let mut receipts = vec![Receipt::Kept; count];
        receipts[1] = Receipt::Failed;
        receipts
    };
    let (outcome, asked, failed) = run(Pull::start(NETWORK, Budget::DIRECT).0, &second_fails);
    assert_eq!(outcome.offence, Some((Offence::Forged, 1)));
    assert_eq!((outcome.came, &failed[..]), (9, &asked[1..2]));
    let again = Pull::start(NETWORK, Budget::DIRECT).0.shunning(failed.iter().copied());
    let (outcome, asked, _) = run(again, &|count| vec![Receipt::Kept; count]);
    assert!(asked.len() == 9 && !asked.contains(&failed[0]));
    assert!(!outcome.is_complete && outcome.offence.is_none() && outcome.shunned == 1, "{outcome:?}");
}

#[test]
fn what_is_not_taken_in_is_nobodys_fault_and_is_not_asked_for_again() {
    let (ours, mut theirs) = (Memory::default(), Memory::default());
    (0..10).for_each(|number| theirs.put(1_500, number));
    let answerer = Answerer::new(NETWORK);
    let run = |mut pull: Pull| {
        let (mut step, mut asked) = (Step::Ask(Question::Months(NETWORK)), Vec::new());
        loop {
            step = match step {
                Step::Ask(question) => {
                    if let Question::Fetch(ids) = &question {
                        asked.extend(ids.iter().copied());
                    }
                    pull.answer(answerer.reply(&question, &theirs, Budget::DIRECT), &ours)
                }
                Step::Take(records) => pull.taken(&vec![Receipt::Left; records.len()], &ours),
                Step::Done(outcome) => return (outcome, asked),
            }
            .expect("memory does not fail");
        }
    };
    let (outcome, asked) = run(Pull::start(NETWORK, Budget::DIRECT).0);
    assert_eq!((outcome.left, outcome.missing, outcome.offence, asked.len()), (10, 0, None, 10));
    assert!(outcome.is_complete, "a home that is full backs off from nobody");
    let (outcome, again) = run(Pull::start(NETWORK, Budget::DIRECT).0.leaving(asked));
    assert_eq!((outcome.left, outcome.wanted, again.len()), (10, 0, 0));
    assert!(outcome.is_complete);
}

#[test]
fn a_peer_that_never_converges_is_given_up_within_the_budget() {
    let mut liar = Memory::default();
    let answerer = Answerer::new(NETWORK);
    let mut number = 0;
    let outcome = session(&mut Memory::default(), |question| {
        // A new set for every question, whose records cannot be had.
        number += 1;
        liar.records.clear();
        (0..500).for_each(|i| liar.put(1_500, number * 1_000 + i));
        match question {
            Question::Fetch(_) => Reply::Declined(Decline::Busy),
            other => answerer.reply(other, &liar, Budget::DIRECT),
        }
    });
    assert!(!outcome.is_complete);
    assert!(
        outcome.rounds <= ROUNDS && outcome.reconcile_bytes <= RECONCILE_BYTES + FRAME_BYTES,
        "{outcome:?}"
    );
}

#[test]
fn garbage_in_a_frame_is_the_peers_fault() {
    let outcome = session(&mut Memory::default(), |question| match question {
        Question::Months(_) => {
            Reply::Months(vec![MonthRow { month: Month(1), count: 1, fingerprint: [0; 16] }])
        }
        _ => Reply::Reconcile(vec![0xFF; 40]),
    });
    assert!(outcome.is_peer_at_fault());
}

#[test]
fn a_frame_over_the_limit_is_declined_and_a_reply_to_a_fetch_is_cut() {
    let answerer = Answerer::new(NETWORK);
    let mut theirs = Memory::default();
    let ids: Vec<RecordId> = (0..FETCH_IDS as u16)
        .map(|number| theirs.take(&[&number.to_be_bytes()[..], &[7; 4_000]].concat()))
        .collect();
    let long = Question::Reconcile(Month(1), vec![0x61; FRAME_BYTES + 1]);
    assert_eq!(answerer.reply(&long, &theirs, Budget::DIRECT), Reply::Declined(Decline::OverLimit));
    let Reply::Records(records) = answerer.reply(&Question::Fetch(ids), &theirs, Budget::DIRECT) else {
        panic!("records")
    };
    let bytes: usize = records.iter().map(Vec::len).sum();
    assert!(records.len() < FETCH_IDS && bytes <= FETCH_REPLY_BYTES && bytes > FETCH_REPLY_BYTES / 2);
}

#[test]
fn what_does_not_fit_into_a_reply_is_asked_for_again() {
    let (mut ours, mut theirs) = (Memory::default(), Memory::default());
    for number in 0..300_u16 {
        theirs.take(&[&[0, 1][..], &number.to_be_bytes(), &[7; 4_000]].concat());
    }
    let outcome = pull_from(&mut ours, &theirs);
    assert!(outcome.is_complete && outcome.came == 300 && outcome.missing == 0, "{outcome:?}");
}

#[test]
fn a_session_stops_at_its_budgets_and_the_next_ones_go_on() {
    let (mut ours, mut theirs) = (Memory::default(), Memory::default());
    let count = 8_000;
    (0..count).for_each(|number| theirs.put(1_500 + (number % 80) as u16, number));
    let (mut came, mut sessions) = (0, 0);
    loop {
        let outcome = pull_from(&mut ours, &theirs);
        (came, sessions) = (came + outcome.came, sessions + 1);
        assert!(outcome.rounds <= ROUNDS + 1 && !outcome.is_peer_at_fault() && sessions < 10, "{outcome:?}");
        if outcome.is_complete {
            break;
        }
    }
    assert!(sessions > 1 && came == count as usize, "{sessions} sessions, {came} came");
}

/// Every round of a session goes into one month here, and what it has shown to be missing must come all the same.
#[test]
fn a_month_that_is_larger_than_a_session_comes_in_several() {
    let (mut ours, mut theirs) = (Memory::default(), Memory::default());
    let count = ROUNDS * (FRAME_BYTES / 32) as u32 + 4_000;
    (0..count).for_each(|number| theirs.put(1_500, number));
    let first = pull_from(&mut ours, &theirs);
    let most = SESSION_RECORDS + FRAME_BYTES / 32;
    assert!((SESSION_RECORDS..most).contains(&first.came) && !first.is_complete, "{first:?}");
    let second = pull_from(&mut ours, &theirs);
    assert!(second.is_complete, "{second:?}");
    assert_eq!(ours.records.len(), count as usize);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn any_two_sets_agree_after_pulling_both_ways(
        left in prop::collection::btree_set((0_u16..4, 0_u32..400), 0..200),
        right in prop::collection::btree_set((0_u16..4, 0_u32..400), 0..200),
    ) {
        let (mut a, mut b) = (Memory::default(), Memory::default());
        for &(month, number) in &left {
            a.put(month, number);
        }
        for &(month, number) in &right {
            b.put(month, number);
        }
        pull_from(&mut a, &b);
        pull_from(&mut b, &a);
        prop_assert_eq!(a.ids(), b.ids());
    }
}
