//! Looking at everything in a home's journals and index without changing anything.

use std::collections::HashSet;
use std::path::Path;

use propagule_protocol::{Judged, RecordId, Signed};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::arrivals::FrameKind;
use super::values::{self, RecordRow};
use super::{Damage, HomeId, JournalKind, Loss, Store, StoreError, Writer, keys, segment};
use crate::months::MonthSums;
use propagule_files::journal::{self, Position};

/// Records judged at once, on two threads.
const BATCH: usize = 2_048;
/// Disagreements that are told one by one.
const MOST_TOLD: usize = 20;

/// What verifying found.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Verified {
    /// Whole frames.
    pub frames: u64,
    /// Records among them, each judged again with its signature.
    pub records: u64,
    /// Bytes of the journal.
    pub bytes: u64,
    /// Damaged stretches.
    pub damage: Vec<Damage>,
    /// What is lost and has not come back.
    pub losses: Vec<Loss>,
    /// Whole frames whose record does not hold.
    pub unsound: Vec<String>,
    /// Where the index disagrees with the journal.
    pub index: Vec<String>,
}

impl Verified {
    /// Whether nothing is damaged now; what was lost before may still be missing.
    pub fn is_sound(&self) -> bool {
        self.damage.is_empty() && self.unsound.is_empty() && self.index.is_empty()
    }

    fn disagree(&mut self, what: impl FnOnce() -> String) {
        if self.index.len() < MOST_TOLD {
            self.index.push(what());
        }
    }
}

/// Damage of the bench journal, whose frames are JSON.
pub fn check_bench(folder: &Path, home: HomeId) -> Result<Verified, StoreError> {
    let mut verified = Verified::default();
    let kind = JournalKind::Bench;
    verified.damage = journal::check(&folder.join("bench"), kind, home, |position, _, body| {
        verified.frames += 1;
        verified.bytes += body.len() as u64;
        if serde_json::from_slice::<serde_json::Value>(body).is_err() {
            verified.unsound.push(format!("{}: not an event", place(kind, position)));
        }
        Ok(())
    })?;
    Ok(verified)
}

fn place(kind: JournalKind, position: Position) -> String {
    let path = segment::path(Path::new(""), kind, position.segment);
    format!("{} at byte {}", path.display(), position.offset)
}

/// A frame that holds a record, waiting to be judged.
struct Waiting {
    position: Position,
    is_held: bool,
    bytes: Vec<u8>,
}

impl Store {
    /// Where counts and positions of the index contradict each other or the journal, without reading records.
    pub fn glance(&self) -> Vec<String> {
        let writer = self.writer();
        let mut wrong = Vec::new();
        if self.count() != writer.stamp.records {
            wrong.push("the index counts records otherwise than its months do".to_owned());
        }
        if writer.stamp.reached > writer.journal.end() {
            wrong.push("the index reaches beyond the journal's end".to_owned());
        }
        wrong
    }

    /// Reads every frame, judges every record again, and compares the index.
    ///
    /// # Errors
    /// When files cannot be read; damage is no error.
    pub fn verify(&self) -> Result<Verified, StoreError> {
        let writer = self.writer();
        self.verify_with(&writer)
    }

    pub(super) fn verify_with(&self, writer: &Writer) -> Result<Verified, StoreError> {
        let mut verified = Verified { bytes: writer.journal.bytes(), ..Verified::default() };
        let (mut waiting, mut seen) = (Vec::new(), HashSet::new());
        let folder = self.folder.join("records");
        let damage = journal::check(&folder, JournalKind::Records, self.home, |position, kind, body| {
            verified.frames += 1;
            let is_held = match FrameKind::from_code(kind) {
                Some(FrameKind::Record | FrameKind::Own) => false,
                Some(FrameKind::Held) => true,
                _ => return Ok(()),
            };
            waiting.push(Waiting { position, is_held, bytes: body.to_vec() });
            if waiting.len() >= BATCH {
                self.check_records(&mut waiting, &mut seen, &mut verified)?;
            }
            Ok(())
        })?;
        self.check_records(&mut waiting, &mut seen, &mut verified)?;
        verified.damage = damage;
        self.check_index(&seen, writer, &mut verified)?;
        verified.losses = self.losses()?;
        Ok(verified)
    }

