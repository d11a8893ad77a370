//! What came of a request, as plain data: no sentence, no layout. Each shape has its name under `format`; fields are only
//! ever added.

pub mod answers;
pub mod archive;
pub mod bundle;
pub mod circle;
pub mod closing;
pub mod corrected;
pub mod doctor;
pub mod due;
pub mod entry;
pub mod export;
pub mod history;
pub mod import;
mod in_order;
pub mod judged;
pub mod key;
pub mod layout;
pub mod looked;
pub mod new_trial;
pub mod paper;
pub mod peers;
pub mod place;
pub mod plant;
pub mod pots;
pub mod private;
pub mod publish;
pub mod said;
pub mod spots;
pub mod stick;
pub mod stock;
pub mod store;
pub mod take_back;
pub mod trial;
pub mod trials;
pub mod undo;
pub mod units;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use propagule_answer::compare::CompareAnswer;
use propagule_answer::plan::PlanAnswer;

/// What came of a request. The words for it stand in `present`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "format")]
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
    /// A published trial is withdrawn.
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
    /// The cancellation of a key, to be printed.
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
    /// An entry at the bench.
    #[serde(rename = "propagule.entry/1")]
    Entry(entry::EntryOutcome),
    /// Everything somewhere was looked at.
    #[serde(rename = "propagule.looked/1")]
    LookedAll(looked::EverythingLooked),
    /// The last entry of the home.
    #[serde(rename = "propagule.undo/1")]
    Undo(undo::Undo),
    /// The propagules of a trial are in.
    #[serde(rename = "propagule.stick/1")]
    Stuck(stick::Stuck),
    /// What each pot of a trial holds.
    #[serde(rename = "propagule.pots/1")]
    Pots(pots::Pots),
    /// A bench was described.
    #[serde(rename = "propagule.spot/1")]
    SpotSaved(spots::SpotSaved),
    /// The benches.
    #[serde(rename = "propagule.spots/1")]
    Spots(spots::Spots),
    /// Trials stand on a bench.
    #[serde(rename = "propagule.stand/1")]
    Stood(spots::Stood),
    /// Every caution.
    #[serde(rename = "propagule.cautions/1")]
    Cautions(spots::CautionsKnown),
    /// A caution is not shown for a season.
    #[serde(rename = "propagule.caution/1")]
    CautionHidden(spots::CautionHidden),
    /// A stock plant was described.
    #[serde(rename = "propagule.stock/1")]
    StockSaved(stock::StockSaved),
    /// The stock plants.
    #[serde(rename = "propagule.stock_plants/1")]
    StockPlants(stock::StockPlants),
    /// A trial stays at home, or may be published again.
    #[serde(rename = "propagule.private/1")]
    PrivacySet(private::PrivacySet),
    /// Choices of this home.
    #[serde(rename = "propagule.settings/1")]
    Settings(private::HomeSettings),
    /// Trials that are over, or go on.
    #[serde(rename = "propagule.closed/1")]
    Closed(closing::Closed),
    /// The description of a trial was corrected.
    #[serde(rename = "propagule.trial_corrected/1")]
    TrialCorrected(corrected::TrialCorrected),
    /// Where pots stand.
    #[serde(rename = "propagule.layout/1")]
    LaidOut(layout::LaidOut),
    /// A trial that was set up, or would be.
    #[serde(rename = "propagule.new_trial/1")]
    NewTrial(Box<new_trial::NewTrialFacts>),
    /// Everything that was entered for a trial.
    #[serde(rename = "propagule.history/1")]
    History(history::History),
    /// What is due.
    #[serde(rename = "propagule.due/1")]
    Due(due::DueList),
    /// All trials.
    #[serde(rename = "propagule.trials/1")]
    Trials(trials::TrialList),
    /// A table of trials, read.
    #[serde(rename = "propagule.import/1")]
    TrialImport(Box<import::TrialImport>),
    /// One trial as it stands.
    #[serde(rename = "propagule.trial/1")]
    Trial(Box<trial::TrialShown>),
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
