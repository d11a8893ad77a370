//! The open bench record: the journal read into memory, and the only way to write in it.

pub mod compared;
mod entries;
mod known;
mod verbatim;

use std::collections::BTreeMap;
use std::path::Path;

use propagule_protocol::names::Synonyms;
use propagule_protocol::place::Place;
use propagule_protocol::{AuthorKey, Taxon};

use super::began::{Began, Beginnings};
use super::changes::Change;
use super::entry::Entry;
use super::event::{Event, Stamped};
use super::grower::KnownGrower;
use super::spot::Spot;
use super::stock::StockPlant;
use super::trial::Trial;
use propagule_files::clock::Clock;
use propagule_files::fault::Fault;
use propagule_files::journal::replay_all;
use propagule_files::journal::{Damage, HomeId, Journal, JournalKind, SEGMENT_BYTES};

/// Kind of a frame that holds one event as JSON.
const EVENT_FRAME: u8 = 1;

/// The open bench record.
#[derive(Debug)]
pub struct Bench {
    journal: Journal,
    clock: Clock,
    next: u64,
    places: BTreeMap<String, Place>,
    trials: BTreeMap<String, Trial>,
    spots: BTreeMap<String, Spot>,
    stock: BTreeMap<String, StockPlant>,
    began: Beginnings,
    entries: BTreeMap<u64, Recorded>,
    by_trial: entries::ByTrial,
    growers: BTreeMap<AuthorKey, KnownGrower>,
    opens: Option<bool>,
    publishing: Option<bool>,
    columns: BTreeMap<Vec<String>, BTreeMap<String, String>>,
    dismissed: Vec<(String, u16)>,
    synonyms: Synonyms,
    history: BTreeMap<String, Vec<(String, Change)>>,
    unread: usize,
}

/// An entry with what became of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Recorded {
    /// As it stands; none when it was taken back.
    pub entry: Option<Entry>,
    /// When it was typed.
    pub at: String,
    /// How it stood before each correction, with the time of the correction.
    pub earlier: Vec<(Option<Entry>, String)>,
}

impl Bench {
    /// Opens the bench record below `folder`, making it where there is none.
    ///
    /// # Errors
    /// When its files cannot be used.
    pub fn open(folder: &Path, home: HomeId, clock: Clock) -> Result<(Self, Vec<Damage>), Fault> {
        let folder = folder.join("bench");
        let (journal, damage) = Journal::open(&folder, JournalKind::Bench, home, SEGMENT_BYTES)?;
        let mut bench = Self {
            journal,
            clock,
            next: 1,
            places: BTreeMap::new(),
            trials: BTreeMap::new(),
            spots: BTreeMap::new(),
            stock: BTreeMap::new(),
            began: Beginnings::default(),
            entries: BTreeMap::new(),
            by_trial: entries::ByTrial::default(),
            growers: BTreeMap::new(),
            opens: None,
            publishing: None,
            columns: BTreeMap::new(),
            dismissed: Vec::new(),
            synonyms: Synonyms::default(),
            history: BTreeMap::new(),
            unread: 0,
        };
        replay_all(&folder, JournalKind::Bench, home, |kind, body| bench.replay(kind, body))?;
        Ok((bench, damage))
    }

    /// Salvages everything whole into a new journal; returns the damaged segments that are kept aside.
    ///
    /// # Errors
    /// When writing fails; then the journal is as before.
    pub fn repair(&mut self) -> Result<Vec<String>, Fault> {
        Ok(self.journal.rewrite(|kind, body| Ok(vec![(kind, body.to_vec())]))?)
    }

    /// Whether writing here made the home one of a newer format.
    pub fn has_raised(&self) -> bool {
        self.journal.has_raised()
    }

    /// How many events have been written, those of newer versions too.
    pub fn events(&self) -> u64 {
        self.next - 1
    }

    fn replay(&mut self, kind: u8, body: &[u8]) {
        match serde_json::from_slice::<Stamped>(body) {
            Ok(stamped) if kind == EVENT_FRAME => self.apply(stamped),
            // Written by a newer version: kept in the journal, not understood here.
            _ => {
                self.unread += 1;
                self.next += 1;
            }
        }
    }

