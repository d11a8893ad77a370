//! Homes that keep part of the strangers agree exactly about what both keep, and hear of growers that they know.

use std::collections::BTreeSet;

use super::*;
use crate::admission::{Admittance, author_hash};
use crate::fixtures::{key, network, record};
use crate::intake::{Gate, Verdict, Way};
use crate::limits::{CACHED_RANGES, HEADS, LANE_IDS};
use crate::spread::SeededDice;
use crate::store::Memory;
use crate::timing::Timing;
use propagule_files::clock::Clock;

struct Home {
    gate: Gate,
    store: Memory,
    answerer: Answerer,
}

impl Home {
    fn of(quota: u64) -> Self {
        let clock = Clock::Fixed("2026-10-15T12:00:00Z".parse().expect("a timestamp"));
        let gate = Gate::new(network(), clock, Admittance::in_memory(Timing::home().known_after));
        Self { gate, store: Memory::new(quota), answerer: Answerer::new(network()) }
    }

    fn knowing(quota: u64, known: &[u8]) -> Self {
        let home = Self::of(quota);
        let keys: Vec<_> = known.iter().map(|author| key(*author).author()).collect();
        home.gate.admission().take_as_known(&keys).expect("memory does not fail");
        home
    }

    fn take(&self, records: &[Vec<u8>]) -> Vec<Verdict> {
        self.gate.take(&self.store, records, Way::Exchange).expect("memory does not fail")
    }

    fn range(&self) -> AuthorRange {
        self.gate.admission().range()
    }

    /// What it holds in a range.
    fn held(&self, range: AuthorRange) -> BTreeSet<RecordId> {
        let months = self.store.months();
        let within =
            |row: &MonthRow| self.store.ids_in_month_within(row.month, range).expect("memory does not fail");
        months.iter().flat_map(within).collect()
    }

    fn holds(&self, bytes: &[u8]) -> bool {
        let id = propagule_protocol::id_of(bytes, &network()).expect("a record");
        self.store.knows(&id).expect("memory does not fail")
    }
}

/// Pulls once; answers of `asked` go through `heard` first.
fn pull_with(asking: &Home, asked: &Home, heard: impl Fn(&Question, Reply) -> Reply) -> Outcome {
    let (range, known) = asking.gate.asks_for(&mut SeededDice(7)).expect("memory does not fail");
    let (pull, first) = Pull::start_within(network(), Budget::DIRECT, range, known);
    let (mut pull, mut step) = (pull.leaving(asking.gate.left_today()), Step::Ask(first));
    asked.answerer.keep_to(asked.range());
    loop {
        step = match step {
            Step::Ask(question) => {
                let wire = Question::decode(&question.encode()).expect("it survives the wire");
                let reply = asked.answerer.reply(&wire, &asked.store, Budget::DIRECT);
                pull.answer(heard(&question, reply), &asking.store)
            }
            Step::Take(records) => {
                let verdicts = asking.take(&records);
                let receipts = verdicts.iter().map(|verdict| match verdict {
                    Verdict::New(_) | Verdict::Known(_) | Verdict::Aside(_) => Receipt::Kept,
                    Verdict::Delayed | Verdict::Dropped => Receipt::Left,
                    Verdict::Refused(_) => Receipt::Failed,
                });
                pull.taken(&receipts.collect::<Vec<_>>(), &asking.store)
            }
            Step::Done(outcome) => return outcome,
        }
        .expect("memory does not fail");
    }
}

fn pull(asking: &Home, asked: &Home) -> Outcome {
    pull_with(asking, asked, |_, reply| reply)
}

fn flood(authors: std::ops::RangeInclusive<u8>) -> Vec<Vec<u8>> {
    authors.map(|author| record(author, 1, 0, 3).bytes).collect()
}

/// Homes that were flooded with the same strangers, and know two growers each, of whom each holds what the other lacks.
fn flooded() -> [Home; 2] {
    let homes = [Home::knowing(30_000, &[1, 2]), Home::knowing(30_000, &[1, 2])];
    homes[0].take(&[record(1, 7, 0, 3).bytes]);
    homes[1].take(&[record(2, 8, 0, 3).bytes]);
    for home in &homes {
        for part in flood(10..=250).chunks(8) {
            home.take(part);
        }
        assert!(home.range().bits() > 0, "there is no room for all");
    }
    homes
}

#[test]
fn after_a_pull_each_way_both_hold_the_same_where_they_meet_and_list_nothing_again() {
    let [a, b] = flooded();
    let outcomes = [pull(&a, &b), pull(&b, &a)];
    assert!(outcomes.iter().all(|outcome| outcome.is_complete && outcome.offence.is_none()), "{outcomes:?}");
    if let Some(common) = a.range().meet(b.range()) {
        assert_eq!(a.held(common), b.held(common));
    }
    let again = [pull(&a, &b), pull(&b, &a)];
    assert!(again.iter().all(|outcome| (outcome.wanted, outcome.left) == (0, 0)), "{again:?}");
}

