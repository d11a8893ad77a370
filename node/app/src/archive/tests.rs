//! Random benches go into an archive, become a home, and come out again as they were.

use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use serde_json::Value;
use tempfile::TempDir;

use super::*;
use crate::home::{Home, Pace};
use crate::{BenchRequest, PoolQuestion, Request, handle};
use propagule_bench::random_seasons;
use propagule_files::clock::Clock;
use propagule_files::lock::HomeLock;

/// Homes, and trials in each: more than 500 seasons in all.
const HOMES: u64 = 34;
const SEASONS: usize = 15;

fn clock() -> Clock {
    Clock::Fixed("2028-11-25T12:00:00Z".parse().expect("a time"))
}

fn open(path: &Path) -> Arc<App> {
    let home = Home::open(path).expect("a home");
    let lock = HomeLock::take(home.path(), "test", Duration::ZERO).expect("nobody else is here");
    Arc::new(App::open(home, lock, clock()).expect("opens"))
}

fn asked(app: &Arc<App>, request: Request) -> Result<Reply, Fault> {
    let runtime = tokio::runtime::Builder::new_current_thread().build().expect("a runtime");
    runtime.block_on(handle(Arc::clone(app), request))
}

/// Text and JSON of an answer, or why there is none.
fn answer(app: &Arc<App>, request: Request) -> Value {
    match asked(app, request) {
        Ok(Reply::Done(outcome) | Reply::Proposed(outcome)) => {
            serde_json::to_value(outcome).expect("plain data")
        }
        Ok(other) => panic!("{other:?}"),
        Err(failure) => failure.to_string().into(),
    }
}

/// Everything that reading commands say of a home.
fn all_answers(app: &Arc<App>) -> Vec<Value> {
    let codes: Vec<String> = app.bench().trials().map(|trial| trial.code.clone()).collect();
    let mut answers = vec![
        answer(app, Request::TrialList { words: String::new() }),
        answer(
            app,
            Request::Bench(Box::new(BenchRequest::Due {
                as_of: app.clock().today_date(),
                part: crate::DuePart::default(),
            })),
        ),
        answer(app, Request::Synonyms),
        answer(app, pooled()),
    ];
    for trial in codes {
        answers.push(answer(app, Request::TrialShow { trial: trial.clone(), detail: true }));
        answers.push(answer(app, Request::Bench(Box::new(BenchRequest::History { trial: trial.clone() }))));
        answers.push(answer(app, Request::Publish { trial, confirmed: false, at_once: false }));
    }
    answers
}

fn pooled() -> Request {
    Request::Pool(PoolQuestion::about("Morus nigra"))
}

/// A home with a random bench, of which some trials are published.
fn random_home(folder: &TempDir, seed: u64) -> Arc<App> {
    let path = folder.path().join("home");
    Home::create(&path, "test", Pace::Quick).expect("a home");
    let app = open(&path);
    app.bench().record_all(random_seasons::events(seed, SEASONS)).expect("is kept");
    // What the open home keeps beside its bench follows from what was written.
    drop(app);
    let app = open(&path);
    // Seasons of years end long after this program was released.
    app.home().choose("clock_right", "2028-11-25").expect("is kept");
    for number in [1, 2, 3] {
        // Trials that cannot be published yet are refused alike before and after.
        let _ = asked(
            &app,
            Request::Publish { trial: format!("T{number}"), confirmed: true, at_once: number == 1 },
        );
    }
    app
}

fn archived(app: &App, with_keys: bool) -> Vec<u8> {
    match make(app, with_keys).expect("an archive") {
        Reply::Archive { zip, .. } => bytes_of(&zip).expect("bytes"),
        other => panic!("{other:?}"),
    }
}

#[test]
fn random_seasons_come_back_as_they_were() {
    let mut published = 0;
    for seed in 0..HOMES {
        let folder = TempDir::new().expect("a folder");
        let app = random_home(&folder, seed);
        let with_keys = seed % 3 != 0;
        let first = archived(&app, with_keys);
        let before = all_answers(&app);
        published += app.store().count() as usize + app.store().outbox().expect("reads").len();
        let place = folder.path().join("again");
        restore("first.zip", &first, &place, "test").expect("restores");
        let again = open(&place);
        assert_eq!(again.home().id(), app.home().id());
        let second = archived(&again, with_keys);
        assert!(first == second, "seed {seed}: the second archive differs");
        if with_keys {
            let after = all_answers(&again);
            for (before, after) in before.iter().zip(&after) {
                assert_eq!(before, after, "seed {seed}");
            }
            assert_eq!(before.len(), after.len());
        }
        let planned = |app: &App| app.bench().trials().filter(|trial| trial.is_planned).count();
        assert_eq!(planned(&again), planned(&app));
    }
    assert!(published > HOMES as usize, "{published} records went along");
}

#[test]
fn the_day_on_which_it_was_made_is_all_that_changes() {
    let folder = TempDir::new().expect("a folder");
    let app = random_home(&folder, 99);
    let first = archived(&app, true);
    let (manifest, files) =
        propagule_bench::archive::unpack("first.zip", &first, propagule_bench::archive::Bounds::USUAL)
            .expect("whole");
    assert_eq!(manifest.made_on, "2028-11-25");
    assert_eq!(manifest.home_id, propagule_files::hex::encode(&app.home().id().0));
    assert!(files.contains_key("keys/author.key") && files.contains_key("keys/network.key"));
    let without = archived(&app, false);
    let (_, files) =
        propagule_bench::archive::unpack("second.zip", &without, propagule_bench::archive::Bounds::USUAL)
            .expect("whole");
    assert!(files.keys().all(|name| !name.starts_with("keys/")));
}

#[test]
fn what_is_no_record_event_or_key_leaves_nothing_behind() {
    let folder = TempDir::new().expect("a folder");
    let app = random_home(&folder, 5);
    let whole = archived(&app, true);
    let bounds = propagule_bench::archive::Bounds::USUAL;
    let (stated, files) = propagule_bench::archive::unpack("whole.zip", &whole, bounds).expect("whole");
    let place = folder.path().join("again");
    let changed = |name: &str, bytes: &[u8]| {
        let mut files = files.clone();
        files.insert(name.to_owned(), bytes.to_vec());
        let manifest = Manifest::of(&files, app.home().id().0, &stated.network, stated.made_on.clone());
        let zip = pack(&manifest, &files).expect("packs");
        let failure = restore("bad.zip", &zip, &place, "test").expect_err("refused");
        let left: Vec<_> =
            std::fs::read_dir(folder.path()).expect("lists").flatten().map(|e| e.file_name()).collect();
        assert_eq!(left, ["home"], "nothing is half restored");
        failure
    };
    let event = changed("events.jsonl", b"{\"event\":\"place_set\"}\n{}\n");
    assert_eq!((event.code.as_ref(), event.params["line"].as_str()), ("archive-line-no-event", "2"));
    let record = changed(&format!("records/{}.cbor", "00".repeat(32)), b"\x01");
    assert_eq!(record.code, "archive-record-unreadable");
    let key = changed("keys/author.key", b"not a key");
    assert_eq!((key.code.as_ref(), key.params["name"].as_str()), ("archive-key-damaged", "author.key"));
    let trust = changed("trust.json", b"{\"format\":\"propagule.trust/9\"}");
    assert_eq!(
        (trust.code.as_ref(), trust.params["form"].as_str()),
        ("archive-file-of-other-form", "propagule.trust/1")
    );
}
