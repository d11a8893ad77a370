//! From journal frames to index rows: which record is in the set, which stands aside.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use propagule_protocol::{AuthorKey, Body, NetworkId, RecordId, Signed};

use super::arrivals::{FrameKind, Intake};
use super::index::{Change, Index};
use super::keys;
use super::values::{RecordRow, aside_row, decode_aside, id_of};
use crate::months::MonthSums;
use crate::spread::Stage;
use propagule_files::clock::Moment;
use propagule_files::journal::StoreError;
use propagule_files::journal::{Position, after};

/// Records kept at one author, series and revision; the ones with the lowest ids.
pub(super) const RIVALS_KEPT: usize = 2;

/// Author, series and revision.
type Place = (AuthorKey, [u8; 16], u8);

/// Rows that wait to become visible together.
#[derive(Debug, Default)]
pub(super) struct Rows {
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
pub(super) struct Taken {
    pub change: Change,
    pub reached: Position,
    /// By how many records the set grows.
    pub added: i64,
    /// By how many bytes more is held.
    pub held: i64,
}

impl Rows {
    pub(super) fn is_full(&self) -> bool {
        self.change.is_full()
    }

    /// What has come together, if anything has.
    pub(super) fn take(&mut self) -> Option<Taken> {
        let Self { change, reached, added, held, .. } = std::mem::take(self);
        reached.map(|reached| Taken { change, reached, added, held })
    }

    /// Adds the rows of one frame.
    pub(super) fn add(
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
        if let Body::Summary(summary) = &signed.body {
            let (author, series) = (&signed.author, &summary.series);
            self.change.put(&keys::of_revision(author, series, summary.revision, &signed.id), &[]);
        } else {
            self.change.put(&keys::of_other_kind(&signed.id), &[]);
            self.change.put(&keys::other_of_author(&signed.author, &signed.id), &[]);
        }
    }

    /// Lets others learn of a record.
    fn show(&mut self, months: &mut MonthSums, row: &RecordRow, id: &RecordId) {
        self.change.put(&keys::in_month(row.month, &row.species, id), &row.author.to_be_bytes());
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
