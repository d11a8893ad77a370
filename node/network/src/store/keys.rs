//! Keys of the index, one function a row type. Numbers are big-endian, so that order is by value.

use propagule_protocol::Month;
use propagule_protocol::{AuthorKey, RecordId};

/// A key or the beginning of one.
pub(super) type Key = Vec<u8>;

/// The most rows that one record adds, changes or removes.
pub(super) const MOST_ROWS_PER_RECORD: usize = 16;

/// The index's own stamp.
pub(super) fn stamp() -> Key {
    vec![b'p']
}

/// Record id → where its frame is.
pub(super) fn record(id: &RecordId) -> Key {
    join(b'r', &[&id.0])
}

/// Every record with where its frame is.
pub(super) fn all_records() -> Key {
    vec![b'r']
}

/// Id of a record that is known but not in the set: held for a newer version, or surplus.
pub(super) fn aside(id: &RecordId) -> Key {
    join(b'h', &[&id.0])
}

/// All ids that are known but not in the set.
pub(super) fn all_aside() -> Key {
    vec![b'h']
}

/// Month, species and id of every record in the set that others may learn of; the species is empty where the record
/// is no summary.
///
/// One row for both questions: every row costs memory as long as the index is open.
pub(super) fn in_month(month: Month, species: &str, id: &RecordId) -> Key {
    join(b'm', &[&month.0.to_be_bytes(), species.as_bytes(), &[0], &id.0])
}

/// All summaries of one species in one month.
pub(super) fn of_species(month: Month, species: &str) -> Key {
    join(b'm', &[&month.0.to_be_bytes(), species.as_bytes(), &[0]])
}

/// Species and id of an own record that is hidden, and stands in no month yet.
pub(super) fn hidden(species: &str, id: &RecordId) -> Key {
    join(b'u', &[species.as_bytes(), &[0], &id.0])
}

/// All hidden summaries of one species.
pub(super) fn hidden_of(species: &str) -> Key {
    join(b'u', &[species.as_bytes(), &[0]])
}

/// Every hidden record.
pub(super) fn all_hidden() -> Key {
    vec![b'u']
}

/// All ids of one month.
pub(super) fn month(month: Month) -> Key {
    join(b'm', &[&month.0.to_be_bytes()])
}

/// Every record in the set that others may learn of.
pub(super) fn all_months() -> Key {
    vec![b'm']
}

/// Month → count and sum of ids.
pub(super) fn month_sum(month: Month) -> Key {
    join(b'f', &[&month.0.to_be_bytes()])
}

/// All month sums.
pub(super) fn month_sums() -> Key {
    vec![b'f']
}

/// Author, series, revision and id of a summary.
pub(super) fn of_revision(author: &AuthorKey, series: &[u8; 16], revision: u8, id: &RecordId) -> Key {
    join(b's', &[&author.0, series, &[revision], &id.0])
}

/// All summaries at one author, series and revision.
pub(super) fn revision(author: &AuthorKey, series: &[u8; 16], revision: u8) -> Key {
    join(b's', &[&author.0, series, &[revision]])
}

/// All summaries of one author and series.
pub(super) fn series(author: &AuthorKey, series: &[u8; 16]) -> Key {
    join(b's', &[&author.0, series])
}

/// All summaries of authors whose key begins with `bytes`.
pub(super) fn author_beginning(bytes: &[u8]) -> Key {
    join(b's', &[bytes])
}

/// Behind every summary of one author: a series has 16 bytes, a revision, an id.
pub(super) fn behind_author(author: &AuthorKey) -> Key {
    join(b's', &[&author.0, &[0xff; 64]])
}

/// All summaries of one author.
pub(super) fn author(author: &AuthorKey) -> Key {
    join(b's', &[&author.0])
}

/// Id of a record that is not a summary: they are few and act on the others.
pub(super) fn of_other_kind(id: &RecordId) -> Key {
    join(b'k', &[&id.0])
}

/// Author and id of a record that is not a summary.
pub(super) fn other_of_author(author: &AuthorKey, id: &RecordId) -> Key {
    join(b'a', &[&author.0, &id.0])
}

/// All records of one author that are not summaries.
pub(super) fn others_of_author(author: &AuthorKey) -> Key {
    join(b'a', &[&author.0])
}

/// All records that are not summaries.
pub(super) fn other_kinds() -> Key {
    vec![b'k']
}

/// An own record on its way out → its stage.
pub(super) fn outbox(id: &RecordId) -> Key {
    join(b'o', &[&id.0])
}

/// All own records waiting for the network.
pub(super) fn whole_outbox() -> Key {
    vec![b'o']
}

/// On which occasion the records kept aside were last judged.
pub(super) fn judged_aside() -> Key {
    vec![b'v']
}

fn join(kind: u8, parts: &[&[u8]]) -> Key {
    let mut key = vec![kind];
    for part in parts {
        key.extend_from_slice(part);
    }
    key
}
