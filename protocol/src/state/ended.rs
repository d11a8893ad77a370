//! When a key ended, and which of its records stand all the same.

use std::collections::{BTreeMap, BTreeSet};

use crate::id::RecordId;
use crate::month::Month;
use crate::record::{Revocation, StandingEntry, StandingPage, standing_hash};

/// Ways of putting pages together that are tried before all that the pages name is taken.
const MOST_TRIES: usize = 64;

/// What the revocations of one key say together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ended {
    /// The earliest of their months; the first month of all where one has none.
    pub from: Month,
    /// Records in every list that is there whole; none where no list is.
    standing: Option<BTreeSet<StandingEntry>>,
}

/// Pages that say they are of one list: by its hash and their number, what each number was said to hold.
type Pages = BTreeMap<u8, BTreeSet<Vec<StandingEntry>>>;

impl Ended {
    /// What revocations of one key say.
    pub(super) fn of<'a>(revocations: impl Iterator<Item = &'a Revocation>) -> Option<Self> {
        let mut from: Option<Month> = None;
        let mut lists: BTreeMap<([u8; 32], u8), Pages> = BTreeMap::new();
        for revocation in revocations {
            let month = revocation.from.unwrap_or(Month(0));
            from = Some(from.map_or(month, |earliest| earliest.min(month)));
            if let Some(page) = StandingPage::read(&revocation.extensions) {
                let pages = lists.entry((page.hash, page.pages)).or_default();
                pages.entry(page.page).or_default().insert(page.entries);
            }
        }
        let whole = lists.iter().filter_map(|((hash, pages), of)| whole(hash, *pages, of));
        let standing = whole.reduce(|all, list| all.intersection(&list).copied().collect());
        from.map(|from| Self { from, standing })
    }

    /// Whether a list of what stands is there.
    pub fn is_listed(&self) -> bool {
        self.standing.is_some()
    }

    /// Whether a record of the key, by its id and the month that it says, does not count.
    pub fn voids(&self, id: &RecordId, signed: Month) -> bool {
        let is_out = self.standing.as_ref().is_some_and(|list| !list.contains(&StandingEntry::from(id)));
        signed >= self.from || is_out
    }
}

/// The list of a hash, once all of its pages are there and fit it.
///
/// Whoever has the key can add pages under the hash of another. Where they leave too many ways to try, all that they name
/// stands: that is still less than what the month alone lets through.
fn whole(hash: &[u8; 32], pages: u8, of: &Pages) -> Option<BTreeSet<StandingEntry>> {
    if of.len() != usize::from(pages) {
        return None;
    }
    let ways = of.values().try_fold(1_usize, |ways, said| ways.checked_mul(said.len()));
    let Some(ways) = ways.filter(|ways| *ways <= MOST_TRIES) else {
        return Some(of.values().flatten().flatten().copied().collect());
    };
    (0..ways).find_map(|way| {
        let mut left = way;
        let mut list: Vec<StandingEntry> = Vec::new();
        for said in of.values() {
            list.extend(said.iter().nth(left % said.len())?);
            left /= said.len();
        }
        (standing_hash(&list) == *hash).then(|| list.into_iter().collect())
    })
}
