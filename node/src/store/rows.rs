//! From journal frames to index rows: which record is in the set, which stands aside.

use std::borrow::Cow;
use std::collections::hash_map::Entry;
use std::collections::{HashMap, HashSet};

use propagule_protocol::Month;
use propagule_protocol::{AuthorKey, Body, NetworkId, RecordId, Signed};

use super::error::StoreError;
use super::index::{Change, Index};
use super::journal::{Position, after};
use super::keys;
use super::months::MonthSums;
use super::{Arrival, Intake};

/// Records kept at one author, series and revision; the ones with the lowest ids.
const RIVALS_KEPT: usize = 2;

/// What a frame of the records journal holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum FrameKind {
    /// A record from elsewhere.
    Record,
    /// A record signed in this home.
    Own,
    /// The id of an own record that has been handed to the network.
    HandedOn,
    /// Id and bytes of a record for a newer version.
    Held,
    /// Only the id of such a record, when there was no room for its bytes.
    HeldId,
}

impl FrameKind {
    pub(crate) fn code(self) -> u8 {
        match self {
            Self::Record => 1,
            Self::Own => 2,
            Self::HandedOn => 3,
            Self::Held => 4,
            Self::HeldId => 5,
        }
    }

    pub(crate) fn from_code(code: u8) -> Option<Self> {
        [Self::Record, Self::Own, Self::HandedOn, Self::Held, Self::HeldId]
            .into_iter()
            .find(|kind| kind.code() == code)
    }
}

/// A frame to write for one arrival of a batch.
pub(crate) struct NewFrame<'a> {
    pub(crate) arrival: usize,
    pub(crate) kind: FrameKind,
    pub(crate) body: Cow<'a, [u8]>,
}

/// Which arrivals are new: known to neither the index nor an earlier place of the batch.
pub(crate) fn plan(index: &Index, batch: &[Arrival]) -> Result<Vec<bool>, StoreError> {
    let mut seen = HashSet::new();
    let fresh = batch.iter().map(|arrival| {
        let id = arrival.id();
        let known = index.has(&keys::record(id))? || index.has(&keys::aside(id))?;
        Ok(seen.insert(*id) && !known)
    });
    fresh.collect()
}

/// The frames for the new arrivals; held records lose their bytes when `held_room` is used up.
pub(crate) fn frames<'a>(batch: &'a [Arrival], is_new: &[bool], mut held_room: u64) -> Vec<NewFrame<'a>> {
    let mut frames = Vec::new();
    for (i, arrival) in batch.iter().enumerate().filter(|(i, _)| is_new[*i]) {
        let (kind, body) = match arrival {
            Arrival::Accepted { signed, is_own: true } => (FrameKind::Own, (&signed.bytes[..]).into()),
            Arrival::Accepted { signed, is_own: false } => (FrameKind::Record, (&signed.bytes[..]).into()),
            Arrival::Aside { id, bytes } if (bytes.len() as u64) < held_room => {
                held_room -= bytes.len() as u64;
                (FrameKind::Held, [&id.0[..], bytes].concat().into())
            }
            Arrival::Aside { id, .. } => (FrameKind::HeldId, (&id.0[..]).into()),
        };
        frames.push(NewFrame { arrival: i, kind, body });
    }
    frames
}

/// Author, series and revision.
type Place = (AuthorKey, [u8; 16], u8);

/// Rows that wait to become visible together.
#[derive(Debug, Default)]
pub(crate) struct Rows {
    change: Change,
    reached: Option<Position>,
    added: i64,
    records: HashMap<RecordId, RecordRow>,
    rivals: HashMap<Place, Vec<RecordId>>,
}

impl Rows {
    pub(crate) fn is_full(&self) -> bool {
        self.change.is_full()
    }

    /// The change, the position it reaches, and by how many records the set grows.
    pub(crate) fn take(&mut self) -> Option<(Change, Position, i64)> {
        let rows = std::mem::take(self);
        rows.reached.map(|reached| (rows.change, reached, rows.added))
    }

    /// Adds the rows of one frame.
    pub(crate) fn add(
        &mut self,
        index: &Index,
        months: &mut MonthSums,
        network: &NetworkId,
        position: Position,
        kind: FrameKind,
        body: &[u8],
    ) -> Result<Intake, StoreError> {
        self.reached = Some(after(position, body.len()));
        match kind {
            FrameKind::Record | FrameKind::Own => {
                let Ok(signed) = propagule_protocol::reopen(body, network) else { return Ok(Intake::Known) };
                if self.records.contains_key(&signed.id) || index.has(&keys::record(&signed.id))? {
                    return Ok(Intake::Known);
                }
                if kind == FrameKind::Own {
                    self.change.put(&keys::outbox(&signed.id), &[]);
                }
                self.admit(index, months, position, &signed)
            }
            FrameKind::HandedOn => {
                if let Some(id) = id_of(body) {
                    self.change.remove(&keys::outbox(&id));
                }
                Ok(Intake::Known)
            }
            FrameKind::Held | FrameKind::HeldId => {
                let id = body.get(..32).and_then(id_of);
                if let Some(id) = id {
                    self.change.put(&keys::aside(&id), &encode_position(position));
                }
                Ok(Intake::Held)
            }
        }
    }

