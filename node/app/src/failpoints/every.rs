//! Every use case, failing at every place that it passes: the request ends with a fault of the program and a number, the
//! journal reads as it did or with what was saved whole, and the home goes on answering.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use propagule_files::clock::Clock;
use propagule_files::lock::HomeLock;
use serde_json::Value;
use tempfile::TempDir;

use super::requests::{home_of_a_season, requests};
use crate::home::{Home, Pace};
use crate::{App, BenchRequest, Reply, Request, handle};
use propagule_bench::Bench;
use propagule_files::fault::Fault;

/// A home never passes more places in one request; what does runs in a circle.
const MOST_PLACES: u64 = 40;

pub(super) fn open(path: &Path) -> Arc<App> {
    let home = Home::open(path).expect("a home");
    let lock = HomeLock::take(home.path(), "test", Duration::ZERO).expect("nobody else is here");
    let clock = Clock::Fixed("2026-11-26T10:00:00Z".parse().expect("a time"));
    Arc::new(App::open(home, lock, clock).expect("opens"))
}

pub(super) fn asked(app: &Arc<App>, request: Request) -> Result<Reply, Fault> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime");
    runtime.block_on(handle(Arc::clone(app), request))
}

/// The name of a request, and of what it asks of the bench.
fn name(request: &Request) -> (String, Option<String>) {
    let json = serde_json::to_value(request).expect("plain data");
    let word = |key: &str| json[key].as_str().map(str::to_owned);
    (word("request").expect("a name"), word("bench"))
}

/// All names that a tagged type has, as its reader lists them.
fn names_of<T: serde::de::DeserializeOwned>(tag: &str) -> BTreeSet<String> {
    let asked = Value::Object([(tag.to_owned(), "no such name".into())].into_iter().collect());
    let refused = serde_json::from_value::<T>(asked).err().expect("no such name").to_string();
    let listed = refused.split("expected one of").nth(1).expect("the names are listed");
    listed.split('`').skip(1).step_by(2).map(str::to_owned).collect()
}

/// What the journal on disk says, read by nobody but this.
fn events_on_disk(app: &App) -> u64 {
    let (read, damage) = Bench::open(app.home.path(), app.home.id(), app.clock).expect("reads");
    assert_eq!(damage, [], "the journal is whole");
    read.events()
}

/// Asks with the so many-th place failing; whether the request came that far.
fn fails_at(app: &Arc<App>, place: u64, request: &Request) -> bool {
    let at = || format!("{:?} at place {place}", name(request));
    app.failpoints.arm(place);
    let came = asked(app, request.clone());
    if app.failpoints.disarm() {
        return false;
    }
    let fault = came.expect_err(&at());
    assert_eq!(fault.code, "internal", "{}", at());
    assert!(fault.params.contains_key("at"), "{}: {fault:?}", at());
    assert_eq!(app.bench().events(), events_on_disk(app), "{}", at());
    let listed = asked(app, Request::TrialList { words: String::new() });
    assert!(matches!(listed, Ok(Reply::Done(_))), "{}: {listed:?}", at());
    true
}

#[test]
fn a_fault_of_the_program_ends_one_request_wherever_it_happens() {
    // Only what is meant to fail says nothing of it.
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        if info.payload_as_str() != Some("a failpoint") {
            before(info);
        }
    }));
    let folder = TempDir::new().expect("a folder");
    let mut asked_for = (BTreeSet::new(), BTreeSet::new());
    let all = requests();
    for (number, request) in all.into_iter().enumerate() {
        let path = folder.path().join(number.to_string());
        Home::create(&path, "test", Pace::Quick).expect("a home");
        let app = open(&path);
        home_of_a_season(&app);
        let places = (1..MOST_PLACES).find(|place| !fails_at(&app, *place, &request));
        assert!(places.is_some_and(|places| places > 1), "{:?} passes {places:?} places", name(&request));
        // It works once the program does not fail.
        let came = asked(&app, request.clone());
        let is_internal = came.as_ref().is_err_and(|fault| fault.code == "internal");
        assert!(!is_internal, "{:?}: {came:?}", name(&request));
        let (of_home, of_bench) = name(&request);
        asked_for.0.insert(of_home);
        asked_for.1.extend(of_bench);
    }
    assert_eq!(asked_for.0, names_of::<Request>("request"));
    assert_eq!(asked_for.1, names_of::<BenchRequest>("bench"));
}
