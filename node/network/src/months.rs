//! Count and fingerprint of the records of each month: what two nodes compare first.

use std::collections::BTreeMap;

use propagule_protocol::Month;
use propagule_protocol::RecordId;
use sha2::{Digest, Sha256};

/// One month of a set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct MonthRow {
    /// Signed month.
    pub month: Month,
    /// Records in it.
    pub count: u32,
    /// First 16 bytes of SHA-256 over the sum of the ids modulo 2^256 and their count.
    pub fingerprint: [u8; 16],
}

/// Sums of the ids of each month, kept up as records come and go.
#[derive(Clone, Debug, Default)]
pub struct MonthSums {
    sums: BTreeMap<Month, (u32, [u8; 32])>,
}

impl MonthSums {
    /// The sums of rows of an index: month, how many, and the sum of their ids.
    pub fn from_rows(rows: impl IntoIterator<Item = (Month, u32, [u8; 32])>) -> Self {
        Self { sums: rows.into_iter().map(|(month, count, sum)| (month, (count, sum))).collect() }
    }

    /// Counts `id` in and returns the month's new value for the index.
    pub fn add(&mut self, month: Month, id: &RecordId) -> Vec<u8> {
        let (count, sum) = self.sums.entry(month).or_insert((0, [0; 32]));
        *count += 1;
        add_bytes(sum, &id.0);
        value(*count, sum)
    }

    /// Counts `id` out and returns the month's new value for the index.
    pub fn take(&mut self, month: Month, id: &RecordId) -> Vec<u8> {
        let (count, sum) = self.sums.entry(month).or_insert((0, [0; 32]));
        *count = count.saturating_sub(1);
        add_bytes(sum, &negated(&id.0));
        value(*count, sum)
    }

    /// The rows that go over the wire, oldest first.
    pub fn rows(&self) -> Vec<MonthRow> {
        self.sums.keys().filter_map(|month| self.row(*month)).collect()
    }

    /// The row of one month, if there are records of it.
    pub fn row(&self, month: Month) -> Option<MonthRow> {
        let (count, sum) = self.sums.get(&month).filter(|(count, _)| *count > 0)?;
        Some(MonthRow { month, count: *count, fingerprint: fingerprint(*count, sum) })
    }

    /// Records of all months.
    pub fn total(&self) -> u64 {
        self.sums.values().map(|(count, _)| u64::from(*count)).sum()
    }
}

/// Count and fingerprint of some ids, as of a month.
pub fn sum_of(month: Month, ids: &[RecordId]) -> Option<MonthRow> {
    let mut sums = MonthSums::default();
    for id in ids {
        sums.add(month, id);
    }
    sums.row(month)
}

fn value(count: u32, sum: &[u8; 32]) -> Vec<u8> {
    [&count.to_be_bytes()[..], sum].concat()
}

fn fingerprint(count: u32, sum: &[u8; 32]) -> [u8; 16] {
    let digest = Sha256::new().chain_update(sum).chain_update(count.to_be_bytes()).finalize();
    digest[..16].try_into().expect("a SHA-256 digest has 32 bytes")
}

/// Adds a big-endian number modulo 2^256.
fn add_bytes(sum: &mut [u8; 32], term: &[u8; 32]) {
    let mut carry = 0_u16;
    for (digit, other) in sum.iter_mut().zip(term).rev() {
        let total = u16::from(*digit) + u16::from(*other) + carry;
        *digit = (total & 0xFF) as u8;
        carry = total >> 8;
    }
}

/// Two's complement.
fn negated(term: &[u8; 32]) -> [u8; 32] {
    let mut out = term.map(|digit| !digit);
    let mut one = [0; 32];
    one[31] = 1;
    add_bytes(&mut out, &one);
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn order_and_detours_do_not_matter(ids in prop::collection::vec(any::<[u8; 32]>(), 1..20), extra: [u8; 32]) {
            let month = Month(1500);
            let mut forward = MonthSums::default();
            let mut backward = MonthSums::default();
            for id in &ids {
                forward.add(month, &RecordId(*id));
            }
            backward.add(month, &RecordId(extra));
            for id in ids.iter().rev() {
                backward.add(month, &RecordId(*id));
            }
            prop_assert_ne!(forward.rows(), backward.rows());
            backward.take(month, &RecordId(extra));
            prop_assert_eq!(forward.rows(), backward.rows());
        }
    }

    #[test]
    fn an_emptied_month_has_no_row() {
        let mut sums = MonthSums::default();
        sums.add(Month(1), &RecordId([9; 32]));
        sums.take(Month(1), &RecordId([9; 32]));
        assert_eq!(sums.rows(), []);
    }
}
