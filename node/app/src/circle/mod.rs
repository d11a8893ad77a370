//! The grower's circle: vouches that everybody sees, trust and silence that stay at home.

mod at_home;
mod meant;
mod shown;
mod vouching;

use propagule_protocol::state;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::outcome::Outcome;
use super::{App, Reply};
use propagule_files::fault::Fault;

pub(crate) use shown::circle;

/// What to do with the trusted growers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "circle", rename_all = "snake_case")]
pub enum CircleRequest {
    /// Show who is in it, why, and with what weight.
    Show,
    /// Vouch for a grower, for everybody to see.
    Vouch {
        /// Key, its beginning, or a name given before.
        grower: String,
        /// What to call the grower at home.
        name: Option<String>,
        /// The reader knows that it is seen.
        confirmed: bool,
        /// Skip the delay and the other nodes that hide where it came from.
        at_once: bool,
    },
    /// Take a vouch back.
    Unvouch {
        /// Key, its beginning, or a name given before.
        grower: String,
        /// Skip the delay and the other nodes that hide where it came from.
        at_once: bool,
    },
    /// Trust, ignore or name a grower at home.
    Keep {
        /// Key, its beginning, or a name given before.
        grower: String,
        /// What changes.
        change: Change,
        /// What to call the grower at home.
        name: Option<String>,
    },
}

/// What changes at home.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Change {
    /// Count the grower as a friend.
    Trust,
    /// No longer.
    Untrust,
    /// Do not hear the grower.
    Mute,
    /// Hear the grower again.
    Unmute,
}

impl CircleRequest {
    /// Whether it may sign a record.
    pub(super) fn publishes(&self) -> bool {
        matches!(self, Self::Vouch { .. } | Self::Unvouch { .. })
    }
}

/// Does what is asked; whom the home backs may be others afterwards.
pub(super) fn handle(app: &App, request: CircleRequest) -> Result<Reply, Fault> {
    let is_only_shown = matches!(request, CircleRequest::Show);
    let reply = handled(app, request)?;
    if !is_only_shown {
        app.backing_changed();
    }
    Ok(reply)
}

fn handled(app: &App, request: CircleRequest) -> Result<Reply, Fault> {
    let records = app.store.records(&app.store.signer_ids()?)?;
    let resolved = state::resolve(&records);
    match request {
        CircleRequest::Show => Ok(Reply::done(Outcome::Circle(shown::of(app, &resolved)))),
        CircleRequest::Vouch { grower, name, confirmed, at_once } => {
            let signing = vouching::Signing { records: &records, resolved: &resolved, at_once };
            vouching::vouch(app, signing, &grower, name, confirmed)
        }
        CircleRequest::Unvouch { grower, at_once } => vouching::unvouch(
            app,
            vouching::Signing { records: &records, resolved: &resolved, at_once },
            &grower,
        ),
        CircleRequest::Keep { grower, change, name } => at_home::keep(app, &resolved, &grower, change, name),
    }
}
