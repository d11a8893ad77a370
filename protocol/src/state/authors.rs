//! Rotation chains and revocations: which keys are one author, and which records are void.

use std::collections::{BTreeMap, BTreeSet};

use crate::envelope::Signed;
use crate::id::{AuthorKey, RecordId};
use crate::record::{Body, Revocation};

use super::Ended;

/// Keys by author. An author is the oldest key of its chain.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Authors {
    oldest: BTreeMap<AuthorKey, AuthorKey>,
    revoked: BTreeMap<AuthorKey, Ended>,
    rotated_twice: BTreeSet<AuthorKey>,
}

/// One rotation that is not void: who, to which key, by which record.
type Move = (AuthorKey, AuthorKey, RecordId);

impl Authors {
    pub(super) fn of<'a>(records: impl Iterator<Item = &'a Signed> + Clone) -> Self {
        let mut authors = Self { revoked: revocations(records.clone()), ..Self::default() };
        let moves: Vec<Move> =
            records.filter(|record| !authors.is_void(record)).filter_map(rotation).collect();
        let next = winners(&moves);
        authors.rotated_twice = contested(&moves, &next);
        authors.oldest = oldest(&next);
        authors
    }

    pub(super) fn of_key(&self, key: &AuthorKey) -> AuthorKey {
        self.oldest.get(key).copied().unwrap_or(*key)
    }

    pub(super) fn keys_of(&self, author: &AuthorKey) -> Vec<AuthorKey> {
        let keys: Vec<AuthorKey> =
            self.oldest.iter().filter(|(_, oldest)| *oldest == author).map(|(k, _)| *k).collect();
        if keys.is_empty() { vec![*author] } else { keys }
    }

    pub(super) fn ended(&self, key: &AuthorKey) -> Option<&Ended> {
        self.revoked.get(key)
    }

    pub(super) fn has_rotated_twice(&self, key: &AuthorKey) -> bool {
        self.rotated_twice.contains(key)
    }

    /// Whether a revocation takes a record out. Revocations themselves are never void.
    pub(super) fn is_void(&self, record: &Signed) -> bool {
        let is_revocation = matches!(record.body, Body::Revocation(_));
        let ended = self.ended(&record.author);
        !is_revocation && ended.is_some_and(|ended| ended.voids(&record.id, record.body.head().signed))
    }
}

fn revocations<'a>(records: impl Iterator<Item = &'a Signed>) -> BTreeMap<AuthorKey, Ended> {
    let mut of_key: BTreeMap<AuthorKey, Vec<&Revocation>> = BTreeMap::new();
    for record in records {
        if let Body::Revocation(revocation) = &record.body {
            of_key.entry(record.author).or_default().push(revocation);
        }
    }
    of_key.into_iter().filter_map(|(key, all)| Some((key, Ended::of(all.into_iter())?))).collect()
}

fn rotation(record: &Signed) -> Option<Move> {
    match &record.body {
        Body::Rotation(rotation) if rotation.new_key != record.author => {
            Some((record.author, rotation.new_key, record.id))
        }
        _ => None,
    }
}

/// Of several rotations of one key the lowest id wins.
fn winners(moves: &[Move]) -> BTreeMap<AuthorKey, AuthorKey> {
    let mut best: BTreeMap<AuthorKey, (RecordId, AuthorKey)> = BTreeMap::new();
    for (old, new, id) in moves {
        let entry = best.entry(*old).or_insert((*id, *new));
        *entry = (*entry).min((*id, *new));
    }
    best.into_iter().map(|(old, (_, new))| (old, new)).collect()
}

/// Every key of a rotation that another one contests, with the key that was rotated twice.
fn contested(moves: &[Move], next: &BTreeMap<AuthorKey, AuthorKey>) -> BTreeSet<AuthorKey> {
    let losing = moves.iter().filter(|(old, new, _)| next.get(old) != Some(new));
    losing.flat_map(|(old, new, _)| [Some(*old), Some(*new), next.get(old).copied()]).flatten().collect()
}

/// The oldest key of each chain: the key that nothing rotated to, the lowest one where chains meet, and
/// the lowest of all in a ring.
fn oldest(next: &BTreeMap<AuthorKey, AuthorKey>) -> BTreeMap<AuthorKey, AuthorKey> {
    let followers: BTreeSet<&AuthorKey> = next.values().collect();
    let mut oldest = BTreeMap::new();
    for members in chains(next) {
        let first = members.iter().find(|key| !followers.contains(key)).or(members.first());
        let first = *first.expect("a chain has members");
        oldest.extend(members.into_iter().map(|key| (key, first)));
    }
    oldest
}

/// Keys that rotations join, each set in the order of the key bytes.
fn chains(next: &BTreeMap<AuthorKey, AuthorKey>) -> Vec<BTreeSet<AuthorKey>> {
    let mut chain_of: BTreeMap<AuthorKey, usize> = BTreeMap::new();
    let mut chains: Vec<BTreeSet<AuthorKey>> = Vec::new();
    for (old, new) in next {
        let into = chain_of.get(old).copied().unwrap_or_else(|| {
            chains.push(BTreeSet::new());
            chains.len() - 1
        });
        let joined = match chain_of.get(new).copied() {
            Some(other) if other != into => std::mem::take(&mut chains[other]),
            _ => BTreeSet::new(),
        };
        for key in joined.into_iter().chain([*old, *new]) {
            chain_of.insert(key, into);
            chains[into].insert(key);
        }
    }
    chains.retain(|chain| !chain.is_empty());
    chains
}
