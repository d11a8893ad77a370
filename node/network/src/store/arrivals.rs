//! Records on their way in, and the frames that a batch of them becomes.

use std::borrow::Cow;
use std::collections::HashSet;

use propagule_protocol::{RecordId, Signed};

use super::index::Index;
use super::keys;
use crate::spread::Stage;
use propagule_files::journal::StoreError;
use propagule_files::journal::frame::HEAD_BYTES;

/// A judged record on its way in.
#[derive(Clone, Debug)]
pub enum Arrival {
    /// For the set.
    Accepted {
        /// The record.
        signed: Box<Signed>,
        /// How far it has come, when it was signed in this home and must reach the network.
        own: Option<Stage>,
    },
    /// To be kept aside until it can be judged: by a newer version, or in a later month.
    Aside {
        /// Its id.
        id: RecordId,
        /// Its bytes.
        bytes: Vec<u8>,
    },
}

impl Arrival {
    /// The record's id.
    pub fn id(&self) -> &RecordId {
        match self {
            Self::Accepted { signed, .. } => &signed.id,
            Self::Aside { id, .. } => id,
        }
    }
}

/// What became of one arrival.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Intake {
    /// Now in the set.
    New,
    /// Was here already.
    Known,
    /// Kept aside for a newer version of the program or a later month.
    Held,
    /// A third record at one author, series and revision: remembered, not in the set.
    Surplus,
    /// Not kept: the disk quota is used up.
    Dropped,
}

/// What a frame of the records journal holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum FrameKind {
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
    pub(super) fn code(self) -> u8 {
        match self {
            Self::Record => 1,
            Self::Own => 2,
            Self::HandedOn => 3,
            Self::Held => 4,
            Self::HeldId => 5,
            Self::Stage => 6,
        }
    }

    pub(super) fn from_code(code: u8) -> Option<Self> {
        [Self::Record, Self::Own, Self::HandedOn, Self::Held, Self::HeldId, Self::Stage]
            .into_iter()
            .find(|kind| kind.code() == code)
    }
}

/// A frame to write for one arrival of a batch.
pub(super) struct NewFrame<'a> {
    pub arrival: usize,
    pub kind: FrameKind,
    pub body: Cow<'a, [u8]>,
}

/// Which arrivals are new: known to neither the index nor an earlier place of the batch.
pub(super) fn plan(index: &Index, batch: &[Arrival]) -> Result<Vec<bool>, StoreError> {
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
pub(super) struct Room {
    /// For all records of others.
    pub all: u64,
    /// For records kept aside.
    pub held: u64,
}

/// The frames for the new arrivals, and the arrivals for which the disk quota has no room.
///
/// Held records lose their bytes when their share is used up. Own records always have room.
pub(super) fn frames<'a>(
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
