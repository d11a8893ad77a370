//! A page over a home of its own, asked without a socket.

use std::sync::Arc;

use axum::body::Body;
use axum::http::{Request, Response};
use jiff::Timestamp;
use tower_service::Service;

use super::guard::{Doors, Session, Side};
use super::{Web, router};
use propagule_app::home::{Home, Pace};
use propagule_app::outcome::Outcome;
use propagule_app::{App, BenchRequest, Reply, UnitsOf, handle};
use propagule_bench::typed::tally;
use propagule_bench::typed::tally::PlaceCount;
use propagule_files::clock::Clock;
use propagule_files::lock::HomeLock;

/// The page on this machine.
pub(super) const HOST: &str = "127.0.0.1:48621";
/// The page in the local network; TEST-NET-1 of RFC 5737.
pub(super) const LAN: &str = "192.0.2.7:48621";

/// A page over a home of its own.
pub(super) struct Stage {
    _folder: tempfile::TempDir,
    pub(super) web: Web,
}

pub(super) fn instant(text: &str) -> Timestamp {
    text.parse().expect("a timestamp")
}

impl Stage {
    pub(super) fn new(side: Side) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let app = opened(folder.path());
        let lan = LAN.parse().expect("an address");
        let host = if side == Side::Lan { LAN } else { HOST };
        let web = Web {
            app: Arc::new(app),
            doors: Arc::new(Doors::new(Some(lan)).expect("random numbers")),
            side,
            hosts: Arc::from([host.to_owned()]),
        };
        Self { _folder: folder, web }
    }

    pub(super) fn come_in(&self) -> Session {
        let address = self.web.doors.one_time_address(HOST.parse().expect("an address"));
        let secret = address.rsplit('/').next().expect("a last part").to_owned();
        let now = self.web.app.clock().now();
        self.web.doors.enter(&secret, now).expect("random numbers").expect("the first to come")
    }

    pub(super) fn cookie(&self, session: &Session) -> String {
        format!("{}={}", self.web.cookie(), session.id)
    }

    pub(super) async fn ask(&self, request: Request<Body>) -> Response<Body> {
        router(self.web.clone()).call(request).await.expect("a router never fails")
    }

    pub(super) async fn get(&self, path: &str, headers: &[(&str, &str)]) -> Response<Body> {
        let mut request = Request::get(path);
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        self.ask(request.body(Body::empty()).expect("a request")).await
    }

    pub(super) async fn post(&self, path: &str, headers: &[(&str, &str)], body: &str) -> Response<Body> {
        let mut request = Request::post(path).header("content-type", "application/x-www-form-urlencoded");
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        self.ask(request.body(Body::from(body.to_owned())).expect("a request")).await
    }
}

fn opened(folder: &std::path::Path) -> App {
    let home = Home::create(&folder.join("home"), "test", Pace::Quick).expect("a folder of our own");
    let lock = HomeLock::take(home.path(), "test", std::time::Duration::ZERO).expect("nobody else has it");
    App::open(home, lock, Clock::Fixed(instant("2026-11-26T10:00:00Z"))).expect("an empty home opens")
}

pub(super) async fn text(response: Response<Body>) -> String {
    let bytes = axum::body::to_bytes(response.into_body(), 1 << 20).await.expect("a short body");
    let text = String::from_utf8(bytes.to_vec()).expect("text");
    crate::schema::check(&text);
    text
}

/// Counts of a trial as they are typed after a command.
pub(super) async fn counts(
    app: &Arc<App>,
    trial: &str,
    stage: Option<propagule_bench::Stage>,
    words: &[&str],
) -> Vec<PlaceCount> {
    let of = UnitsOf::Trial(trial.to_owned());
    let request = propagule_app::Request::Bench(Box::new(BenchRequest::Units { of }));
    let Ok(Reply::Done(outcome)) = handle(Arc::clone(app), request).await else {
        panic!("no places of {trial}")
    };
    let Outcome::Units(found) = *outcome else { panic!("no places of {trial}") };
    let words: Vec<String> = words.iter().map(|text| (*text).to_owned()).collect();
    tally::read_all(&words, None, &found.units, stage).expect("counts")
}
