//! Which trials are this home's own, and which of its keys signs for them.
//!
//! A trial stays with the author under whom it was published first, as long as that key can sign: with the newest key of
//! its chain. Trials of an author whose records a revocation made void are published anew under the current key.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, PoisonError};

use propagule_protocol::state::{Ended, resolve};
use propagule_protocol::{AuthorKey, Body, Month, RecordId, SecretKey, Signed};
use sha2::{Digest, Sha256};

use super::App;
use crate::home::AuthorKeys;
use propagule_files::fault::Fault;

/// What the records say of this home's keys.
#[derive(Clone, Debug, Default)]
pub(super) struct Own {
    /// Each own key with its author, the oldest key of its chain.
    authors: BTreeMap<AuthorKey, AuthorKey>,
    /// Revoked keys, with what of them stands.
    revoked: BTreeMap<AuthorKey, Ended>,
    /// Own keys that rotated to another own key.
    followed: BTreeSet<AuthorKey>,
    /// Trials that this home took back, by author and series.
    withdrawn: BTreeSet<(AuthorKey, [u8; 16])>,
}

/// A revision of an own trial.
#[derive(Clone, Debug)]
pub(super) struct OwnRevision {
    pub(super) key: AuthorKey,
    pub(super) revision: u8,
    pub(super) id: RecordId,
    pub(super) signed: Month,
}

impl Own {
    fn of(keys: &[AuthorKey], records: &[Signed]) -> Self {
        let resolved = resolve(records);
        let authors: BTreeMap<_, _> = keys.iter().map(|key| (*key, resolved.author_of(key))).collect();
        let revoked = keys.iter().filter_map(|key| Some((*key, resolved.ended(key)?.clone())));
        let followed = records.iter().filter(|record| {
            let Body::Rotation(rotation) = &record.body else { return false };
            let chain = authors.get(&record.author);
            chain.is_some() && chain == authors.get(&rotation.new_key)
        });
        let own: BTreeSet<AuthorKey> = authors.values().copied().collect();
        let withdrawn = resolved.withdrawn().map(|withdrawn| (withdrawn.author, withdrawn.series));
        Self {
            revoked: revoked.collect(),
            followed: followed.map(|record| record.author).collect(),
            withdrawn: withdrawn.filter(|(author, _)| own.contains(author)).collect(),
            authors,
        }
    }

    /// The author that an own key belongs to.
    pub(super) fn author_of(&self, key: &AuthorKey) -> AuthorKey {
        self.authors.get(key).copied().unwrap_or(*key)
    }

    /// Every author that is this home.
    pub(super) fn authors(&self) -> BTreeSet<AuthorKey> {
        self.authors.values().copied().collect()
    }

    /// From which month on an own key is revoked.
    pub(super) fn revoked_from(&self, key: &AuthorKey) -> Option<Month> {
        self.ended(key).map(|ended| ended.from)
    }

    /// What the revocations of an own key say; none where nobody revoked it.
    pub(super) fn ended(&self, key: &AuthorKey) -> Option<&Ended> {
        self.revoked.get(key)
    }

    fn is_void(&self, revision: &OwnRevision) -> bool {
        self.ended(&revision.key).is_some_and(|ended| ended.voids(&revision.id, revision.signed))
    }

    /// The newest key of the chain of `key`.
    fn newest(&self, key: &AuthorKey) -> AuthorKey {
        let author = self.author_of(key);
        let chain = self.authors.iter().filter(|(_, other)| **other == author).map(|(key, _)| *key);
        chain.into_iter().find(|key| !self.followed.contains(key)).unwrap_or(*key)
    }
}

/// How the next record of a trial is signed.
#[derive(Debug)]
pub(super) struct Signer {
    pub(super) key: SecretKey,
    pub(super) revision: usize,
}

impl App {
    /// The keys of this home.
    pub(super) fn keys(&self) -> AuthorKeys {
        self.keys.read().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// What the records say of this home's keys.
    pub(super) fn own(&self) -> Result<Arc<Own>, Fault> {
        let keys = self.keys().public();
        let ids = self.store.signer_ids()?;
        let mut hash = Sha256::new();
        for bytes in keys.iter().map(AuthorKey::as_bytes).chain(ids.iter().map(RecordId::as_bytes)) {
            hash.update(bytes);
        }
        let fingerprint: [u8; 32] = hash.finalize().into();
        self.memos.own.get(fingerprint, || Ok(Own::of(&keys, &self.store.records(&ids)?)))
    }

    /// Every revision of a trial under any key of this home, void ones included, lowest first.
    pub(super) fn own_revisions(&self, series: &[u8; 16]) -> Result<Vec<OwnRevision>, Fault> {
        let mut all = Vec::new();
        for key in self.keys().public() {
            for (revision, id) in self.store.revisions(&key, series)? {
                let Some(signed) = self.store.record(&id)? else { continue };
                all.push(OwnRevision { key, revision, id, signed: signed.head().signed });
            }
        }
        all.sort_by_key(|one| one.revision);
        Ok(all)
    }

    /// The revision of a trial that stands.
    pub(super) fn standing_revision(&self, series: &[u8; 16]) -> Result<Option<OwnRevision>, Fault> {
        let all = self.own_revisions(series)?;
        if all.is_empty() {
            return Ok(None);
        }
        let own = self.own()?;
        Ok(all.into_iter().rfind(|revision| !own.is_void(revision)))
    }

    /// Whether this home has taken a trial back.
    pub(super) fn is_withdrawn(&self, series: &[u8; 16]) -> Result<bool, Fault> {
        let own = self.own()?;
        Ok(own.authors().into_iter().any(|author| own.withdrawn.contains(&(author, *series))))
    }

    /// Who signs the next record of a trial, and as which revision.
    pub(super) fn signer_of(&self, code: &str, series: &[u8; 16]) -> Result<Signer, Fault> {
        let (keys, own) = (self.keys(), self.own()?);
        let all = self.own_revisions(series)?;
        let standing = all.iter().rfind(|revision| !own.is_void(revision));
        let key = standing.map_or_else(|| keys.current().author(), |revision| own.newest(&revision.key));
        if own.revoked_from(&key).is_some_and(|from| from <= self.clock.month()) {
            return Err(cannot_sign(code, standing.filter(|_| key != keys.current().author())));
        }
        let author = own.author_of(&key);
        let of_author = all.iter().filter(|revision| own.author_of(&revision.key) == author);
        let revision = of_author.map(|revision| usize::from(revision.revision) + 1).max().unwrap_or(0);
        let key = keys.secret_of(&key).unwrap_or_else(|| keys.current()).clone();
        Ok(Signer { key, revision })
    }
}

fn cannot_sign(code: &str, left_behind: Option<&OwnRevision>) -> Fault {
    match left_behind {
        Some(revision) => {
            Fault::user("record-under-revoked-key").with("code", code).with("signed", revision.signed)
        }
        None => Fault::user("key-revoked"),
    }
}