    fn check_records(
        &self,
        waiting: &mut Vec<Waiting>,
        seen: &mut HashSet<RecordId>,
        verified: &mut Verified,
    ) -> Result<(), StoreError> {
        let taken = std::mem::take(waiting);
        let judge = |part: &[Waiting]| -> Vec<Result<Judged, String>> {
            part.iter().map(|one| judge_frame(one, &self.network)).collect()
        };
        let (left, right) = taken.split_at(taken.len() / 2);
        let judged = std::thread::scope(|scope| {
            let other = scope.spawn(|| judge(right));
            let mut all = judge(left);
            all.extend(other.join().expect("judging does not panic"));
            all
        });
        for (frame, judged) in taken.iter().zip(judged) {
            match judged {
                Err(why) => {
                    verified.unsound.push(format!("{}: {why}", place(JournalKind::Records, frame.position)));
                }
                Ok(_) if frame.is_held => {}
                Ok(Judged::Held(held)) => {
                    seen.insert(held.id);
                }
                Ok(Judged::Accepted(signed)) => {
                    verified.records += 1;
                    if seen.insert(signed.id) {
                        self.check_rows(frame.position, &signed, verified)?;
                    }
                }
            }
        }
        Ok(())
    }

    /// The rows of one record.
    fn check_rows(
        &self,
        position: Position,
        signed: &Signed,
        verified: &mut Verified,
    ) -> Result<(), StoreError> {
        let (index, id) = (self.index(), &signed.id);
        let Some(row) = index.get(&keys::record(id))?.and_then(|row| RecordRow::decode(&row)) else {
            verified.disagree(|| format!("record {id} is not in the index"));
            return Ok(());
        };
        if row != RecordRow::of(row.position, signed) {
            verified.disagree(|| format!("record {id} has a wrong row"));
        }
        if row.position != position
            && self.reader.read(row.position)?.is_none_or(|(_, body)| body != signed.bytes)
        {
            verified.disagree(|| format!("record {id} is looked for in a wrong place"));
        }
        if index.has(&keys::aside(id))? {
            return Ok(());
        }
        let is_hidden = self.is_hidden(id)?;
        let is_in_month = index.has(&keys::in_month(row.month, &row.species, id))?;
        if is_in_month == is_hidden || index.has(&keys::hidden(&row.species, id))? != is_hidden {
            verified.disagree(|| format!("record {id} is in its month wrongly"));
        }
        let other = match signed.body.summary() {
            Some(summary) => keys::of_revision(&signed.author, &summary.series, summary.revision, id),
            None => keys::of_other_kind(id),
        };
        if !index.has(&other)? {
            verified.disagree(|| format!("record {id} is not found by its author or kind"));
        }
        Ok(())
    }

    /// What the index has beyond the records, and its sums.
    fn check_index(
        &self,
        seen: &HashSet<RecordId>,
        writer: &Writer,
        verified: &mut Verified,
    ) -> Result<(), StoreError> {
        let index = self.index();
        let surplus =
            index.below(&keys::all_records(), |id, _| values::id_of(id).filter(|id| !seen.contains(id)))?;
        for id in surplus.into_iter().take(MOST_TOLD) {
            verified.disagree(|| format!("record {id} is in the index and not in the journal"));
        }
        let mut sums = MonthSums::default();
        for (month, id) in index.below(&keys::all_months(), |rest, _| {
            let (month, _) = rest.split_at_checked(2)?;
            Some((
                propagule_protocol::Month(u16::from_be_bytes(month.try_into().ok()?)),
                values::id_at_end(rest)?,
            ))
        })? {
            sums.add(month, &id);
        }
        let stored = MonthSums::from_rows(index.months()?);
        if sums.rows() != self.months() || sums.rows() != stored.rows() {
            verified.disagree(|| "the sums of its months are wrong".to_owned());
        }
        if sums.total() != writer.stamp.records || writer.stamp.reached > writer.journal.end() {
            verified.disagree(|| "its stamp does not fit".to_owned());
        }
        Ok(())
    }
}

/// Judges the record of a frame; a held one must still have the id that it was held under.
fn judge_frame(frame: &Waiting, network: &propagule_protocol::NetworkId) -> Result<Judged, String> {
    let (id, bytes) = if frame.is_held {
        frame.bytes.split_at(frame.bytes.len().min(32))
    } else {
        (&[][..], &frame.bytes[..])
    };
    let judged = propagule_protocol::judge(bytes, network).map_err(|refusal| refusal.to_string())?;
    let found = match &judged {
        Judged::Accepted(signed) => signed.id,
        Judged::Held(held) => held.id,
    };
    let fits = !frame.is_held || values::id_of(id) == Some(found);
    if fits { Ok(judged) } else { Err("it was held under another id".to_owned()) }
}