    fn apply(&mut self, stamped: Stamped) {
        let Stamped { number, at, event } = stamped;
        let number = number.unwrap_or(self.next);
        self.next = self.next.max(number) + 1;
        match event {
            Event::PlaceSet { name, place } => {
                self.places.insert(name, place);
            }
            Event::TrialRecorded { trial } => {
                self.began.keep(number, &trial);
                self.keep_trial(trial, &at);
            }
            Event::StockSet { stock } => {
                self.stock.insert(stock.name.clone(), stock);
            }
            Event::SpotSet { spot } => {
                self.spots.insert(spot.name.clone(), spot);
            }
            Event::Entered { entry } => {
                self.by_trial.take_in(number, Some(&entry));
                self.entries.insert(number, Recorded { entry: Some(entry), at, earlier: Vec::new() });
            }
            Event::Corrected { target, entry } => {
                if let Some(recorded) = self.entries.get_mut(&target) {
                    self.by_trial.leave_out(target, recorded.entry.as_ref());
                    self.by_trial.take_in(target, entry.as_ref());
                    let before = std::mem::replace(&mut recorded.entry, entry);
                    recorded.earlier.push((before, at));
                }
            }
            Event::OpeningChosen { opens } => self.opens = Some(opens),
            Event::PublishingChosen { on } => self.publishing = Some(on),
            Event::ColumnsMapped { columns, headings } => {
                self.columns.entry(headings).or_default().extend(columns);
            }
            Event::GrowerKnown { grower } => {
                self.growers.insert(grower.key, grower);
            }
            Event::SynonymSet { synonym, accepted } => self.set_synonym(&synonym, accepted.as_deref()),
            Event::CautionDismissed { caution, season } => self.dismissed.push((caution, season)),
        }
    }

    /// Names were checked before they were written down; one that this version cannot read is left alone.
    fn set_synonym(&mut self, synonym: &str, accepted: Option<&str>) {
        let Ok(synonym) = Taxon::parse(synonym) else { return };
        match accepted.map(Taxon::parse) {
            Some(Ok(accepted)) => {
                let _ = self.synonyms.add(&synonym, &accepted);
            }
            Some(Err(_)) => {}
            None => {
                self.synonyms.part(&synonym);
            }
        }
    }

    fn keep_trial(&mut self, trial: Trial, at: &str) {
        if let Some(before) = self.trials.insert(trial.code.clone(), trial.clone()) {
            let changes = trial.changes_since(&before);
            self.history
                .entry(trial.code)
                .or_default()
                .extend(changes.into_iter().map(|what| (at.to_owned(), what)));
        }
    }

    /// Records an event; it is on disk when this returns its number.
    ///
    /// # Errors
    /// When writing fails; then the event did not happen.
    pub fn record(&mut self, event: Event) -> Result<u64, Fault> {
        let number = self.next;
        self.record_all(vec![event])?;
        Ok(number)
    }

    /// Records events with one write, and returns the number of each.
    ///
    /// # Errors
    /// As for [`Self::record_all`].
    pub fn record_each(&mut self, events: Vec<Event>) -> Result<Vec<u64>, Fault> {
        let numbers = (self.next..).take(events.len()).collect();
        self.record_all(events)?;
        Ok(numbers)
    }

    /// Records events with one write; they are on disk when this returns.
    ///
    /// # Errors
    /// When writing fails; what of it reached the disk whole is there when the home is opened again.
    pub fn record_all(&mut self, events: Vec<Event>) -> Result<(), Fault> {
        if events.is_empty() {
            return Ok(());
        }
        let at = self.clock.now().to_string();
        let stamped = |(event, number)| Stamped { number: Some(number), at: at.clone(), event };
        let events: Vec<Stamped> = events.into_iter().zip(self.next..).map(stamped).collect();
        let bodies: Vec<Vec<u8>> =
            events.iter().map(|event| serde_json::to_vec(event).expect("events are plain data")).collect();
        let frames: Vec<(u8, &[u8])> = bodies.iter().map(|body| (EVENT_FRAME, body.as_slice())).collect();
        self.journal.append(&frames)?;
        for stamped in events {
            self.apply(stamped);
        }
        Ok(())
    }

    /// The trial with this code, as described: without what its entries say.
    pub fn trial(&self, code: &str) -> Option<&Trial> {
        self.trials.get(code)
    }

    /// All trials by code, as described.
    pub fn trials(&self) -> impl Iterator<Item = &Trial> {
        self.trials.values()
    }

    /// How the trial with this code began.
    pub fn began(&self, code: &str) -> Option<&Began> {
        self.began.of(code)
    }

    /// Changes of a trial's description: when, and what.
    pub fn changes(&self, code: &str) -> &[(String, Change)] {
        self.history.get(code).map(Vec::as_slice).unwrap_or_default()
    }

    /// The mark of another grower, where one has been given already.
    pub fn mark_of(&self, name: &str) -> Option<&str> {
        let others = self.trials.values().filter_map(|trial| trial.entered_for.as_ref());
        others
            .filter(|other| other.name == name && !other.mark.is_empty())
            .map(|other| other.mark.as_str())
            .next()
    }
}
