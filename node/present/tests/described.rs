//! What came of setting up and describing is data: it comes over the socket as it was, and the words for it are whole.

use std::sync::Arc;
use std::time::Duration;

use propagule_bench::dates::{Reading, When, read};
use propagule_bench::{Fate, StartedKnown};
use propagule_protocol::Facet;
use serde_json::Value;
use tempfile::TempDir;

use propagule_app::home::{Home, Pace};
use propagule_app::outcome::Outcome;
use propagule_app::outcome::closing::{Closed, ClosedStep};
use propagule_app::outcome::new_trial::{CanShow, NewTrialFacts};
use propagule_app::{
    App, ArmFacts, ArmGiven, Because, BenchRequest, Closing, Common, CorrectTrial, NewTrial, Reply, Request,
    SettingChoice, Stick, handle,
};
use propagule_bench::given::FacetsGiven;
use propagule_files::clock::Clock;
use propagule_files::fault::Fault;
use propagule_files::lock::HomeLock;
use propagule_present::outcome as present;

fn open(folder: &TempDir) -> Arc<App> {
    let home = Home::create(&folder.path().join("home"), "test", Pace::Quick).expect("a home");
    let lock = HomeLock::take(home.path(), "test", Duration::ZERO).expect("nobody else is here");
    Arc::new(
        App::open(home, lock, Clock::Fixed("2026-11-26T10:00:00Z".parse().expect("a time"))).expect("opens"),
    )
}

fn day(text: &str) -> When {
    read(text, Reading::default()).expect("a day")
}

fn facets(all: &[(Facet, &str)]) -> FacetsGiven {
    let mut given = FacetsGiven::default();
    for (facet, words) in all {
        given.set(*facet, words).expect("a word of the facet");
    }
    given
}

fn answered(app: &Arc<App>, request: BenchRequest) -> Result<Reply, Fault> {
    let runtime = tokio::runtime::Builder::new_current_thread().build().expect("a runtime");
    runtime.block_on(handle(Arc::clone(app), Request::Bench(Box::new(request))))
}

/// What came of a request, after the way over the socket.
fn come(app: &Arc<App>, request: BenchRequest) -> Outcome {
    let said = format!("{request:?}");
    let reply = answered(app, request).unwrap_or_else(|fault| panic!("{said}: {fault:?}"));
    let (Reply::Done(outcome) | Reply::Proposed(outcome)) = &reply else { panic!("{said}: {reply:?}") };
    let sent = serde_json::to_string(&reply).expect("plain data");
    let back: Reply = serde_json::from_str(&sent).unwrap_or_else(|e| panic!("{said}: {e}: {sent}"));
    let (Reply::Done(back) | Reply::Proposed(back)) = back else { panic!("{said}: {back:?}") };
    assert_eq!(&back, outcome, "{said}");
    let shown = present::report(&back, 80);
    assert!(!shown.text.is_empty() && has_all_words(&shown.json), "{said}: {} {}", shown.text, shown.json);
    *back
}

/// Whether nothing is left in JSON that was still to be said.
fn has_all_words(value: &Value) -> bool {
    match value {
        Value::Object(fields) => !fields.contains_key("say") && fields.values().all(has_all_words),
        Value::Array(all) => all.iter().all(has_all_words),
        _ => true,
    }
}

/// Two arms of three pots, one of them with an auxin stronger than usual.
fn two_arms(code: &str) -> NewTrial {
    let arm = |label: &str, auxin: &str| ArmGiven {
        label: label.to_owned(),
        said: ArmFacts { facets: facets(&[(Facet::Auxin, auxin)]), ..ArmFacts::default() },
    };
    let common = ArmFacts { facets: facets(&[(Facet::Kind, "stem cutting")]), ..ArmFacts::default() };
    NewTrial {
        arms: vec![arm("dip", "IBA quick dip 30000 mg/L"), arm("none", "none")],
        pots: Some(3),
        pieces: Some(4),
        common,
        ..NewTrial::lot(code, "Morus nigra L.", day("2026-06-05"))
    }
}

fn new_trial(app: &Arc<App>, new: NewTrial) -> NewTrialFacts {
    let Outcome::NewTrial(facts) = come(app, BenchRequest::New(new)) else { panic!("a new trial") };
    *facts
}

fn stick(app: &Arc<App>, trial: &str, on: &str) {
    let stick = Stick {
        trial: trial.to_owned(),
        on: day(on),
        counts: Vec::new(),
        known: StartedKnown::Counted,
        spot: None,
        opens: None,
    };
    answered(app, BenchRequest::Stick(stick)).expect("put in");
}

