//! Use cases of the bench: set up, put in, check, lift, move, correct, look back.

mod correcting;
mod due;
mod entering;
mod export;
mod happened;
mod history;
mod laying_out;
mod moving;
mod planning;
mod printing;
mod reported;
mod request;
mod setting_up;
mod shown;
mod spots;
mod sticking;
mod stock;
pub(crate) mod viewed;

pub(super) use happened::last_day;
pub use request::{BenchRequest, Common, CorrectTrial, Enter, NewTrial, PaperKind, Stick};
pub(super) use shown::show;

use super::{App, Reply};
use crate::bench::typed::TypedFault;
use crate::bench::{Bench, Entry, Trial, What};
use crate::error::Failure;

/// Does what a bench command asks.
pub(super) fn handle(app: &App, request: BenchRequest) -> Result<Reply, Failure> {
    happened::check(app, &request)?;
    match request {
        BenchRequest::New(new) => setting_up::new(app, &new),
        BenchRequest::Stick(stick) => sticking::stick(app, &stick),
        BenchRequest::Enter(enter) => entering::enter(app, &enter),
        BenchRequest::Move { trial, arms, to, with, common } => {
            moving::moved(app, &trial, &arms, &to, with.as_deref(), common)
        }
        BenchRequest::Left { trial, place, pieces, how, at_grade, common } => {
            moving::left(app, &trial, place.as_deref(), moving::Leaving { pieces, how, at_grade }, common)
        }
        BenchRequest::Suckers { trial, removed, common } => entering::suckers(app, &trial, &removed, common),
        BenchRequest::WrapCut { trial, common } => entering::wrap_cut(app, &trial, common),
        BenchRequest::Note { subject, common } => entering::note(app, &subject, common),
        BenchRequest::Care { spot, care, until, common } => spots::care(app, &spot, &care, until, common),
        BenchRequest::TakeBackCare { spot, entry } => spots::take_back(app, &spot, entry),
        BenchRequest::SpotSet { name, with } => spots::set(app, &name, &with),
        BenchRequest::Stand { spot, lots, common } => spots::stand(app, &spot, &lots, &common),
        BenchRequest::SpotShow { name } => spots::show(app, name.as_deref()),
        BenchRequest::StockSet { name, species, with, note } => stock::set(app, &name, species, &with, note),
        BenchRequest::StockShow => Ok(stock::show(app)),
        BenchRequest::CorrectEntry { trial, entry, counts, on, take_back } => {
            correcting::entry(app, &trial, entry, &counts, on, take_back)
        }
        BenchRequest::CorrectTrial(correct) => correcting::trial(app, &correct),
        BenchRequest::History { trial } => history::show(app, &trial),
        BenchRequest::Due { as_of } => due::due(app, as_of),
        BenchRequest::Layout { trial, columns, seed, width } => {
            laying_out::layout(app, &trial, columns, seed, width)
        }
        BenchRequest::Paper { trial, what, is_blind, is_letter } => {
            printing::paper(app, &trial, what, is_blind, is_letter)
        }
        BenchRequest::Export { table_only } => Ok(export::everything(app, table_only)),
        BenchRequest::Dismiss { caution } => spots::dismiss(app, &caution),
    }
}

/// The trial of that code, put in already.
fn stuck<'a>(bench: &'a Bench, code: &str) -> Result<&'a Trial, Failure> {
    let trial = super::trial::find(bench.trial(code), code, bench.trials())?;
    if trial.is_planned {
        return Err(Failure::expected(format!("nothing has been put in for trial \"{code}\" yet"))
            .hint(format!("propagule stick {}", crate::paste::pasteable(&trial.code))));
    }
    Ok(trial)
}

/// A fault in something typed, in the words of the command.
fn failure(what: &str, fault: &TypedFault) -> Failure {
    let text =
        if fault.text.is_empty() { format!("{what}: {}", fault.why) } else { format!("{what}: {fault}") };
    fault.hints.iter().fold(Failure::expected(text), |failure, hint| failure.hint(hint.clone()))
}

/// An entry of `what` with the day, note and files that were given.
fn entry(what: What, common: Common) -> Entry {
    let Common { on, note, files, once } = common;
    Entry { on, what, note, files, once }
}

/// What an entry begins with.
enum Ready {
    /// The trial it belongs to.
    For(Box<Trial>),
    /// It was sent under this name before.
    Saved(Reply),
}

/// The trial that an entry belongs to, put in before the entry's day.
fn ready(bench: &Bench, code: &str, common: &Common) -> Result<Ready, Failure> {
    if let Some(number) = sent_before(bench, common) {
        return Ok(Ready::Saved(already(number)));
    }
    let trial = stuck(bench, code)?;
    entering::check_day(trial, &common.on)?;
    Ok(Ready::For(Box::new(trial.clone())))
}

/// The number of an entry that was sent under the same name before.
fn sent_before(bench: &Bench, common: &Common) -> Option<u64> {
    common.once.as_deref().and_then(|once| bench.entry_once(once))
}

/// The answer to an entry that is there already.
fn already(number: u64) -> Reply {
    Reply::report(
        format!("This entry is there already, as number {number}; nothing was changed.\n"),
        serde_json::json!({ "format": "propagule.entry/1", "entry": number, "saved": false }),
    )
}
