//! One request by somebody who has come in.

use std::sync::Arc;

use axum::extract::{FromRef, FromRequestParts};
use axum::http::StatusCode;
use axum::http::request::Parts;
use axum::response::{IntoResponse, Redirect, Response};

use super::Web;
use super::guard::{Session, closed_here};
use super::problem::{Turned, of_another_kind};
use propagule_app as app;
use propagule_app::outcome::Outcome;
use propagule_app::outcome::entry::EntryOutcome;
use propagule_app::{App, BenchRequest, Hearing, Reply, Request, UnitsOf};
use propagule_bench::TrialUnits;
use propagule_bench::doing::Doing;
use propagule_files::fault::Fault;
use propagule_present::outcome::{self as present, Report};
use propagule_present::text::WIDTHS;

/// One request by somebody who has come in.
#[derive(Clone, Debug)]
pub(super) struct Visit {
    pub(super) web: Web,
    pub(super) session: Session,
    /// Asked by `app.js`, which wants a short answer instead of a page.
    pub(super) is_script: bool,
}

impl<S: Sync> FromRequestParts<S> for Visit
where
    Web: FromRef<S>,
{
    type Rejection = Turned;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Turned> {
        let session = parts
            .extensions
            .get::<Session>()
            .cloned()
            .ok_or_else(|| Turned::new(StatusCode::FORBIDDEN, closed_here()))?;
        let accept = parts.headers.get("accept").and_then(|accept| accept.to_str().ok());
        let is_script = accept.is_some_and(|accept| accept == "application/json");
        Ok(Self { web: Web::from_ref(state), session, is_script })
    }
}

impl Visit {
    /// Does what a command would do.
    pub(super) async fn ask(&self, request: Request) -> Result<Reply, Fault> {
        app::handle(Arc::clone(&self.web.app), request).await
    }

    /// Does what a command would do without a yes.
    pub(super) async fn done(&self, request: Request) -> Result<Outcome, Fault> {
        match self.ask(request).await? {
            Reply::Done(outcome) => Ok(*outcome),
            _ => Err(of_another_kind()),
        }
    }

    /// Does what a command would do, and takes its report.
    pub(super) async fn report(&self, request: Request) -> Result<Report, Fault> {
        match self.ask(request).await? {
            Reply::Done(outcome) | Reply::Proposed(outcome) => Ok(present::report(&outcome, WIDTHS.1)),
            Reply::Followed { first, by } => Ok(present::followed(&first, &by, WIDTHS.1)),
            _ => Err(of_another_kind()),
        }
    }

    /// Does what a bench command would do.
    pub(super) async fn bench(&self, request: BenchRequest) -> Result<Report, Fault> {
        self.report(Request::Bench(Box::new(request))).await
    }

    /// Does what a bench command that saves an entry would do.
    pub(super) async fn enter(&self, request: BenchRequest) -> Result<EntryOutcome, Fault> {
        match self.done(Request::Bench(Box::new(request))).await? {
            Outcome::Entry(entry) => Ok(entry),
            _ => Err(of_another_kind()),
        }
    }

    /// The places of a trial, which a form counts.
    pub(super) async fn units(&self, trial: &str) -> Result<TrialUnits, Fault> {
        let of = UnitsOf::Trial(trial.to_owned());
        match self.ask(Request::Bench(Box::new(BenchRequest::Units { of }))).await? {
            Reply::Done(outcome) => match *outcome {
                Outcome::Units(found) => Ok(found.units),
                _ => Err(of_another_kind()),
            },
            _ => Err(of_another_kind()),
        }
    }

    /// Looks at the bench, away from the threads that answer others.
    pub(super) async fn view<T: Send + 'static>(
        &self,
        read: impl FnOnce(&App) -> Result<T, Fault> + Send + 'static,
    ) -> Result<T, Fault> {
        app::look(&self.web.app, read).await
    }

    /// As what, and in whose English, this grower is heard.
    pub(super) fn hearing(&self, what: Doing) -> Hearing {
        Hearing { what, dialect: self.web.app.dialect() }
    }

    /// Today by the clock of the node.
    pub(super) fn today(&self) -> propagule_protocol::Date {
        self.web.app.clock().today_date()
    }
}

/// Goes on to another address after something was saved.
pub(super) fn go(address: &str) -> Response {
    Redirect::to(address).into_response()
}
