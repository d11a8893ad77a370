//! What the store holds, read beside the writer and without waiting for it.

use std::collections::BTreeSet;
use std::sync::PoisonError;

use propagule_protocol::{AuthorKey, Month, RecordId, Signed};

use super::values::{self, RecordRow};
use super::{MonthRow, Store, StoreError, keys};
use crate::admission::AuthorRange;
use crate::spread::Stage;

impl Store {
    /// The original bytes of a record in the set.
    pub fn bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        // Held until the frame is read: positions change when the journal is written anew.
        let index = self.index();
        let Some(row) = index.get(&keys::record(id))?.and_then(|value| RecordRow::decode(&value)) else {
            return Ok(None);
        };
        Ok(self.reader.read(row.position)?.map(|(_, body)| body))
    }

    /// The original bytes of a record, unless it is hidden.
    pub fn public_bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        let stage = self.index().get(&keys::outbox(id))?.and_then(|row| Stage::decode(&row));
        if stage.is_some_and(Stage::is_hidden) { Ok(None) } else { self.bytes(id) }
    }

    /// A record in the set, read back and checked against its id.
    pub fn record(&self, id: &RecordId) -> Result<Option<Signed>, StoreError> {
        let Some(bytes) = self.bytes(id)? else { return Ok(None) };
        Ok(propagule_protocol::reopen(&bytes, &self.network).ok().filter(|signed| signed.id == *id))
    }

    /// Whether a record is known here, in the set or aside.
    pub fn knows(&self, id: &RecordId) -> Result<bool, StoreError> {
        let index = self.index();
        Ok(index.has(&keys::record(id))? || index.has(&keys::aside(id))?)
    }

    /// Ids of the set in one month, rising.
    pub fn ids_in_month(&self, month: Month) -> Result<Vec<RecordId>, StoreError> {
        let mut ids = self.index().ids_below(&keys::month(month))?;
        ids.sort_unstable();
        Ok(ids)
    }

    /// Ids of the set in one month whose authors lie in a range, rising.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn ids_in_month_within(&self, month: Month, range: AuthorRange) -> Result<Vec<RecordId>, StoreError> {
        let within =
            |rest: &[u8], value: &[u8]| values::id_at_end(rest).filter(|_| values::lies_in(range, value));
        let mut ids = self.index().below(&keys::month(month), within)?;
        ids.sort_unstable();
        Ok(ids)
    }

    /// Ids of everything that one key signed and that others may learn of, rising.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn ids_of_author(&self, author: &AuthorKey) -> Result<Vec<RecordId>, StoreError> {
        let index = self.index();
        let mut ids = index.ids_below(&keys::author(author))?;
        ids.extend(index.ids_below(&keys::others_of_author(author))?);
        ids.sort_unstable();
        drop(index);
        let is_hidden = |id: &RecordId| self.is_hidden(id);
        ids.into_iter()
            .filter_map(|id| is_hidden(&id).map(|hidden| (!hidden).then_some(id)).transpose())
            .collect()
    }

    /// Count and fingerprint of every month, oldest first.
    pub fn months(&self) -> Vec<MonthRow> {
        self.months.read().unwrap_or_else(PoisonError::into_inner).rows()
    }

    /// Count and fingerprint of one month, if there are records of it.
    pub fn month(&self, month: Month) -> Option<MonthRow> {
        self.months.read().unwrap_or_else(PoisonError::into_inner).row(month)
    }

    /// Number of records in the set.
    pub fn count(&self) -> u64 {
        self.months.read().unwrap_or_else(PoisonError::into_inner).total()
    }

    /// Number of records that are known but not in the set.
    pub fn count_aside(&self) -> Result<usize, StoreError> {
        self.index().below(&keys::all_aside(), |_, _| Some(())).map(|rows| rows.len())
    }

    /// Ids of all summaries of a species, and of every record of another kind, which may act on them.
    pub fn evidence_ids(&self, species: &str) -> Result<Vec<RecordId>, StoreError> {
        let months = self.months();
        let index = self.index();
        let mut ids = index.ids_below(&keys::hidden_of(species))?;
        for row in months {
            ids.extend(index.ids_below(&keys::of_species(row.month, species))?);
        }
        ids.extend(index.ids_below(&keys::other_kinds())?);
        Ok(ids)
    }

    /// All summaries of a species, and every record of another kind, which may act on them.
    pub fn evidence_of(&self, species: &str) -> Result<Vec<Signed>, StoreError> {
        self.records(&self.evidence_ids(species)?)
    }

    /// The records of these ids that are in the set.
    pub fn records(&self, ids: &[RecordId]) -> Result<Vec<Signed>, StoreError> {
        let read = ids.iter().map(|id| self.record(id));
        read.filter_map(Result::transpose).collect()
    }

    /// Ids of the records of every kind but summaries: withdrawals, rotations, revocations, vouches.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn signer_ids(&self) -> Result<Vec<RecordId>, StoreError> {
        self.index().ids_below(&keys::other_kinds())
    }

    /// Ids of all summaries that one key signed.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn summaries_signed_by(&self, key: &AuthorKey) -> Result<Vec<RecordId>, StoreError> {
        self.index().ids_below(&keys::author(key))
    }

    /// Whether summaries that one key signed are held.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn holds_author(&self, key: &AuthorKey) -> Result<bool, StoreError> {
        let of = keys::author(key);
        Ok(!self.index().next_below(&of, &of, 1)?.is_empty())
    }

    /// Every record in the set, oldest month first.
    pub fn all_ids(&self) -> Result<Vec<RecordId>, StoreError> {
        self.index().ids_below(&keys::all_months())
    }

    /// The next records of the set behind `after`, in order of month, species and id, at most `limit` of them.
    ///
    /// Behind a record that is not in the set there is nothing.
    pub fn ids_behind(&self, after: Option<RecordId>, limit: usize) -> Result<Vec<RecordId>, StoreError> {
        let begin = match after {
            None => keys::all_months(),
            Some(id) => {
                let row = self.index().get(&keys::record(&id))?;
                let Some(row) = row.and_then(|value| RecordRow::decode(&value)) else {
                    return Ok(Vec::new());
                };
                keys::in_month(row.month, &row.species, &id)
            }
        };
        let keys = self.index().next_below(&keys::all_months(), &begin, limit)?;
        Ok(keys.iter().filter_map(|key| values::id_at_end(key)).collect())
    }

    /// The first records of the set from `month` on, in order of month, species and id, at most `limit` of them.
    pub fn ids_from(&self, month: Month, limit: usize) -> Result<Vec<RecordId>, StoreError> {
        let keys = self.index().next_below(&keys::all_months(), &keys::month(month), limit)?;
        Ok(keys.iter().filter_map(|key| values::id_at_end(key)).collect())
    }

    /// Keys of the species that have summaries here.
    pub fn species(&self) -> Result<Vec<String>, StoreError> {
        let mut names = BTreeSet::new();
        let mut add = |rest: &[u8]| -> Option<()> {
            let end = rest.iter().position(|&byte| byte == 0).unwrap_or_default();
            let name = std::str::from_utf8(&rest[..end]).unwrap_or_default();
            if !name.is_empty() && !names.contains(name) {
                names.insert(name.to_owned());
            }
            None
        };
        let index = self.index();
        index.below(&keys::all_months(), |rest, _| add(rest.get(2..)?))?;
        index.below(&keys::all_hidden(), |rest, _| add(rest))?;
        Ok(names.into_iter().collect())
    }

    /// Revisions and ids of one author's records under one series, rising.
    pub fn revisions(
        &self,
        author: &AuthorKey,
        series: &[u8; 16],
    ) -> Result<Vec<(u8, RecordId)>, StoreError> {
        self.index().below(&keys::series(author, series), |rest, _| {
            let (revision, id) = rest.split_first()?;
            Some((*revision, values::id_of(id)?))
        })
    }

    /// Authors of summaries whose key, as text, begins with `letters`; at most `limit` of them.
    ///
    /// # Errors
    /// When the index cannot be read.
    pub fn authors_beginning(&self, letters: &str, limit: usize) -> Result<Vec<AuthorKey>, StoreError> {
        let Some(bytes) = whole_bytes(letters) else { return Ok(Vec::new()) };
        let begins = keys::author_beginning(&bytes);
        let mut found: Vec<AuthorKey> = Vec::new();
        let mut after = begins.clone();
        while found.len() < limit {
            let Some(rest) = self.index().next_below(&begins, &after, 1)?.into_iter().next() else { break };
            let key: Vec<u8> = bytes.iter().copied().chain(rest).take(32).collect();
            let Some(author) = AuthorKey::from_bytes(&key) else { break };
            after = keys::behind_author(&author);
            if author.to_string().starts_with(letters) {
                found.push(author);
            }
        }
        Ok(found)
    }

    /// Own records that are not done with.
    pub fn outbox(&self) -> Result<Vec<(RecordId, Stage)>, StoreError> {
        self.index()
            .below(&keys::whole_outbox(), |id, stage| Some((values::id_of(id)?, Stage::decode(stage)?)))
    }
}

/// The whole bytes that hexadecimal letters begin with: a last half byte is left out.
fn whole_bytes(letters: &str) -> Option<Vec<u8>> {
    let pairs = letters.as_bytes().chunks_exact(2);
    pairs.map(|pair| u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok()).collect()
}