#[test]
fn growers_that_a_home_knows_reach_it_wherever_their_hash_lies() {
    let [a, b] = flooded();
    pull(&a, &b);
    pull(&b, &a);
    for home in [&a, &b] {
        assert!(
            [(1, 7), (2, 8)].iter().all(|(author, series)| home.holds(&record(*author, *series, 0, 3).bytes))
        );
    }
}

#[test]
fn a_peer_that_says_nothing_of_ranges_is_pulled_from_as_before() {
    let (narrow, old) = (Home::knowing(30_000, &[1]), Home::of(1 << 20));
    for part in flood(10..=250).chunks(8) {
        narrow.take(part);
    }
    old.take(&[record(1, 7, 0, 3).bytes]);
    let first_version = |question: &Question, reply: Reply| match question {
        Question::MonthsWithin(network, _) => {
            old.answerer.reply(&Question::Months(*network), &old.store, Budget::DIRECT)
        }
        Question::Heads(_) | Question::OfAuthor(..) | Question::ReconcileWithin(..) => {
            panic!("a node of the first version does not know {question:?}")
        }
        _ => reply,
    };
    let outcome = pull_with(&narrow, &old, first_version);
    assert!(outcome.is_complete && narrow.holds(&record(1, 7, 0, 3).bytes), "{outcome:?}");
}

#[test]
fn a_question_of_the_first_version_is_answered_with_all_that_is_held() {
    let [home, _] = flooded();
    home.answerer.keep_to(home.range());
    let reply = home.answerer.reply(&Question::Months(network()), &home.store, Budget::DIRECT);
    assert_eq!(reply, Reply::Months(home.store.months()));
}

#[test]
fn ids_of_an_author_that_do_not_rise_end_the_session() {
    let (asking, asked) = (Home::knowing(1 << 20, &[1]), Home::of(1 << 20));
    asked.take(&[record(1, 7, 0, 3).bytes]);
    let nowhere = AuthorRange::new(16, (author_hash(&key(1).author()) >> 48) as u16 ^ 1).expect("a range");
    let lies = |question: &Question, reply: Reply| match question {
        Question::MonthsWithin(..) => Reply::MonthsWithin(Vec::new(), nowhere),
        Question::OfAuthor(..) => Reply::OfAuthor(vec![RecordId([9; 32]), RecordId([3; 32])]),
        _ => reply,
    };
    let outcome = pull_with(&asking, &asked, lies);
    assert!(outcome.is_peer_at_fault(), "{outcome:?}");
}

#[test]
fn more_authors_at_once_than_the_limit_are_no_question() {
    let all = |many| Question::Heads(vec![key(1).author(); many]).encode();
    assert!(Question::decode(&all(HEADS)).is_ok());
    assert_eq!(Question::decode(&all(HEADS + 1)), Err(NotAMessage));
}

#[test]
fn the_ids_of_an_author_come_in_parts_and_more_than_a_part_ends_the_session() {
    let (asking, asked) = (Home::knowing(1 << 20, &[1]), Home::of(1 << 20));
    asked.take(&[record(1, 7, 0, 3).bytes]);
    let nowhere = AuthorRange::new(16, (author_hash(&key(1).author()) >> 48) as u16 ^ 1).expect("a range");
    let id = |number: usize| {
        let mut id = [0; 32];
        id[..8].copy_from_slice(&(number as u64).to_be_bytes());
        RecordId(id)
    };
    let told = |many: usize| {
        move |question: &Question, reply: Reply| match question {
            Question::MonthsWithin(..) => Reply::MonthsWithin(Vec::new(), nowhere),
            Question::OfAuthor(_, None) => Reply::OfAuthor((1..=many).map(id).collect()),
            Question::OfAuthor(..) => Reply::OfAuthor(Vec::new()),
            Question::Fetch(_) => Reply::Records(Vec::new()),
            _ => reply,
        }
    };
    let outcome = pull_with(&asking, &asked, told(LANE_IDS));
    assert_eq!((outcome.wanted, outcome.is_peer_at_fault()), (LANE_IDS, false));
    let outcome = pull_with(&asking, &asked, told(LANE_IDS + 1));
    assert!(outcome.is_peer_at_fault() && outcome.wanted == 0, "{outcome:?}");
}

#[test]
fn months_of_a_few_ranges_are_kept_at_hand() {
    let home = Home::of(1 << 20);
    home.take(&flood(10..=40));
    for bits in 0..=15_u16 {
        let range = AuthorRange::new(16, bits).expect("a range");
        home.answerer.reply(&Question::MonthsWithin(network(), range), &home.store, Budget::DIRECT);
    }
    assert_eq!(home.answerer.ranges_at_hand(), CACHED_RANGES);
}