    /// Puts a record into the set, unless two with lower ids stand at its author, series and revision.
    fn admit(
        &mut self,
        index: &Index,
        months: &mut MonthSums,
        position: Position,
        signed: &Signed,
    ) -> Result<Intake, StoreError> {
        let row = RecordRow::of(position, signed);
        self.change.put(&keys::record(&signed.id), &row.encode());
        self.change.remove(&keys::aside(&signed.id));
        self.records.insert(signed.id, row);
        if let Some(summary) = signed.body.summary() {
            let place = (signed.author, summary.series, summary.revision);
            if let Some(surplus) = self.surplus_at(index, place, signed.id)? {
                self.change.put(&keys::aside(&surplus), &[]);
                if surplus == signed.id {
                    return Ok(Intake::Surplus);
                }
                self.put_aside(index, months, place, &surplus)?;
            }
        }
        self.enter(months, signed);
        Ok(Intake::New)
    }

    /// Counts `id` in at `place`, and says which id is then one too many there.
    fn surplus_at(
        &mut self,
        index: &Index,
        place: Place,
        id: RecordId,
    ) -> Result<Option<RecordId>, StoreError> {
        let rivals = match self.rivals.entry(place) {
            Entry::Occupied(entry) => entry.into_mut(),
            Entry::Vacant(entry) => entry.insert(index.rivals(&place.0, &place.1, place.2)?),
        };
        rivals.push(id);
        rivals.sort_unstable();
        Ok(if rivals.len() > RIVALS_KEPT { rivals.pop() } else { None })
    }

    fn enter(&mut self, months: &mut MonthSums, signed: &Signed) {
        let month = signed.body.head().signed;
        self.change.put(&keys::in_month(month, &signed.id), &[]);
        self.change.put(&keys::month_sum(month), &months.add(month, &signed.id));
        match &signed.body {
            Body::Summary(summary) => {
                self.change.put(&keys::of_species(&summary.taxon.species_key(), &signed.id), &[]);
                let (author, series) = (&signed.author, &summary.series);
                self.change.put(&keys::of_revision(author, series, summary.revision, &signed.id), &[]);
            }
            _ => self.change.put(&keys::of_other_kind(&signed.id), &[]),
        }
        self.added += 1;
    }

    /// Takes the summary `id` out of the set again.
    fn put_aside(
        &mut self,
        index: &Index,
        months: &mut MonthSums,
        (author, series, revision): Place,
        id: &RecordId,
    ) -> Result<(), StoreError> {
        let stored = index.get(&keys::record(id))?.and_then(|value| RecordRow::decode(&value));
        let Some(row) = self.records.get(id).cloned().or(stored) else { return Ok(()) };
        self.change.remove(&keys::in_month(row.month, id));
        self.change.put(&keys::month_sum(row.month), &months.take(row.month, id));
        self.change.remove(&keys::of_species(&row.species, id));
        self.change.remove(&keys::of_revision(&author, &series, revision, id));
        self.added -= 1;
        Ok(())
    }
}

/// A record id that takes up all of `bytes`.
pub(crate) fn id_of(bytes: &[u8]) -> Option<RecordId> {
    bytes.try_into().ok().map(RecordId)
}

/// What the index says of one record: where it is, and what its other rows are made from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct RecordRow {
    pub(crate) position: Position,
    pub(crate) month: Month,
    species: String,
}

impl RecordRow {
    fn of(position: Position, signed: &Signed) -> Self {
        let species = signed.body.summary().map(|summary| summary.taxon.species_key()).unwrap_or_default();
        Self { position, month: signed.body.head().signed, species }
    }

    fn encode(&self) -> Vec<u8> {
        let mut out = encode_position(self.position).to_vec();
        out.extend_from_slice(&self.month.0.to_be_bytes());
        out.extend_from_slice(self.species.as_bytes());
        out
    }

    pub(crate) fn decode(value: &[u8]) -> Option<Self> {
        let (position, rest) = value.split_at_checked(8)?;
        let (month, species) = rest.split_at_checked(2)?;
        Some(Self {
            position: decode_position(position)?,
            month: Month(u16::from_be_bytes(month.try_into().ok()?)),
            species: String::from_utf8(species.to_vec()).ok()?,
        })
    }
}

/// Position as it stands in a row.
fn encode_position(position: Position) -> [u8; 8] {
    let mut out = [0; 8];
    out[..4].copy_from_slice(&position.segment.to_be_bytes());
    out[4..].copy_from_slice(&position.offset.to_be_bytes());
    out
}

/// A position in a row.
pub(crate) fn decode_position(value: &[u8]) -> Option<Position> {
    let (segment, offset) = value.split_at_checked(4)?;
    Some(Position {
        segment: u32::from_be_bytes(segment.try_into().ok()?),
        offset: u32::from_be_bytes(offset.try_into().ok()?),
    })
}
