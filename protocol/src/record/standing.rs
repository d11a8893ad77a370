//! Which records of a revoked key stand: the list that its owner gives in pages with the revocations.
//!
//! A thief can sign any month, but cannot enter a list that is closed. The keys are ignorable, so that a reader who does
//! not know them still goes by the month.

use ciborium::Value;
use sha2::{Digest, Sha256};

use super::Extensions;
use crate::id::RecordId;
use crate::limits::{STANDING_ENTRIES, STANDING_PAGES};

/// Key of the entries of a page.
const ENTRIES_KEY: u64 = 64;
/// Key of the hash of the whole list.
const HASH_KEY: u64 = 65;
/// Key of the page's number and of how many there are.
const PAGE_KEY: u64 = 66;
/// What the hash of a list begins with.
const TAG: &[u8] = b"propagule-standing/1";
/// Bytes of an id that name a record in a list.
const ENTRY: usize = 12;

/// How a list names a record: the first 12 bytes of its id.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StandingEntry(pub [u8; ENTRY]);

impl From<&RecordId> for StandingEntry {
    fn from(id: &RecordId) -> Self {
        Self(std::array::from_fn(|byte| id.0[byte]))
    }
}

/// One page of a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandingPage {
    /// Its entries, rising.
    pub entries: Vec<StandingEntry>,
    /// The hash of the entries of all pages.
    pub hash: [u8; 32],
    /// Its number, from 1.
    pub page: u8,
    /// How many there are, 64 at most.
    pub pages: u8,
}

impl StandingPage {
    /// The pages that name these records, one empty page where there are none; `None` where 64 pages are too few.
    pub fn of<'a>(ids: impl IntoIterator<Item = &'a RecordId>) -> Option<Vec<Self>> {
        let mut all: Vec<StandingEntry> = ids.into_iter().map(StandingEntry::from).collect();
        all.sort_unstable();
        all.dedup();
        let hash = hash_of(all.iter());
        let pages = all.len().div_ceil(STANDING_ENTRIES).max(1);
        if pages > STANDING_PAGES {
            return None;
        }
        let number = |page: usize| u8::try_from(page).expect("64 pages at most");
        let page = |page| Self {
            entries: all.iter().skip(page * STANDING_ENTRIES).take(STANDING_ENTRIES).copied().collect(),
            hash,
            page: number(page + 1),
            pages: number(pages),
        };
        Some((0..pages).map(page).collect())
    }

    /// The page in a revocation; none where it gives none, or not as it should.
    pub fn read(extensions: &Extensions) -> Option<Self> {
        let entries: Vec<StandingEntry> = array(extensions, ENTRIES_KEY)?
            .iter()
            .map(|entry| {
                entry.as_bytes().and_then(|bytes| bytes.as_slice().try_into().ok()).map(StandingEntry)
            })
            .collect::<Option<_>>()?;
        let hash = extensions.get(&HASH_KEY)?.as_bytes()?.as_slice().try_into().ok()?;
        let [page, pages] = array(extensions, PAGE_KEY)?.as_slice() else { return None };
        let number = |value: &Value| u8::try_from(u64::try_from(value.as_integer()?).ok()?).ok();
        let (page, pages) = (number(page)?, number(pages)?);
        let is_page = (1..=pages).contains(&page) && usize::from(pages) <= STANDING_PAGES;
        let is_list = entries.len() <= STANDING_ENTRIES && entries.is_sorted_by(|a, b| a < b);
        (is_page && is_list).then_some(Self { entries, hash, page, pages })
    }

    /// The page as a revocation carries it.
    pub fn written(&self) -> Extensions {
        let entries = self.entries.iter().map(|entry| Value::Bytes(entry.0.to_vec())).collect();
        Extensions::from([
            (ENTRIES_KEY, Value::Array(entries)),
            (HASH_KEY, Value::Bytes(self.hash.to_vec())),
            (PAGE_KEY, Value::Array(vec![self.page.into(), self.pages.into()])),
        ])
    }
}

fn array(extensions: &Extensions, key: u64) -> Option<&Vec<Value>> {
    extensions.get(&key)?.as_array()
}

/// The hash of the entries of all pages, rising.
pub fn hash_of<'a>(entries: impl IntoIterator<Item = &'a StandingEntry>) -> [u8; 32] {
    let mut hash = Sha256::new();
    hash.update(TAG);
    for entry in entries {
        hash.update(entry.0);
    }
    hash.finalize().into()
}

#[cfg(test)]
mod tests {
    use proptest::collection::btree_set;
    use proptest::prelude::*;

    use super::*;

    /// Worked value of the network's second design, §7.
    #[test]
    fn the_hash_of_two_entries_is_the_worked_one() {
        let pages = StandingPage::of([&RecordId([2; 32]), &RecordId([1; 32])]).expect("a page");
        assert_eq!(pages.len(), 1);
        let hex: String = pages[0].hash.iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(hex, "c3dceb8f1bebde2e87fe2d6eadad7dc99f5b65eebaa13df63068ececced1f22a");
    }

    proptest! {
        #[test]
        fn pages_come_back_as_they_were_written_and_hold_all(numbers in btree_set(any::<u32>(), 0..700)) {
            let id = |n: &u32| { let mut id = [0; 32]; id[..4].copy_from_slice(&n.to_be_bytes()); RecordId(id) };
            let ids: Vec<RecordId> = numbers.iter().map(id).collect();
            let pages = StandingPage::of(&ids).expect("fits");
            prop_assert_eq!(pages.len(), ids.len().div_ceil(256).max(1));
            let mut all = Vec::new();
            for page in &pages {
                prop_assert_eq!(StandingPage::read(&page.written()), Some(page.clone()));
                all.extend_from_slice(&page.entries);
            }
            prop_assert_eq!(hash_of(&all), pages[0].hash);
            prop_assert_eq!(all, ids.iter().map(StandingEntry::from).collect::<Vec<_>>());
        }
    }

    #[test]
    fn what_is_no_page_is_none() {
        let page = StandingPage::of([&RecordId([1; 32]), &RecordId([2; 32])]).expect("a page").remove(0);
        let but = |key, value| {
            let mut extensions = page.written();
            extensions.insert(key, value);
            StandingPage::read(&extensions)
        };
        let entry = |n: u8, bytes| Value::Bytes(vec![n; bytes]);
        assert_eq!(StandingPage::read(&Extensions::new()), None);
        assert_eq!(but(ENTRIES_KEY, Value::Array(vec![entry(2, 12), entry(1, 12)])), None, "it rises");
        assert_eq!(but(ENTRIES_KEY, Value::Array(vec![entry(1, 11)])), None);
        assert_eq!(but(HASH_KEY, entry(1, 31)), None);
        for (number, of) in [(0, 1), (2, 1), (1, 65), (1, 300)] {
            assert_eq!(but(PAGE_KEY, Value::Array(vec![number.into(), of.into()])), None, "{number} of {of}");
        }
    }

    #[test]
    fn a_list_has_an_end() {
        let most = STANDING_ENTRIES * STANDING_PAGES;
        let ids: Vec<RecordId> = (0..=u32::try_from(most).expect("few"))
            .map(|n| {
                let mut id = [0; 32];
                id[..4].copy_from_slice(&n.to_be_bytes());
                RecordId(id)
            })
            .collect();
        assert_eq!(StandingPage::of(&ids), None);
        assert_eq!(StandingPage::of(&ids[1..]).map(|pages| pages.len()), Some(STANDING_PAGES));
    }
}
