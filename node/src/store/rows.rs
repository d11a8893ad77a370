//! From journal frames to index rows: which record is in the set, which stands aside.

use std::borrow::Cow;
use std::collections::hash_map::Entry;
use std::collections::{HashMap, HashSet};

use propagule_protocol::Month;
use propagule_protocol::{AuthorKey, Body, NetworkId, RecordId, Signed};

use super::error::StoreError;
use super::frame::HEAD_BYTES;
use super::index::{Change, Index};
use super::journal::{Position, after};
use super::keys;
use super::months::MonthSums;
use super::{Arrival, Intake};
use crate::clock::Moment;
use crate::spread::Stage;

/// Records kept at one author, series and revision; the ones with the lowest ids.
pub(super) const RIVALS_KEPT: usize = 2;

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
    /// Id and stage of an own record on its way out.
    Stage,
}

impl FrameKind {
    pub(crate) fn code(self) -> u8 {
        match self {
            Self::Record => 1,
            Self::Own => 2,
            Self::HandedOn => 3,
            Self::Held => 4,
            Self::HeldId => 5,
            Self::Stage => 6,
        }
    }

    pub(crate) fn from_code(code: u8) -> Option<Self> {
        [Self::Record, Self::Own, Self::HandedOn, Self::Held, Self::HeldId, Self::Stage]
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

/// Bytes that may still be written.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Room {
    /// For all records of others.
    pub(crate) all: u64,
    /// For records kept aside.
    pub(crate) held: u64,
}

/// The frames for the new arrivals, and the arrivals for which the disk quota has no room.
///
/// Held records lose their bytes when their share is used up. Own records always have room.
pub(crate) fn frames<'a>(
    batch: &'a [Arrival],
    is_new: &[bool],
    mut room: Room,
) -> (Vec<NewFrame<'a>>, Vec<usize>) {
    let (mut frames, mut dropped) = (Vec::new(), Vec::new());
    for (arrival, one) in batch.iter().enumerate().filter(|(i, _)| is_new[*i]) {
        let mut put = |kind, body: Cow<'a, [u8]>| frames.push(NewFrame { arrival, kind, body });
        match one {
            Arrival::Accepted { signed, own: Some(stage) } => {
                put(FrameKind::Own, (&signed.bytes[..]).into());
                put(FrameKind::Stage, [&signed.id.0[..], &stage.encode()].concat().into());
            }
            Arrival::Accepted { .. } | Arrival::Aside { .. } if cost(one) > room.all => dropped.push(arrival),
            Arrival::Accepted { signed, own: None } => {
                room.all -= cost(one);
                put(FrameKind::Record, (&signed.bytes[..]).into());
            }
            Arrival::Aside { id, bytes } if cost(one) <= room.held => {
                room.all -= cost(one);
                room.held -= cost(one);
                put(FrameKind::Held, [&id.0[..], bytes].concat().into());
            }
            Arrival::Aside { id, .. } => put(FrameKind::HeldId, (&id.0[..]).into()),
        }
    }
    (frames, dropped)
}

/// Bytes that an arrival takes in the journal.
fn cost(arrival: &Arrival) -> u64 {
    let body = match arrival {
        Arrival::Accepted { signed, .. } => signed.bytes.len(),
        Arrival::Aside { bytes, .. } => 32 + bytes.len(),
    };
    (HEAD_BYTES + body) as u64
}

/// Author, series and revision.
type Place = (AuthorKey, [u8; 16], u8);

/// Rows that wait to become visible together.
#[derive(Debug, Default)]
pub(crate) struct Rows {
    change: Change,
    reached: Option<Position>,
    added: i64,
    /// By how many bytes more is held.
    held: i64,
    records: HashMap<RecordId, RecordRow>,
    rivals: HashMap<Place, Vec<RecordId>>,
    /// Stages of own records as they will be; `None` is done with.
    stages: HashMap<RecordId, Option<Stage>>,
    /// Bytes held of each record kept aside, as they will be.
    aside: HashMap<RecordId, u64>,
}

