//! What happens at the bench, as it is written down.

use propagule_protocol::place::Place;
use serde::{Deserialize, Serialize};

use super::Trial;

/// An event with the instant at which it was typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Stamped {
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
}
