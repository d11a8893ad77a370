//! From outcomes to documents, and from those to what a command prints.

mod answers;
pub mod archive;
mod bundle;
pub mod circle;
pub mod closing;
pub(crate) mod command;
mod corrected;
mod doctor;
pub mod due;
pub mod entry;
pub mod evidence;
pub mod export;
pub mod history;
pub mod import;
mod judged;
pub mod key;
mod layout;
pub(crate) mod new_trial;
pub mod opening;
pub(crate) mod outlook;
pub mod paper;
pub mod peers;
pub mod place;
mod plant;
mod pots;
pub mod private;
mod publish;
mod report;
pub mod said;
pub mod spots;
mod stick;
mod stock;
mod store;
pub mod trial;
pub mod trials;
mod undo;
mod units;

use crate::document::Document;
use crate::text;

use crate::screens;
use propagule_app::outcome::Outcome;

/// Words for the terminal and the same as data.
#[derive(Clone, Debug, Default)]
pub struct Report {
    /// Plain text, wrapped to the width asked for.
    pub text: String,
    /// The shape of `--json`.
    pub json: serde_json::Value,
}

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
        Outcome::Entry(entry) => entry::all(entry),
        Outcome::LookedAll(looked) => entry::looked(looked),
        Outcome::Undo(undo) => entry::undone(undo),
        Outcome::Stuck(stuck) => stick::stuck(stuck),
        Outcome::Pots(pots) => pots::all(pots),
        Outcome::SpotSaved(saved) => spots::saved(saved),
        Outcome::Spots(all) => spots::all(all),
        Outcome::Stood(stood) => spots::stood(stood),
        Outcome::Cautions(known) => spots::cautions(known),
        Outcome::CautionHidden(hidden) => spots::hidden(hidden),
        Outcome::StockSaved(saved) => stock::saved(saved),
        Outcome::StockPlants(all) => stock::all(all),
        Outcome::PrivacySet(set) => private::set(set),
        Outcome::Settings(settings) => private::settings(settings),
        Outcome::Closed(closed) => closing::done(closed),
        Outcome::TrialCorrected(corrected) => corrected::done(corrected),
        Outcome::NewTrial(new) => new_trial::all(new),
        Outcome::LaidOut(laid_out) => layout::laid_out(laid_out),
        Outcome::History(history) => history::all(history),
        Outcome::Due(list) => due::all(list),
        Outcome::Trials(list) => trials::all(list),
        Outcome::TrialImport(import) => import::all(import),
        Outcome::Trial(trial) => trial::shown(trial),
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
pub fn json(outcome: &Outcome) -> serde_json::Value {
    let mut json = serde_json::to_value(outcome).expect("outcomes are plain data");
    said::put_words(&mut json);
    json
}

/// An outcome with the words of what followed from it behind its own.
pub fn followed(first: &Outcome, by: &Outcome, width: usize) -> Report {
    let said = report(first, width);
    Report { text: said.text + &text::render(&document(by), width), ..said }
}
