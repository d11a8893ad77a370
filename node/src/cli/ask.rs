//! Reaching the home: through the node that serves it, or by opening it for one command.

use std::sync::Arc;
use std::time::{Duration, Instant};

use super::Context;
use crate::app;
use crate::app::outcome::Outcome;
use crate::app::outcome::units::UnitsToCount;
use crate::app::{App, BenchRequest, Reply, Request, UnitsOf};
use crate::home::Home;
use crate::present;
use crate::socket;
use propagule_files::fault::Fault;
use propagule_files::lock::HomeLock;

/// How long to wait for another short command to finish with the home.
const PATIENCE: Duration = Duration::from_secs(10);
/// One wait for the lock, between two looks for a serving node.
const LOCK_TURN: Duration = Duration::from_millis(100);

/// Asks the home for something, whichever way it can be reached.
pub(super) async fn ask(context: &Context, request: Request) -> Result<Reply, Fault> {
    let home = Home::open(&context.home_path()?)?;
    let until = Instant::now() + PATIENCE;
    loop {
        if let Some(reply) = socket::call(&home, request.clone()).await? {
            return Ok(reply);
        }
        match HomeLock::take(home.path(), context.words(), LOCK_TURN) {
            Ok(lock) => {
                let app = Arc::new(App::open(home, lock, context.clock)?);
                app.opening_notes().iter().for_each(|note| context.ui.note(format!("note: {note}")));
                let reply = app::handle(Arc::clone(&app), request).await;
                app.raised_note().iter().for_each(|note| context.ui.note(format!("note: {note}")));
                return reply;
            }
            // A node that is just starting or stopping holds the lock without answering yet.
            Err(failure) if Instant::now() >= until || !failure.is_busy() => return Err(failure),
            Err(_) => {}
        }
    }
}

/// Asks for the places of a trial, which have to be known before counts of it are read.
pub(super) async fn units(context: &Context, of: UnitsOf) -> Result<UnitsToCount, Fault> {
    match ask(context, Request::Bench(Box::new(BenchRequest::Units { of }))).await? {
        Reply::Done(outcome) => match *outcome {
            Outcome::Units(units) => Ok(units),
            _ => Err(unexpected()),
        },
        _ => Err(unexpected()),
    }
}

/// Asks, and shows the report.
pub(super) async fn show(context: &Context, request: Request) -> Result<(), Fault> {
    match ask(context, request).await? {
        Reply::Done(outcome) | Reply::Proposed(outcome) => {
            context.ui.show(&present::report(&outcome, context.ui.width()))
        }
        Reply::Report(report) | Reply::Preview(report) => context.ui.show(&report),
        _ => Err(unexpected()),
    }
}

/// A reply of a kind that the request cannot have.
pub(super) fn unexpected() -> Fault {
    Fault::usage("answer-of-another-kind")
}
