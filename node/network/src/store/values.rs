//! What the rows of the index hold behind their keys.

use propagule_protocol::{AuthorKey, Month, RecordId, Signed};

use crate::admission::{AuthorRange, author_hash};

use propagule_files::journal::Position;

/// Position and held bytes as they stand in the row of a record kept aside.
pub(super) fn aside_row(position: Position, bytes: u64) -> Vec<u8> {
    [&encode_position(position)[..], &bytes.to_be_bytes()].concat()
}

/// Reads such a row; a surplus record has an empty one.
pub(super) fn decode_aside(value: &[u8]) -> Option<(Position, u64)> {
    let (position, bytes) = value.split_at_checked(8)?;
    Some((decode_position(position)?, u64::from_be_bytes(bytes.try_into().ok()?)))
}

/// A record id that takes up all of `bytes`.
pub(super) fn id_of(bytes: &[u8]) -> Option<RecordId> {
    bytes.try_into().ok().map(RecordId)
}

/// The record id that a key ends in.
pub(super) fn id_at_end(key: &[u8]) -> Option<RecordId> {
    id_of(key.get(key.len().checked_sub(32)?..)?)
}

/// What the index says of one record: where it is, and what its other rows are made from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct RecordRow {
    pub position: Position,
    pub month: Month,
    /// The first two bytes of the hash of the key that signed it.
    pub author: u16,
    pub species: String,
}

impl RecordRow {
    pub(super) fn of(position: Position, signed: &Signed) -> Self {
        let species = signed.body.summary().map(|summary| summary.taxon.species_key()).unwrap_or_default();
        let author = hash_bits(&signed.author);
        Self { position, month: signed.body.head().signed, author, species }
    }

    pub(super) fn encode(&self) -> Vec<u8> {
        let mut out = encode_position(self.position).to_vec();
        out.extend_from_slice(&self.month.0.to_be_bytes());
        out.extend_from_slice(&self.author.to_be_bytes());
        out.extend_from_slice(self.species.as_bytes());
        out
    }

    pub(super) fn decode(value: &[u8]) -> Option<Self> {
        let (position, rest) = value.split_at_checked(8)?;
        let (month, rest) = rest.split_at_checked(2)?;
        let (author, species) = rest.split_at_checked(2)?;
        Some(Self {
            position: decode_position(position)?,
            month: Month(u16::from_be_bytes(month.try_into().ok()?)),
            author: u16::from_be_bytes(author.try_into().ok()?),
            species: String::from_utf8(species.to_vec()).ok()?,
        })
    }
}

/// As much of the hash of an author as ranges are told by.
fn hash_bits(author: &AuthorKey) -> u16 {
    (author_hash(author) >> 48) as u16
}

/// Whether the author of a row in a month lies in a range.
pub(super) fn lies_in(range: AuthorRange, value: &[u8]) -> bool {
    let bits = value.try_into().map_or(0, u16::from_be_bytes);
    range.holds_hash(u64::from(bits) << 48)
}

/// Position as it stands in a row.
fn encode_position(position: Position) -> [u8; 8] {
    let mut out = [0; 8];
    out[..4].copy_from_slice(&position.segment.to_be_bytes());
    out[4..].copy_from_slice(&position.offset.to_be_bytes());
    out
}

/// A position in a row.
fn decode_position(value: &[u8]) -> Option<Position> {
    let (segment, offset) = value.split_at_checked(4)?;
    Some(Position {
        segment: u32::from_be_bytes(segment.try_into().ok()?),
        offset: u32::from_be_bytes(offset.try_into().ok()?),
    })
}
