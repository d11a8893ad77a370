//! Vouches: who trusts whom, by the highest sequence.

use std::collections::{BTreeMap, BTreeSet};

use super::authors::Authors;
use crate::envelope::Signed;
use crate::id::AuthorKey;
use crate::record::Body;

/// A vouch that stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct VouchPair {
    /// Who vouches.
    pub author: AuthorKey,
    /// For whom.
    pub subject: AuthorKey,
}

/// The highest sequence of each pair counts; where a vouch and an unvouch tie, it is an unvouch. Nobody
/// vouches for themselves.
pub(super) fn resolve<'a>(
    records: impl Iterator<Item = &'a Signed>,
    authors: &Authors,
) -> BTreeSet<VouchPair> {
    let mut latest: BTreeMap<VouchPair, (u8, bool)> = BTreeMap::new();
    for record in records.filter(|record| !authors.is_void(record)) {
        let Body::Vouch(vouch) = &record.body else { continue };
        let pair =
            VouchPair { author: authors.of_key(&record.author), subject: authors.of_key(&vouch.subject) };
        // At one sequence `unvouch` is the greater one.
        let claim = (vouch.sequence, !vouch.vouches);
        let entry = latest.entry(pair).or_insert(claim);
        *entry = claim.max(*entry);
    }
    let stands =
        |(pair, (_, is_unvouch)): &(VouchPair, (u8, bool))| !is_unvouch && pair.author != pair.subject;
    latest.into_iter().filter(stands).map(|(pair, _)| pair).collect()
}
