//! Use cases of the bench: set up, put in, check, lift, move, correct, look back.

mod arms;
mod asking;
mod cautions;
mod closing;
mod copying;
mod correcting;
mod counting;
pub(super) mod due;
mod entering;
mod export;
mod fixing;
mod happened;
mod history;
mod laying_out;
mod looking;
mod moving;
mod planning;
mod pots;
mod printing;
mod private;
mod repeated;
mod request;
mod said;
mod setting_up;
mod settings;
mod shown;
mod spots;
mod started;
mod sticking;
mod stock;
mod text;
mod units;
pub mod viewed;

pub(crate) use cautions::hidden as hidden_cautions;
pub(super) use happened::last_day;
pub use request::{
    ArmFacts, ArmGiven, Because, BenchRequest, Closing, Common, CorrectTrial, DoneBy, DuePart, Enter,
    Hearing, NewTrial, PaperKind, PutIn, Repeat, SettingChoice, StartedAt, Stick, UnitsOf, facet_names,
    give_facet,
};
pub(super) use shown::show;
pub(super) use viewed::list;

use super::outcome::Outcome;
use super::outcome::entry::{EntryCame, EntryOutcome};
use super::{App, Reply};
use propagule_bench::{Bench, Entry, Trial, What};
use propagule_files::fault::Fault;

/// Does what a bench command asks.
pub(super) fn handle(app: &App, request: BenchRequest) -> Result<Reply, Fault> {
    happened::check(app, &request)?;
    match request {
        BenchRequest::New(new) => setting_up::new(app, &new),
        BenchRequest::Copy { old, new, on, dry_run } => copying::copy(app, &old, new, on, dry_run),
        BenchRequest::Stick(stick) => sticking::stick(app, &stick),
        BenchRequest::Enter(enter) => entering::enter(app, &enter),
        BenchRequest::Move { trial, arms, to, facets, common } => {
            moving::moved(app, &trial, &arms, &to, facets, common)
        }
        BenchRequest::Left { trial, unit, pieces, how, at_grade, common } => {
            moving::left(app, &trial, unit, &moving::Leaving { pieces, how, at_grade }, common)
        }
        BenchRequest::Suckers { trial, removed, common } => entering::suckers(app, &trial, removed, common),
        BenchRequest::WrapCut { trial, common } => entering::wrap_cut(app, &trial, common),
        BenchRequest::Note { subject, common } => entering::note(app, &subject, common),
        BenchRequest::Care { spot, care, until, common } => spots::care(app, &spot, &care, until, common),
        BenchRequest::TakeBackCare { spot, entry } => spots::take_back(app, &spot, entry),
        BenchRequest::SpotSet { name, facets } => spots::set(app, &name, &facets),
        BenchRequest::Stand { spot, lots, common } => spots::stand(app, &spot, &lots, &common),
        BenchRequest::SpotShow { name } => spots::show(app, name.as_deref()),
        BenchRequest::StockSet { name, species, facets, note, yes } => {
            stock::set(app, &name, species.as_deref(), &facets, note.as_deref(), yes)
        }
        BenchRequest::StockShow => Ok(stock::show(app)),
        BenchRequest::CorrectEntry { trial, entry, counts, on, take_back } => {
            fixing::entry(app, &trial, entry, fixing::Fix { counts, on, take_back })
        }
        BenchRequest::Undo { is_agreed } => fixing::undo(app, is_agreed),
        BenchRequest::UndoOf { subject, entry } => fixing::undo_of(app, &subject, entry),
        BenchRequest::Units { of } => units::show(app, of),
        BenchRequest::Pots { trial, on } => pots::show(app, &trial, on),
        BenchRequest::CorrectTrial(correct) => correcting::trial(app, &correct),
        BenchRequest::History { trial } => history::show(app, &trial),
        BenchRequest::Due { as_of, part } => due::due(app, as_of, &part),
        BenchRequest::Close { trial, closing, common } => closing::close(app, &trial, &closing, common),
        BenchRequest::CloseAsleep { closing, common, confirmed } => {
            closing::close_asleep(app, &closing, &common, confirmed)
        }
        BenchRequest::Reopen { trials } => closing::reopen(app, &trials),
        BenchRequest::Private { trial, is_private } => private::set(app, &trial, is_private),
        BenchRequest::LookedAll { spot, only, common } => looking::all(app, spot.as_deref(), &only, &common),
        BenchRequest::TakeBackLooks { entries } => looking::take_back(app, entries),
        BenchRequest::Settings { choice } => settings::settings(app, choice),
        BenchRequest::Layout { trial, columns, seed } => laying_out::layout(app, &trial, columns, seed),
        BenchRequest::Paper { trial, what, is_blind, is_letter } => {
            printing::paper(app, &trial, what, is_blind, is_letter)
        }
        BenchRequest::Export { table_only } => Ok(export::everything(app, table_only)),
        BenchRequest::Cautions => Ok(cautions::all(app)),
        BenchRequest::Dismiss { caution } => cautions::dismiss(app, &caution),
    }
}

/// The trial of that code, put in already.
fn stuck<'a>(bench: &'a Bench, code: &str) -> Result<&'a Trial, Fault> {
    let trial = super::trial::find(bench.trial(code), code, bench.trials())?;
    if trial.is_planned {
        return Err(Fault::user("trial-not-started")
            .with("code", code)
            .with("kind", trial.kind().word())
            .with("trial", &trial.code));
    }
    Ok(trial)
}

/// Something as a parameter of a fault, where a number or a name does not hold it: its JSON.
fn as_data(value: &impl serde::Serialize) -> String {
    serde_json::to_string(value).expect("plain data")
}

/// An entry of `what` with the day, note and files that were given.
fn entry(what: What, common: Common) -> Entry {
    let Common { on, note, files, once, is_sure: _, repeat: _ } = common;
    Entry { on, what, note: text::kept(note.as_deref()), files, once }
}

/// What an entry begins with.
enum Ready {
    /// The trial it belongs to.
    For(Box<Trial>),
    /// It was sent under this name before.
    Saved(Reply),
}

/// The trial that an entry belongs to, put in before the entry's day.
fn ready(bench: &Bench, code: &str, common: &Common) -> Result<Ready, Fault> {
    if let Some(number) = sent_before(bench, common) {
        return Ok(Ready::Saved(already(number)));
    }
    let trial = stuck(bench, code)?;
    closing::check_open(bench, trial)?;
    entering::check_day(trial, &common.on)?;
    Ok(Ready::For(Box::new(trial.clone())))
}

/// The number of an entry that was sent under the same name before.
fn sent_before(bench: &Bench, common: &Common) -> Option<u64> {
    common.once.as_deref().and_then(|once| bench.entry_once(once))
}

/// The answer to an entry that is there already.
fn already(number: u64) -> Reply {
    of_entry(EntryOutcome::before(number, EntryCame::AlreadySent))
}

/// The answer to an entry.
fn of_entry(outcome: EntryOutcome) -> Reply {
    Reply::done(Outcome::Entry(outcome))
}