/// Rows to make visible in one step, and what they change in the stamp.
pub(crate) struct Taken {
    pub(crate) change: Change,
    pub(crate) reached: Position,
    /// By how many records the set grows.
    pub(crate) added: i64,
    /// By how many bytes more is held.
    pub(crate) held: i64,
}

impl Rows {
    pub(crate) fn is_full(&self) -> bool {
        self.change.is_full()
    }

    /// What has come together, if anything has.
    pub(crate) fn take(&mut self) -> Option<Taken> {
        let Self { change, reached, added, held, .. } = std::mem::take(self);
        reached.map(|reached| Taken { change, reached, added, held })
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
            FrameKind::Record => self.add_record(index, months, network, position, body, None),
            FrameKind::Own => {
                let hidden = Some(Stage::Waiting(Moment(0)));
                self.add_record(index, months, network, position, body, hidden)
            }
            FrameKind::Stage | FrameKind::HandedOn => {
                let (id, stage) = body.split_at(body.len().min(32));
                if let Some(id) = id_of(id) {
                    self.set_stage(index, months, id, Stage::decode(stage))?;
                }
                Ok(Intake::Known)
            }
            FrameKind::Held | FrameKind::HeldId => self.add_aside(index, position, body),
        }
    }

    fn add_record(
        &mut self,
        index: &Index,
        months: &mut MonthSums,
        network: &NetworkId,
        position: Position,
        body: &[u8],
        own: Option<Stage>,
    ) -> Result<Intake, StoreError> {
        let Ok(signed) = propagule_protocol::reopen(body, network) else { return Ok(Intake::Known) };
        if self.records.contains_key(&signed.id) || index.has(&keys::record(&signed.id))? {
            return Ok(Intake::Known);
        }
        self.admit(index, months, position, &signed, own)
    }

    fn add_aside(&mut self, index: &Index, position: Position, body: &[u8]) -> Result<Intake, StoreError> {
        let Some(id) = body.get(..32).and_then(id_of) else { return Ok(Intake::Known) };
        if self.records.contains_key(&id) || index.has(&keys::record(&id))? || self.held_of(index, &id)? > 0 {
            return Ok(Intake::Known);
        }
        let bytes = (body.len() - 32) as u64;
        self.held += bytes as i64;
        self.aside.insert(id, bytes);
        self.change.put(&keys::aside(&id), &aside_row(position, bytes));
        Ok(Intake::Held)
    }

    /// Bytes held of a record that is kept aside.
    fn held_of(&self, index: &Index, id: &RecordId) -> Result<u64, StoreError> {
        if let Some(bytes) = self.aside.get(id) {
            return Ok(*bytes);
        }
        let row = index.get(&keys::aside(id))?;
        Ok(row.and_then(|row| decode_aside(&row)).map_or(0, |(_, bytes)| bytes))
    }

    /// The stage of an own record that is not done with.
    fn stage_of(&self, index: &Index, id: &RecordId) -> Result<Option<Stage>, StoreError> {
        if let Some(stage) = self.stages.get(id) {
            return Ok(*stage);
        }
        Ok(index.get(&keys::outbox(id))?.and_then(|row| Stage::decode(&row)))
    }

    /// Moves an own record on, or with no stage is done with it; what is hidden no longer enters the set.
    fn set_stage(
        &mut self,
        index: &Index,
        months: &mut MonthSums,
        id: RecordId,
        stage: Option<Stage>,
    ) -> Result<(), StoreError> {
        let Some(before) = self.stage_of(index, &id)? else { return Ok(()) };
        match stage {
            Some(stage) => self.change.put(&keys::outbox(&id), &stage.encode()),
            None => self.change.remove(&keys::outbox(&id)),
        }
        self.stages.insert(id, stage);
        if before.is_hidden() && !stage.is_some_and(Stage::is_hidden) {
            let stored = index.get(&keys::record(&id))?.and_then(|value| RecordRow::decode(&value));
            if let Some(row) = self.records.get(&id).cloned().or(stored) {
                self.change.remove(&keys::hidden(&row.species, &id));
                self.show(months, &row, &id);
            }
        }
        Ok(())
    }

    /// Puts a record into the set, unless two with lower ids stand at its author, series and revision.
    ///
    /// An own one that is hidden counts here, and is in no month yet.
    fn admit(
        &mut self,
        index: &Index,
        months: &mut MonthSums,
        position: Position,
        signed: &Signed,
        own: Option<Stage>,
    ) -> Result<Intake, StoreError> {
        let row = RecordRow::of(position, signed);
        self.change.put(&keys::record(&signed.id), &row.encode());
        self.held -= self.held_of(index, &signed.id)? as i64;
        self.aside.insert(signed.id, 0);
        self.change.remove(&keys::aside(&signed.id));
        self.records.insert(signed.id, row.clone());
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
        if let Some(stage) = own {
            self.change.put(&keys::outbox(&signed.id), &stage.encode());
            self.stages.insert(signed.id, own);
        }
        self.enter(signed);
        if own.is_some_and(Stage::is_hidden) {
            self.change.put(&keys::hidden(&row.species, &signed.id), &[]);
        } else {
            self.show(months, &row, &signed.id);
        }
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

    fn enter(&mut self, signed: &Signed) {
        match &signed.body {
            Body::Summary(summary) => {
                let (author, series) = (&signed.author, &summary.series);
                self.change.put(&keys::of_revision(author, series, summary.revision, &signed.id), &[]);
            }
            _ => self.change.put(&keys::of_other_kind(&signed.id), &[]),
        }
    }

    /// Lets others learn of a record.
    fn show(&mut self, months: &mut MonthSums, row: &RecordRow, id: &RecordId) {
        self.change.put(&keys::in_month(row.month, &row.species, id), &[]);
        self.change.put(&keys::month_sum(row.month), &months.add(row.month, id));
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
        let stage = self.stage_of(index, id)?;
        if stage.is_some() {
            self.change.remove(&keys::outbox(id));
            self.stages.insert(*id, None);
        }
        if stage.is_some_and(Stage::is_hidden) {
            self.change.remove(&keys::hidden(&row.species, id));
        } else {
            self.change.remove(&keys::in_month(row.month, &row.species, id));
            self.change.put(&keys::month_sum(row.month), &months.take(row.month, id));
            self.added -= 1;
        }
        self.change.remove(&keys::of_revision(&author, &series, revision, id));
        Ok(())
    }
}

