//! What reading the bench answers comes over the socket as it was sent: random seasons, every question about them.

use std::sync::Arc;
use std::time::Duration;

use serde_json::Value;
use tempfile::TempDir;

use propagule_app::home::{Home, Pace};
use propagule_app::outcome::Outcome;
use propagule_app::{App, BenchRequest, DuePart, PaperKind, Reply, Request, UnitsOf, handle, viewed};
use propagule_bench::random_seasons;
use propagule_files::clock::Clock;
use propagule_files::lock::HomeLock;
use propagule_present::outcome::export;
use propagule_present::outcome::paper::Page;
use propagule_present::outcome::{self as present, Report};

#[path = "../../tests/schema/mod.rs"]
#[allow(dead_code, reason = "the commands' own tests use the rest of it")]
mod schema;

/// Homes, and trials in each.
const HOMES: u64 = 6;
const TRIALS: usize = 30;

fn home(folder: &TempDir, seed: u64) -> Arc<App> {
    let path = folder.path().join("home");
    Home::create(&path, "test", Pace::Quick).expect("a home");
    let home = Home::open(&path).expect("a home");
    let lock = HomeLock::take(home.path(), "test", Duration::ZERO).expect("nobody else is here");
    let clock = Clock::Fixed("2028-11-25T12:00:00Z".parse().expect("a time"));
    let app = App::open(home, lock, clock).expect("opens");
    viewed::bench(&app).record_all(random_seasons::events(seed, TRIALS)).expect("is kept");
    Arc::new(app)
}

fn answered(app: &Arc<App>, request: Request) -> Reply {
    let runtime = tokio::runtime::Builder::new_current_thread().build().expect("a runtime");
    runtime.block_on(handle(Arc::clone(app), request)).expect("an answer")
}

/// Every question that reads the bench.
fn questions(app: &App) -> Vec<Request> {
    let bench = |request| Request::Bench(Box::new(request));
    let as_of = app.clock().today_date();
    let due = |all| bench(BenchRequest::Due { as_of, part: DuePart { all, ..DuePart::default() } });
    let export = |table_only| bench(BenchRequest::Export { table_only });
    let codes: Vec<String> = viewed::bench(app).trials().map(|trial| trial.code.clone()).collect();
    let of_trial = |trial: &String| {
        let paper = |what| {
            bench(BenchRequest::Paper { trial: trial.clone(), what, is_blind: false, is_letter: false })
        };
        [
            Request::TrialShow { trial: trial.clone(), detail: true },
            bench(BenchRequest::History { trial: trial.clone() }),
            bench(BenchRequest::Units { of: UnitsOf::Trial(trial.clone()) }),
            paper(PaperKind::Labels),
            paper(PaperKind::ScoreSheet),
            paper(PaperKind::Report),
        ]
    };
    let of_all = [
        Request::TrialList { words: String::new() },
        Request::TrialList { words: "nigra".to_owned() },
        due(false),
        due(true),
        export(false),
        export(true),
    ];
    of_all.into_iter().chain(codes.iter().flat_map(of_trial)).collect()
}

/// All that is shown of an answer, in text and as data; a trial keeps some things only while it is in memory.
fn shown(reply: &Reply) -> (String, Value) {
    match reply {
        Reply::Done(outcome) => {
            let Report { text, json } = present::report(outcome, 100);
            (text, json)
        }
        Reply::Page { name, page } => {
            let page = Page::of(page);
            (page.html(), page.json(name))
        }
        Reply::Bench(bench) => {
            let tables = serde_json::to_string(&export::tables(bench)).expect("plain data");
            (tables, export::json(bench))
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_is_read_of_a_bench_comes_over_the_socket_as_it_was_sent() {
    let mut judged = 0;
    for seed in 0..HOMES {
        let folder = TempDir::new().expect("a folder");
        let app = home(&folder, seed);
        for question in questions(&app) {
            let at = format!("seed {seed}, {question:?}");
            let sent = answered(&app, question);
            let text = serde_json::to_string(&sent).expect("plain data");
            let come: Reply = serde_json::from_str(&text).unwrap_or_else(|e| panic!("{at}: {e}: {text}"));
            let (text, json) = shown(&sent);
            schema::check(&json.to_string()).expect("a format of ours");
            assert_eq!((text, json), shown(&come), "{at}");
            if let Reply::Done(outcome) = &come
                && let Outcome::Trial(shown) = &**outcome
            {
                judged += shown.stages.iter().map(|stage| stage.verdicts.len()).sum::<usize>();
            }
        }
    }
    assert!(judged > 20, "{judged} pairs were judged");
}
