//! Reaching the home: through the node that serves it, or by opening it for one command.

use std::sync::Arc;
use std::time::{Duration, Instant};

use super::Context;
use crate::socket;
use propagule_app as app;
use propagule_app::home::Home;
use propagule_app::outcome::Outcome;
use propagule_app::outcome::units::UnitsToCount;
use propagule_app::{App, BenchRequest, Reply, Request, UnitsOf};
use propagule_files::fault::Fault;
use propagule_files::lock::HomeLock;
use propagule_present::outcome as present;

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
                note_opening(context, &app);
                let reply = app::handle(Arc::clone(&app), request).await;
                note_raised(context, app.has_raised());
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

/// Asks for something that is done without a yes.
pub(super) async fn done(context: &Context, request: Request) -> Result<Outcome, Fault> {
    match ask(context, request).await? {
        Reply::Done(outcome) => Ok(*outcome),
        _ => Err(unexpected()),
    }
}

/// Asks, and shows the report.
pub(super) async fn show(context: &Context, request: Request) -> Result<(), Fault> {
    match ask(context, request).await? {
        Reply::Done(outcome) | Reply::Proposed(outcome) => show_outcome(context, &outcome),
        Reply::Followed { first, by } => context.ui.show(&present::followed(&first, &by, context.ui.width())),
        _ => Err(unexpected()),
    }
}

/// Asks for two things, one after the other, and shows both.
pub(super) async fn show_both(
    context: &Context,
    first: BenchRequest,
    second: BenchRequest,
) -> Result<(), Fault> {
    let first = done(context, Request::Bench(Box::new(first))).await?;
    match done(context, Request::Bench(Box::new(second))).await {
        Ok(by) => context.ui.show(&present::followed(&first, &by, context.ui.width())),
        Err(failure) => {
            // The first is saved all the same.
            show_outcome(context, &first)?;
            Err(failure)
        }
    }
}

/// Says what opening the home found.
pub(super) fn note_opening(context: &Context, app: &App) {
    for note in app.opening_notes() {
        context.ui.note(format!("note: {}", present::opening::note(&note)));
    }
}

/// Says that the home is now one of a newer format, where it is.
pub(super) fn note_raised(context: &Context, has_raised: bool) {
    if has_raised {
        context.ui.note(format!("note: {}", present::opening::raised()));
    }
}

/// What is asked before something is done, and how it is done without asking.
pub(super) struct Question {
    /// Ends in a question mark.
    pub(super) words: &'static str,
    /// Why nothing was done, where nobody said yes.
    pub(super) no: Fault,
}

/// Does something at once with a `yes`; else shows what it would do, and does it when somebody says yes.
pub(super) async fn with_a_yes(
    context: &Context,
    yes: bool,
    request: impl Fn(bool) -> Request,
    question: Question,
) -> Result<Outcome, Fault> {
    let shown = match ask(context, request(yes)).await? {
        Reply::Done(outcome) => *outcome,
        Reply::Proposed(outcome) => {
            show_outcome(context, &outcome)?;
            if !(context.ui.can_ask() && context.ui.ask(question.words)?) {
                return Err(question.no);
            }
            done(context, request(true)).await?
        }
        _ => return Err(unexpected()),
    };
    show_outcome(context, &shown)?;
    Ok(shown)
}

/// Shows what came of a request.
pub(super) fn show_outcome(context: &Context, outcome: &Outcome) -> Result<(), Fault> {
    context.ui.show(&present::report(outcome, context.ui.width()))
}

/// A reply of a kind that the request cannot have.
pub(super) fn unexpected() -> Fault {
    Fault::usage("answer-of-another-kind")
}