#[test]
fn spots_and_stock_plants() {
    let folder = TempDir::new().expect("a folder");
    let app = open(&folder);
    come(&app, BenchRequest::SpotShow { name: None });
    let name = "mist house".to_owned();
    come(
        &app,
        BenchRequest::SpotSet { name: name.clone(), facets: facets(&[(Facet::GrowingPlace, "glass")]) },
    );
    new_trial(&app, NewTrial { pieces: Some(12), ..NewTrial::lot("N1", "Ribes nigrum", day("2026-11-01")) });
    stick(&app, "N1", "2026-11-01");
    let common = Common::on(day("2026-11-02"));
    let stand =
        BenchRequest::Stand { spot: name.clone(), lots: vec!["N1".to_owned()], common: common.clone() };
    let Outcome::Stood(stood) = come(&app, stand) else { panic!("it stands there") };
    assert_eq!((stood.lots, stood.entries.len()), (vec!["N1".to_owned()], 1));
    let care = propagule_bench::spot::Care::Light { let_through: 60 };
    answered(&app, BenchRequest::Care { spot: name.clone(), care, until: Some(day("2026-11-20")), common })
        .expect("cared for");
    let Outcome::Spots(spots) = come(&app, BenchRequest::SpotShow { name: Some(name) }) else {
        panic!("spots")
    };
    assert_eq!((spots.spots[0].care.len(), spots.spots[0].lots.len()), (1, 1));
    come(&app, BenchRequest::StockShow);
    let stock = BenchRequest::StockSet {
        name: "old hedge".to_owned(),
        species: Some("Morus nigra L.".to_owned()),
        facets: facets(&[(Facet::StockAge, "8 years")]),
        note: Some("by the wall".to_owned()),
        yes: false,
    };
    let Outcome::StockSaved(saved) = come(&app, stock) else { panic!("a stock plant") };
    assert_eq!(saved.taken.expect("an author was left out").notes.len(), 1);
    let Outcome::StockPlants(plants) = come(&app, BenchRequest::StockShow) else { panic!("stock plants") };
    assert_eq!(plants.stock_plants, [saved.stock]);
    come(&app, BenchRequest::Dismiss { caution: "knife".to_owned() });
}

#[test]
fn new_trials_and_what_is_done_to_their_description() {
    let folder = TempDir::new().expect("a folder");
    let app = open(&folder);
    let tried = new_trial(&app, NewTrial { dry_run: true, ..two_arms("M1") });
    let set_up = new_trial(&app, two_arms("M1"));
    assert_eq!((tried.saved, set_up.saved, set_up.questions.len()), (false, true, 1));
    let CanShow::Arms(arms) = &set_up.can_show else { panic!("arms are compared") };
    assert_eq!((arms.power.len(), arms.pairs.len(), arms.single_pots.len()), (2, 1, 0));
    assert!(arms.power.iter().all(|power| power.pots.is_some()));
    let lot = new_trial(
        &app,
        NewTrial { pieces: Some(12), ..NewTrial::lot("N1", "Morus nigrae", day("2026-11-01")) },
    );
    assert!(matches!(&lot.can_show, CanShow::Lot(lot) if lot.pieces == 12));
    assert!(lot.near_names.contains(&"Morus nigra".to_owned()), "{:?}", lot.near_names);
    let copy = BenchRequest::Copy { old: "M1".to_owned(), new: None, on: day("2026-12-01"), dry_run: true };
    let Outcome::NewTrial(copied) = come(&app, copy) else { panic!("a copy") };
    assert_eq!((copied.trial.code.as_str(), copied.saved), ("M2", false));
    let layout = BenchRequest::Layout { trial: "M1".to_owned(), columns: None, seed: Some(7) };
    let Outcome::LaidOut(laid_out) = come(&app, layout) else { panic!("a layout") };
    assert_eq!((laid_out.labels.len(), laid_out.rows * laid_out.columns), (6, laid_out.cells.len()));
    let correct = CorrectTrial {
        trial: "M1".to_owned(),
        started_on: Some(day("2026-06-08")),
        grade: Some("two shoots".to_owned()),
        ..CorrectTrial::default()
    };
    let Outcome::TrialCorrected(corrected) = come(&app, BenchRequest::CorrectTrial(correct)) else {
        panic!("a correction")
    };
    assert_eq!((corrected.changes.len(), corrected.is_published), (2, false));
    for is_private in [true, false] {
        let private = BenchRequest::Private { trial: "M1".to_owned(), is_private };
        assert!(matches!(come(&app, private), Outcome::PrivacySet(set) if set.private == is_private));
    }
    for publishing in [None, Some(true), Some(false)] {
        let choice = publishing.map(SettingChoice::Publishing);
        let Outcome::Settings(settings) = come(&app, BenchRequest::Settings { choice: choice.clone() })
        else {
            panic!("settings")
        };
        assert_eq!((settings.publishing, settings.chosen), (publishing, choice));
    }
}

#[test]
fn trials_that_are_over_and_go_on() {
    let folder = TempDir::new().expect("a folder");
    let app = open(&folder);
    let closed = |request| -> Closed {
        let Outcome::Closed(closed) = come(&app, request) else { panic!("a closing") };
        closed
    };
    let common = || Common::on(day("2026-11-25"));
    let closing = || Closing { because: Some(Because::GivenUp), rest: Some(Fate::NotKnown) };
    let asleep = |confirmed| BenchRequest::CloseAsleep { closing: closing(), common: common(), confirmed };
    assert_eq!(closed(asleep(true)), Closed::nothing());
    for code in ["N1", "N2"] {
        new_trial(
            &app,
            NewTrial { pieces: Some(12), ..NewTrial::lot(code, "Ribes nigrum", day("2025-05-01")) },
        );
        stick(&app, code, "2025-05-01");
    }
    let would = closed(asleep(false));
    assert_eq!((would.closed, would.trials.len(), would.entries.len()), (false, 2, 0));
    let one = closed(BenchRequest::Close { trial: "N1".to_owned(), closing: closing(), common: common() });
    assert!(matches!(&one.step, ClosedStep::One { how } if how.rest == Some(Fate::NotKnown)));
    let others = closed(asleep(true));
    assert_eq!((others.closed, others.trials.as_slice()), (true, ["N2".to_owned()].as_slice()));
    let trials = vec!["N1".to_owned(), "N2".to_owned()];
    let on = closed(BenchRequest::Reopen { trials: trials.clone() });
    assert_eq!((on.closed, on.trials, on.entries.len()), (false, trials, 2));
}