/// Position and held bytes as they stand in the row of a record kept aside.
fn aside_row(position: Position, bytes: u64) -> Vec<u8> {
    [&encode_position(position)[..], &bytes.to_be_bytes()].concat()
}

/// Reads such a row; a surplus record has an empty one.
pub(crate) fn decode_aside(value: &[u8]) -> Option<(Position, u64)> {
    let (position, bytes) = value.split_at_checked(8)?;
    Some((decode_position(position)?, u64::from_be_bytes(bytes.try_into().ok()?)))
}

/// A record id that takes up all of `bytes`.
pub(crate) fn id_of(bytes: &[u8]) -> Option<RecordId> {
    bytes.try_into().ok().map(RecordId)
}

/// The record id that a key ends in.
pub(crate) fn id_at_end(key: &[u8]) -> Option<RecordId> {
    id_of(key.get(key.len().checked_sub(32)?..)?)
}

/// What the index says of one record: where it is, and what its other rows are made from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct RecordRow {
    pub(crate) position: Position,
    pub(crate) month: Month,
    pub(crate) species: String,
}

impl RecordRow {
    pub(crate) fn of(position: Position, signed: &Signed) -> Self {
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
fn decode_position(value: &[u8]) -> Option<Position> {
    let (segment, offset) = value.split_at_checked(4)?;
    Some(Position {
        segment: u32::from_be_bytes(segment.try_into().ok()?),
        offset: u32::from_be_bytes(offset.try_into().ok()?),
    })
}
