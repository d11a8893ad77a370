//! From outcomes to documents, and from those to what a command prints. All words stand here and in the crate
//! `propagule-present`; no decision does.

pub(crate) mod archive;
mod bundle;
pub(crate) mod circle;
mod command;
mod doctor;
pub(crate) mod due;
pub(crate) mod evidence;
pub(crate) mod export;
pub(crate) mod history;
mod import;
mod judged;
pub(crate) mod key;
pub(crate) mod opening;
pub(crate) mod paper;
pub(crate) mod peers;
mod place;
mod plant;
mod publish;
mod report;
pub(crate) mod said;
mod store;
pub(crate) mod trial;
mod trials;
mod undo;
mod units;

use propagule_present::document::Document;
use propagule_present::text;

use crate::app::Report;
use crate::app::outcome::Outcome;

/// What is shown of an outcome.
pub fn document(outcome: &Outcome) -> Document {
    match outcome {
        Outcome::PlaceSaved(saved) => place::saved(saved),
        Outcome::Places(places) => place::all(places),
        Outcome::Units(units) => units::all(units),
        Outcome::Plants(plants) => plant::known(plants),
        Outcome::Synonyms(all) => plant::synonyms(all),
        Outcome::SynonymSaved(saved) => plant::synonym(saved),
        Outcome::PeersAdded(added) => peers::added(added),
        Outcome::Peers(all) => peers::all(all),
        Outcome::Invite(invite) => peers::invite(invite),
        Outcome::PeersAllowed(allowed) => peers::allowed(allowed),
        Outcome::Store(done) => store::done(done),
        Outcome::Bundle(done) => bundle::done(done),
        Outcome::BundleRequest(written) => bundle::request(written),
        Outcome::Publish(publish) => publish::publish(publish),
        Outcome::Withdraw(withdraw) => publish::withdraw(withdraw),
        Outcome::Circle(circle) => circle::all(circle),
        Outcome::GrowerKept(kept) => circle::kept(kept),
        Outcome::Vouched(vouched) => circle::vouched(vouched),
        Outcome::Keys(keys) => key::all(keys),
        Outcome::KeyRotate(rotate) => key::rotated(rotate),
        Outcome::KeyRevoke(revoke) => key::revoked(revoke),
        Outcome::KeySheet(sheet) => key::sheet_in_lines(sheet),
        Outcome::ArchiveMade(made) => archive::made(made),
        Outcome::Restored(restored) => archive::restored(restored),
        Outcome::Doctor(doctor) => doctor::all(doctor),
        Outcome::History(history) => history::all(history),
        Outcome::Due(list) => due::all(list),
        Outcome::Trials(list) => trials::all(list),
        Outcome::TrialImport(import) => import::all(import),
        Outcome::Trial(trial) => trial::shown(trial),
    }
}

/// An outcome as a command shows it: its words at a width, and its data.
pub fn report(outcome: &Outcome, width: usize) -> Report {
    let mut json = serde_json::to_value(outcome).expect("outcomes are plain data");
    said::put_words(&mut json);
    Report { text: text::render(&document(outcome), width), json }
}

/// A report with the words of an outcome behind its own.
pub(crate) fn followed(said: Report, outcome: &Outcome, width: usize) -> Report {
    Report { text: said.text + &text::render(&document(outcome), width), ..said }
}
