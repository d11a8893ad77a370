//! All records of a simulation, and which of them a node has.

use std::cell::OnceCell;
use std::collections::{BTreeMap, HashMap};
use std::hash::{BuildHasherDefault, Hasher};

use propagule_files::journal::StoreError;
use propagule_network::spread::{Dice, SeededDice};
use propagule_network::store::{MonthRow, MonthSums};
use propagule_network::sync::LocalSet;
use propagule_protocol::{Month, NetworkId, RecordId};

/// Number of a record.
pub(super) type Number = u32;

/// One record.
#[derive(Clone, Copy, Debug)]
pub(super) struct Record {
    pub(super) id: RecordId,
    pub(super) month: Month,
    pub(super) author: u32,
}

/// Hash of a key that is random already: its last eight bytes.
#[derive(Debug, Default)]
struct RandomKey(u64);

impl Hasher for RandomKey {
    fn write(&mut self, bytes: &[u8]) {
        if let Some(last) = bytes.last_chunk() {
            self.0 = u64::from_be_bytes(*last);
        }
    }

    fn write_usize(&mut self, _length: usize) {}

    fn finish(&self) -> u64 {
        self.0
    }
}

/// Every record that has been published.
#[derive(Debug, Default)]
pub(super) struct Records {
    all: Vec<Record>,
    numbers: HashMap<RecordId, Number, BuildHasherDefault<RandomKey>>,
    by_month: BTreeMap<Month, Vec<(RecordId, Number)>>,
}

impl Records {
    pub(super) fn publish(&mut self, author: u32, month: Month, dice: &mut SeededDice) -> Number {
        let number = self.all.len() as Number;
        let id = random_id(dice);
        self.all.push(Record { id, month, author });
        self.numbers.insert(id, number);
        // In the order of ids, as a node's index has them: sorted once here, not in every session.
        let of_month = self.by_month.entry(month).or_default();
        let at = of_month.partition_point(|(other, _)| *other < id);
        of_month.insert(at, (id, number));
        number
    }

    pub(super) fn get(&self, number: Number) -> Option<&Record> {
        self.all.get(number as usize)
    }

    pub(super) fn number(&self, id: &RecordId) -> Option<Number> {
        self.numbers.get(id).copied()
    }

    pub(super) fn len(&self) -> usize {
        self.all.len()
    }
}

pub(super) fn random_id(dice: &mut SeededDice) -> RecordId {
    let mut id = [0; 32];
    id.chunks_exact_mut(8).for_each(|part| part.copy_from_slice(&dice.roll().to_be_bytes()));
    RecordId(id)
}

/// The bytes of a record: its number.
pub(super) fn bytes_of(number: Number) -> Vec<u8> {
    number.to_be_bytes().to_vec()
}

pub(super) fn number_in(bytes: &[u8]) -> Option<Number> {
    bytes.try_into().ok().map(Number::from_be_bytes)
}

/// A set of record numbers.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Bits(Vec<u64>);

impl Bits {
    pub(super) fn has(&self, number: Number) -> bool {
        self.0.get(number as usize / 64).is_some_and(|word| word >> (number % 64) & 1 == 1)
    }

    /// Puts a number in, and says whether it was not there.
    pub(super) fn put(&mut self, number: Number) -> bool {
        let word = number as usize / 64;
        if self.0.len() <= word {
            self.0.resize(word + 1, 0);
        }
        let is_new = !self.has(number);
        self.0[word] |= 1 << (number % 64);
        is_new
    }

    /// Numbers of `other` that are not here.
    pub(super) fn lacks(&self, other: &Self) -> u32 {
        let own = self.0.iter().copied().chain(std::iter::repeat(0));
        other.0.iter().zip(own).map(|(theirs, own)| (theirs & !own).count_ones()).sum()
    }

    pub(super) fn count(&self) -> u32 {
        self.0.iter().map(|word| word.count_ones()).sum()
    }
}

/// What one node has.
#[derive(Debug, Default)]
pub(super) struct Set {
    /// In the set, aside, or hidden.
    pub(super) known: Bits,
    /// In the set.
    pub(super) visible: Bits,
    sums: MonthSums,
    rows: OnceCell<Vec<MonthRow>>,
}

impl Set {
    pub(super) fn show(&mut self, number: Number, record: &Record) {
        self.known.put(number);
        if self.visible.put(number) {
            self.sums.add(record.month, &record.id);
            self.rows.take();
        }
    }

    fn rows(&self) -> &[MonthRow] {
        self.rows.get_or_init(|| self.sums.rows())
    }
}

/// A node's set as sessions see it.
pub(super) struct View<'a> {
    pub(super) set: &'a Set,
    pub(super) records: &'a Records,
}

impl LocalSet for View<'_> {
    fn months(&self) -> Vec<MonthRow> {
        self.set.rows().to_vec()
    }

    fn month(&self, month: Month) -> Option<MonthRow> {
        self.set.rows().iter().find(|row| row.month == month).copied()
    }

    fn ids_in_month(&self, month: Month) -> Result<Vec<RecordId>, StoreError> {
        let of_month = self.records.by_month.get(&month).into_iter().flatten();
        let here = of_month.filter(|(_, number)| self.set.visible.has(*number));
        Ok(here.map(|(id, _)| *id).collect())
    }

    fn knows(&self, id: &RecordId) -> Result<bool, StoreError> {
        Ok(self.records.number(id).is_some_and(|number| self.set.known.has(number)))
    }

    fn bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        let number = self.records.number(id).filter(|number| self.set.visible.has(*number));
        Ok(number.map(bytes_of))
    }

    fn id_of(&self, bytes: &[u8], _: &NetworkId) -> Option<RecordId> {
        Some(self.records.get(number_in(bytes)?)?.id)
    }
}
