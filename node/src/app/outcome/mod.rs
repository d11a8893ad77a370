//! What came of a request, as plain data: no sentence, no layout. Each shape has its name under `format`; fields are only
//! ever added.

pub mod answers;
pub mod archive;
pub mod bundle;
pub mod circle;
pub mod doctor;
mod in_order;
pub mod key;
pub mod peers;
pub mod place;
pub mod plant;
pub mod publish;
pub mod said;
pub mod store;
pub mod units;

use serde::{Deserialize, Serialize};

use crate::answer::compare::CompareAnswer;
use crate::answer::plan::PlanAnswer;

/// What came of a request. The words for it stand in `present`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "format")]
#[non_exhaustive]
pub enum Outcome {
    /// A place was described.
    #[serde(rename = "propagule.place/1")]
    PlaceSaved(place::PlaceSaved),
    /// The places of the grower.
    #[serde(rename = "propagule.places/1")]
    Places(place::Places),
    /// The places of a trial, as its counts are read.
    #[serde(rename = "propagule.units/1")]
    Units(units::UnitsToCount),
    /// A name of a plant.
    #[serde(rename = "propagule.plants/1")]
    Plants(plant::Plants),
    /// Names that are taken for another one.
    #[serde(rename = "propagule.synonyms/1")]
    Synonyms(plant::Synonyms),
    /// A name is counted otherwise.
    #[serde(rename = "propagule.synonym/1")]
    SynonymSaved(plant::SynonymSaved),
    /// Addresses were added.
    #[serde(rename = "propagule.peers_added/1")]
    PeersAdded(peers::PeersAdded),
    /// Whom this node exchanges records with.
    #[serde(rename = "propagule.peers/1")]
    Peers(Box<peers::Peers>),
    /// An invite.
    #[serde(rename = "propagule.invite/1")]
    Invite(peers::Invite),
    /// Which nodes may connect.
    #[serde(rename = "propagule.peers_allowed/1")]
    PeersAllowed(peers::PeersAllowed),
    /// The files of the home.
    #[serde(rename = "propagule.store/1")]
    Store(store::StoreOutcome),
    /// A bundle.
    #[serde(rename = "propagule.bundle/1")]
    Bundle(bundle::BundleOutcome),
    /// What this home has was written down.
    #[serde(rename = "propagule.bundle_request/1")]
    BundleRequest(bundle::RecordsWritten),
    /// A trial and the network.
    #[serde(rename = "propagule.publish/1")]
    Publish(publish::Publish),
    /// A published trial is taken back.
    #[serde(rename = "propagule.withdraw/1")]
    Withdraw(publish::Withdraw),
    /// Whose results count.
    #[serde(rename = "propagule.circle/1")]
    Circle(circle::Circle),
    /// What this home knows of a grower has changed.
    #[serde(rename = "propagule.grower/1")]
    GrowerKept(circle::GrowerKept),
    /// A vouch, or its end.
    #[serde(rename = "propagule.vouch/1")]
    Vouched(circle::Vouched),
    /// Every key of this home.
    #[serde(rename = "propagule.keys/1")]
    Keys(key::Keys),
    /// Going on with another key.
    #[serde(rename = "propagule.key_rotate/1")]
    KeyRotate(key::KeyRotate),
    /// The end of a key.
    #[serde(rename = "propagule.key_revoke/1")]
    KeyRevoke(key::KeyRevoke),
    /// The revocation of a key, to be printed.
    #[serde(rename = "propagule.key_sheet/1")]
    KeySheet(key::KeySheet),
    /// An archive was made.
    #[serde(rename = "propagule.export/1")]
    ArchiveMade(archive::ArchiveMade),
    /// An archive became a home.
    #[serde(rename = "propagule.restore/1")]
    Restored(archive::Restored),
    /// Whether everything is well.
    #[serde(rename = "propagule.doctor/1")]
    Doctor(doctor::Doctor),
    /// How often the methods of a species succeed.
    #[serde(rename = "propagule.pool/1")]
    Pool(Box<answers::PoolOutcome>),
    /// An own trial against other growers.
    #[serde(rename = "propagule.compare/1")]
    Compare(Box<CompareAnswer>),
    /// How many to start.
    #[serde(rename = "propagule.plan/1")]
    Plan(Box<PlanAnswer>),
}
