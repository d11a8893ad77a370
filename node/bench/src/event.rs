//! What happens at the bench, as it is written down.

use propagule_protocol::place::Place;
use serde::{Deserialize, Serialize};

use super::Trial;
use super::entry::Entry;
use super::grower::KnownGrower;
use super::spot::Spot;
use super::stock::StockPlant;

/// An event with the instant at which it was typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Stamped {
    /// Number of the event within this home; events of the first versions have none and count by their place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<u64>,
    /// RFC 3339 timestamp.
    pub at: String,
    /// What happened.
    #[serde(flatten)]
    pub event: Event,
}

/// Something that was typed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "event", rename_all = "snake_case")]
pub enum Event {
    /// A place was described, anew or for the first time.
    PlaceSet {
        /// The grower's own name for it.
        name: String,
        /// What is known of it.
        place: Place,
    },
    /// A trial was entered or corrected; the whole of it as it now stands.
    TrialRecorded {
        /// The trial.
        trial: Trial,
    },
    /// A stock plant was described.
    StockSet {
        /// As described.
        stock: StockPlant,
    },
    /// A spot was described.
    SpotSet {
        /// As described.
        spot: Spot,
    },
    /// Something happened on a day.
    Entered {
        /// What.
        entry: Entry,
    },
    /// An entry was wrong: it stands as given here, or is taken back.
    Corrected {
        /// Number of the entry that was wrong.
        target: u64,
        /// How it stands from now on; none takes it back.
        entry: Option<Entry>,
    },
    /// Whether trials are opened on the network on the day they are stuck.
    OpeningChosen {
        /// Opened or not.
        opens: bool,
    },
    /// Whether results of this home are to be published.
    PublishingChosen {
        /// They are, or they stay at home.
        on: bool,
    },
    /// Columns of the grower's own tables, once mapped.
    ColumnsMapped {
        /// Heading as typed → column as understood.
        columns: std::collections::BTreeMap<String, String>,
        /// The headings of the table for which that was said; of the first versions none, and then it holds for all.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        headings: Vec<String>,
    },
    /// What this home knows of another grower, the whole of it as it now stands.
    GrowerKnown {
        /// As known.
        grower: KnownGrower,
    },
    /// Two names are taken for one species, or no longer.
    SynonymSet {
        /// The name that is taken for another.
        synonym: String,
        /// The name that it is taken for; none takes it back.
        accepted: Option<String>,
    },
    /// A caution is not wanted again this season.
    CautionDismissed {
        /// Its name.
        caution: String,
        /// Year of the season.
        season: u16,
    },
}
