//! What it costs to come back: reconciliation messages between two large sets that differ in their newest months.
//!
//! `cargo run --release -p propagule-tests --bin rejoin -- --held 1000000 --missing 1000`
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use std::collections::{BTreeMap, HashMap};
use std::time::Instant;

use anyhow::ensure;
use propagule_files::journal::StoreError;
use propagule_network::spread::{Dice, SeededDice};
use propagule_network::store::{MonthRow, MonthSums};
use propagule_network::sync::{Answerer, Budget, LocalSet, Outcome, Pull, Question, Receipt, Reply, Step};
use propagule_protocol::{Month, NetworkId, RecordId};
use propagule_tests::argument;

const NETWORK: NetworkId = NetworkId([5; 32]);
/// Months over which the records are spread; what is missing stands in the two newest.
const MONTHS: u64 = 60;
const NEWEST: u16 = 1_521;
const BARS: (usize, u32) = (700_000, 16);

/// A set whose record bytes are the id.
#[derive(Default)]
struct Set {
    months: HashMap<RecordId, Month>,
    by_month: BTreeMap<Month, Vec<RecordId>>,
    sums: MonthSums,
}

impl Set {
    fn put(&mut self, id: RecordId, month: Month) {
        if self.months.insert(id, month).is_none() {
            self.by_month.entry(month).or_default().push(id);
            self.sums.add(month, &id);
        }
    }
}

impl LocalSet for Set {
    fn months(&self) -> Vec<MonthRow> {
        self.sums.rows()
    }

    fn ids_in_month(&self, month: Month) -> Result<Vec<RecordId>, StoreError> {
        Ok(self.by_month.get(&month).cloned().unwrap_or_default())
    }

    fn knows(&self, id: &RecordId) -> Result<bool, StoreError> {
        Ok(self.months.contains_key(id))
    }

    fn bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(self.months.contains_key(id).then(|| id.0.to_vec()))
    }

    fn id_of(&self, bytes: &[u8], _: &NetworkId) -> Option<RecordId> {
        RecordId::from_bytes(bytes)
    }
}

/// Messages and bytes that went over the wire, bodies apart.
#[derive(Default)]
struct Wire {
    bytes: usize,
    round_trips: u32,
    fetches: u32,
}

fn main() -> anyhow::Result<()> {
    let (held, missing) = (argument("--held", 1_000_000)?, argument("--missing", 1_000)?);
    let (mut ours, theirs) = sets(held, missing, argument("--seed", 1)?);
    let begun = Instant::now();
    let mut wire = Wire::default();
    let outcome = session(&mut ours, &theirs, &mut wire);
    let seconds = begun.elapsed().as_secs_f64();
    let equal = ours.months() == theirs.months();
    println!(
        "rejoin: {held} held, {missing} missing: {} bytes of reconciliation (bar {}), {} round trips (bar {}), {} fetches, \
         {} records came, {seconds:.2} s",
        wire.bytes, BARS.0, wire.round_trips, BARS.1, wire.fetches, outcome.came
    );
    ensure!(equal && outcome.is_complete && outcome.came as u64 == missing, "the sets differ: {outcome:?}");
    ensure!(wire.bytes <= BARS.0 && wire.round_trips <= BARS.1, "short of the bar");
    Ok(())
}

fn sets(held: u64, missing: u64, seed: u64) -> (Set, Set) {
    let mut dice = SeededDice(seed);
    let (mut ours, mut theirs) = (Set::default(), Set::default());
    for number in 0..held {
        let mut id = [0; 32];
        id.chunks_exact_mut(8).for_each(|part| part.copy_from_slice(&dice.roll().to_be_bytes()));
        let is_missing = number < missing;
        let age = if is_missing { number % 2 } else { number % MONTHS } as u16;
        theirs.put(RecordId(id), Month(NEWEST - age));
        if !is_missing {
            ours.put(RecordId(id), Month(NEWEST - age));
        }
    }
    (ours, theirs)
}

fn session(ours: &mut Set, theirs: &Set, wire: &mut Wire) -> Outcome {
    let answerer = Answerer::new(NETWORK);
    let (mut pull, first) = Pull::start(NETWORK, Budget::DIRECT);
    let mut step = Step::Ask(first);
    loop {
        step = match step {
            Step::Ask(question) => {
                let reply = over_the_wire(&question, &answerer, theirs, wire);
                pull.answer(reply, ours).expect("memory does not fail")
            }
            Step::Take(bodies) => {
                for body in &bodies {
                    let id = RecordId::from_bytes(body).expect("a body is an id");
                    let month = theirs.months[&id];
                    ours.put(id, month);
                }
                pull.taken(&vec![Receipt::Kept; bodies.len()], ours).expect("memory does not fail")
            }
            Step::Done(outcome) => return outcome,
        };
    }
}

/// Encodes and decodes both ways, as the shell does, and counts.
fn over_the_wire(question: &Question, answerer: &Answerer, theirs: &Set, wire: &mut Wire) -> Reply {
    let sent = question.encode();
    let question = Question::decode(&sent).expect("own messages are messages");
    let back = answerer.reply(&question, theirs, Budget::DIRECT).encode();
    if matches!(question, Question::Fetch(_)) {
        wire.fetches += 1;
    } else {
        wire.bytes += sent.len() + back.len();
        wire.round_trips += 1;
    }
    Reply::decode(&back).expect("own messages are messages")
}
