//! The private bench record: an append-only journal of events, and what they amount to.
//!
//! A correction is a new event; nothing that was typed is ever lost. Nothing here leaves the machine
//! except through `publish`, which anonymises it first.

mod event;
pub mod import;
pub mod summarise;
mod trial;

use std::collections::BTreeMap;
use std::path::Path;

pub use event::{Event, Stamped};
pub use trial::{Arm, Counts, Stage, Trial};

use propagule_protocol::place::Place;

use crate::clock::Clock;
use crate::error::Failure;
use crate::store::{Damage, HomeId, Journal, JournalKind, SEGMENT_BYTES, replay_all};

/// Kind of a frame that holds one event as JSON.
const EVENT_FRAME: u8 = 1;

/// The open bench record.
#[derive(Debug)]
pub struct Bench {
    journal: Journal,
    clock: Clock,
    places: BTreeMap<String, Place>,
    trials: BTreeMap<String, Trial>,
    unread: usize,
}

impl Bench {
    /// Opens the bench record below `folder`, making it where there is none.
    ///
    /// # Errors
    /// When its files cannot be used.
    pub fn open(folder: &Path, home: HomeId, clock: Clock) -> Result<(Self, Vec<Damage>), Failure> {
        let folder = folder.join("bench");
        let (journal, damage) = Journal::open(&folder, JournalKind::Bench, home, SEGMENT_BYTES)?;
        let mut bench = Self { journal, clock, places: BTreeMap::new(), trials: BTreeMap::new(), unread: 0 };
        replay_all(&folder, JournalKind::Bench, home, |kind, body| bench.replay(kind, body))?;
        Ok((bench, damage))
    }

    fn replay(&mut self, kind: u8, body: &[u8]) {
        match serde_json::from_slice::<Stamped>(body) {
            Ok(stamped) if kind == EVENT_FRAME => self.apply(stamped.event),
            // Written by a newer version: kept in the journal, not understood here.
            _ => self.unread += 1,
        }
    }

    fn apply(&mut self, event: Event) {
        match event {
            Event::PlaceSet { name, place } => {
                self.places.insert(name, place);
            }
            Event::TrialRecorded { trial } => {
                self.trials.insert(trial.code.clone(), trial);
            }
        }
    }

    /// Records an event; it is on disk when this returns.
    ///
    /// # Errors
    /// When writing fails; then the event did not happen.
    pub fn record(&mut self, event: Event) -> Result<(), Failure> {
        self.record_all(vec![event])
    }

    /// Records events with one write; they are on disk when this returns.
    ///
    /// # Errors
    /// When writing fails; what of it reached the disk whole is there when the home is opened again.
    pub fn record_all(&mut self, events: Vec<Event>) -> Result<(), Failure> {
        if events.is_empty() {
            return Ok(());
        }
        let at = self.clock.now().to_string();
        let stamped = |event| Stamped { at: at.clone(), event };
        let events: Vec<Stamped> = events.into_iter().map(stamped).collect();
        let bodies: Vec<Vec<u8>> =
            events.iter().map(|event| serde_json::to_vec(event).expect("events are plain data")).collect();
        let frames: Vec<(u8, &[u8])> = bodies.iter().map(|body| (EVENT_FRAME, body.as_slice())).collect();
        self.journal.append(&frames)?;
        for stamped in events {
            self.apply(stamped.event);
        }
        Ok(())
    }

    /// The trial with this code.
    pub fn trial(&self, code: &str) -> Option<&Trial> {
        self.trials.get(code)
    }

    /// All trials by code.
    pub fn trials(&self) -> impl Iterator<Item = &Trial> {
        self.trials.values()
    }

    /// The place with this name.
    pub fn place(&self, name: &str) -> Option<&Place> {
        self.places.get(name)
    }

    /// All places by name.
    pub fn places(&self) -> impl Iterator<Item = (&String, &Place)> {
        self.places.iter()
    }

    /// Events of a newer version that this one does not understand.
    pub fn unread(&self) -> usize {
        self.unread
    }
}
