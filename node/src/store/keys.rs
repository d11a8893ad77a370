//! Keys of the index, one function a row type. Numbers are big-endian, so that order is by value.

use propagule_protocol::Month;
use propagule_protocol::{AuthorKey, RecordId};

/// A key or the beginning of one.
pub(crate) type Key = Vec<u8>;

/// The most rows that one record adds, changes or removes.
pub(crate) const MOST_ROWS_PER_RECORD: usize = 16;

/// The index's own stamp.
pub(crate) fn stamp() -> Key {
    vec![b'p']
}

/// Record id → where its frame is.
pub(crate) fn record(id: &RecordId) -> Key {
    join(b'r', &[&id.0])
}

/// Every record with where its frame is.
pub(crate) fn all_records() -> Key {
    vec![b'r']
}

/// Id of a record that is known but not in the set: held for a newer version, or surplus.
pub(crate) fn aside(id: &RecordId) -> Key {
    join(b'h', &[&id.0])
}

/// All ids that are known but not in the set.
pub(crate) fn all_aside() -> Key {
    vec![b'h']
}

/// Month, species and id of every record in the set that others may learn of; the species is empty where the record
/// is no summary.
///
/// One row for both questions: every row costs memory as long as the index is open.
pub(crate) fn in_month(month: Month, species: &str, id: &RecordId) -> Key {
    join(b'm', &[&month.0.to_be_bytes(), species.as_bytes(), &[0], &id.0])
}

/// All summaries of one species in one month.
pub(crate) fn of_species(month: Month, species: &str) -> Key {
    join(b'm', &[&month.0.to_be_bytes(), species.as_bytes(), &[0]])
}

/// Species and id of an own record that is hidden, and stands in no month yet.
pub(crate) fn hidden(species: &str, id: &RecordId) -> Key {
    join(b'u', &[species.as_bytes(), &[0], &id.0])
}

/// All hidden summaries of one species.
pub(crate) fn hidden_of(species: &str) -> Key {
    join(b'u', &[species.as_bytes(), &[0]])
}

/// Every hidden record.
pub(crate) fn all_hidden() -> Key {
    vec![b'u']
}

/// All ids of one month.
pub(crate) fn month(month: Month) -> Key {
    join(b'm', &[&month.0.to_be_bytes()])
}

/// Every record in the set that others may learn of.
pub(crate) fn all_months() -> Key {
    vec![b'm']
}

/// Month → count and sum of ids.
pub(crate) fn month_sum(month: Month) -> Key {
    join(b'f', &[&month.0.to_be_bytes()])
}

/// All month sums.
pub(crate) fn month_sums() -> Key {
    vec![b'f']
}

/// Author, series, revision and id of a summary.
pub(crate) fn of_revision(author: &AuthorKey, series: &[u8; 16], revision: u8, id: &RecordId) -> Key {
    join(b's', &[&author.0, series, &[revision], &id.0])
}

/// All summaries at one author, series and revision.
pub(crate) fn revision(author: &AuthorKey, series: &[u8; 16], revision: u8) -> Key {
    join(b's', &[&author.0, series, &[revision]])
}

/// All summaries of one author and series.
pub(crate) fn series(author: &AuthorKey, series: &[u8; 16]) -> Key {
    join(b's', &[&author.0, series])
}

/// All summaries of authors whose key begins with `bytes`.
pub(crate) fn author_beginning(bytes: &[u8]) -> Key {
    join(b's', &[bytes])
}

/// Behind every summary of one author: a series has 16 bytes, a revision, an id.
pub(crate) fn behind_author(author: &AuthorKey) -> Key {
    join(b's', &[&author.0, &[0xff; 64]])
}

/// All summaries of one author.
pub(crate) fn author(author: &AuthorKey) -> Key {
    join(b's', &[&author.0])
}

/// Id of a record that is not a summary: they are few and act on the others.
pub(crate) fn of_other_kind(id: &RecordId) -> Key {
    join(b'k', &[&id.0])
}

/// All records that are not summaries.
pub(crate) fn other_kinds() -> Key {
    vec![b'k']
}

/// An own record on its way out → its stage.
pub(crate) fn outbox(id: &RecordId) -> Key {
    join(b'o', &[&id.0])
}

/// All own records waiting for the network.
pub(crate) fn whole_outbox() -> Key {
    vec![b'o']
}

/// On which occasion the records kept aside were last judged.
pub(crate) fn judged_aside() -> Key {
    vec![b'v']
}

fn join(kind: u8, parts: &[&[u8]]) -> Key {
    let mut key = vec![kind];
    for part in parts {
        key.extend_from_slice(part);
    }
    key
}
