//! From outcomes to documents, and from those to what a command prints. All words stand here and in the crate
//! `propagule-present`; no decision does.

mod answers;
pub(crate) mod archive;
mod bundle;
pub(crate) mod circle;
mod command;
mod doctor;
pub(crate) mod key;
pub(crate) mod opening;
pub(crate) mod peers;
mod place;
mod plant;
mod publish;
pub(crate) mod said;
mod store;
mod undo;
mod units;

use propagule_present::document::Document;
use propagule_present::text;

use crate::answer::screens;
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
        Outcome::Pool(pooled) => answers::pooled(pooled),
        Outcome::Compare(answer) => screens::compare(answer, None),
        Outcome::Plan(answer) => screens::plan(answer, []),
    }
}

/// An outcome as a command shows it: its words at a width, and its data.
pub fn report(outcome: &Outcome, width: usize) -> Report {
    Report { text: text::render(&document(outcome), width), json: json(outcome) }
}

/// An outcome as data, with words where it has some to be said.
pub(crate) fn json(outcome: &Outcome) -> serde_json::Value {
    let mut json = serde_json::to_value(outcome).expect("outcomes are plain data");
    said::put_words(&mut json);
    json
}

/// A report with the words of an outcome behind its own.
pub(crate) fn followed(said: Report, outcome: &Outcome, width: usize) -> Report {
    Report { text: said.text + &text::render(&document(outcome), width), ..said }
}
