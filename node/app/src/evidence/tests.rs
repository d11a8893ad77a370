//! What a node remembers is never stale.

use std::time::Duration;

use propagule_protocol::{Body, Code, Extensions, Head, Month, SecretKey, Vouch, Withdrawal, sign};
use serde_json::Value;
use tempfile::TempDir;

use super::super::{PoolQuestion, Reply, Request, handle_locally};
use super::*;
use crate::fixtures::{key, network, record};
use crate::home::{Home, Pace};
use propagule_evidence::{Grouping, Stage};
use propagule_files::clock::Clock;
use propagule_files::lock::HomeLock;
use propagule_network::intake::Way;
use propagule_network::store::Arrival;

/// An open home on the network of test records.
fn home(folder: &TempDir, now: &str) -> App {
    let path = folder.path().join("home");
    let home = if Home::exists(&path) { Home::open(&path) } else { Home::create(&path, "test", Pace::Quick) };
    let home = home.expect("a home");
    let lock = HomeLock::take(home.path(), "test", Duration::ZERO).expect("nobody else is here");
    App::open(home, lock, Clock::Fixed(now.parse().expect("a time"))).expect("opens")
}

fn november() -> (TempDir, App) {
    let folder = TempDir::new().expect("a folder");
    let app = home(&folder, "2026-11-25T12:00:00Z");
    (folder, app)
}

fn take(app: &App, records: impl IntoIterator<Item = Signed>) {
    let arrivals: Vec<Arrival> =
        records.into_iter().map(|signed| Arrival::Accepted { signed: Box::new(signed), own: None }).collect();
    app.store.append(&arrivals).expect("kept");
}

fn request() -> PoolQuestion {
    PoolQuestion::about("Morus nigra")
}

fn ask(app: &App, request: PoolQuestion) -> Value {
    match handle_locally(app, Request::Pool(request)).expect("an answer") {
        Reply::Done(outcome) => serde_json::to_value(&*outcome).expect("an outcome is plain data"),
        other => panic!("an outcome, not {other:?}"),
    }
}

fn counts(answer: &Value) -> (u64, u64) {
    let count = |name: &str| answer["methods"][0][name].as_u64().unwrap_or(0);
    (count("rooted"), count("started"))
}

fn signed(body: &Body, author: &SecretKey) -> Signed {
    sign(body, author, &network()).expect("a valid record")
}

fn head() -> Head {
    Head::new(Month::new(2026, 11).expect("a month"))
}

#[test]
fn the_same_question_is_worked_out_once_and_a_new_record_is_seen() {
    let (_folder, app) = november();
    take(&app, [record(1, 1, 0, 6), record(2, 1, 0, 3)]);
    let taxon = Taxon::parse("Morus nigra").expect("a name");
    let gathered = || gather(&app, &taxon, Question::default(), Scope::default()).expect("evidence");
    assert!(Arc::ptr_eq(&gathered(), &gathered()));
    let before = ask(&app, request());
    assert_eq!((counts(&before), ask(&app, request())), ((9, 48), before.clone()));
    let old = gathered();
    take(&app, [record(3, 1, 0, 1)]);
    assert!(!Arc::ptr_eq(&old, &gathered()));
    assert_eq!(counts(&ask(&app, request())), (10, 72));
}

#[test]
fn a_revision_and_a_withdrawal_are_seen() {
    let (_folder, app) = november();
    take(&app, [record(1, 1, 0, 6), record(2, 1, 0, 3)]);
    assert_eq!(counts(&ask(&app, request())), (9, 48));
    take(&app, [record(1, 1, 1, 8)]);
    assert_eq!(counts(&ask(&app, request())), (11, 48));
    let series = record(1, 1, 0, 6).body.summary().expect("a summary").series;
    let withdrawal = Withdrawal { head: head(), series, reason: Code(1), extensions: Extensions::new() };
    take(&app, [signed(&Body::Withdrawal(withdrawal), &key(1))]);
    assert_eq!(counts(&ask(&app, request())), (3, 24));
}

#[test]
fn a_vouch_makes_another_fingerprint() {
    let (_folder, app) = november();
    take(&app, [record(1, 1, 0, 6)]);
    let taxon = Taxon::parse("Morus nigra").expect("a name");
    let gathered = || gather(&app, &taxon, Question::default(), Scope::default()).expect("evidence");
    let before = gathered();
    let subject = key(1).author();
    let vouch = Vouch { head: head(), subject, sequence: 0, vouches: true, extensions: Extensions::new() };
    take(&app, [signed(&Body::Vouch(vouch), &key(2))]);
    assert!(!Arc::ptr_eq(&before, &gathered()));
}

#[test]
fn every_option_makes_another_answer() {
    let (_folder, app) = november();
    take(&app, [record(1, 1, 0, 6), record(2, 1, 0, 3)]);
    let plain = ask(&app, request());
    let by_none = Grouping::parse(Some("none"), &[]).expect("a grouping");
    assert_eq!(ask(&app, PoolQuestion { grouping: by_none, ..request() })["by"], serde_json::json!(["none"]));
    let detail = ask(&app, PoolQuestion { detail: true, ..request() });
    assert!(detail["influence"].is_array() && plain["influence"].is_null());
    let opened =
        ask(&app, PoolQuestion { scope: Scope { opened_only: true, ..Scope::default() }, ..request() });
    assert_eq!(counts(&opened), (0, 0));
    let spring = Question { stage: Stage::Spring, ..Question::default() };
    assert_eq!(ask(&app, PoolQuestion { count: spring, ..request() })["stage"], "spring");
    assert_eq!(ask(&app, request()), plain);
}

/// Series 2 of an author, which says that it works the stocks of series 1 again.
fn regraft(author: u8, mark: Option<[u8; 8]>) -> Signed {
    let series = crate::fixtures::summary(1, 0, 0).series;
    let parent = Some(propagule_protocol::Parent { series, relation: propagule_protocol::Relation::Regraft });
    let summary =
        propagule_protocol::Summary { parent, grower_mark: mark, ..crate::fixtures::summary(2, 0, 4) };
    signed(&Body::Summary(summary), &key(author))
}

#[test]
fn stocks_worked_again_are_left_out_only_where_the_earlier_trial_is_the_same_growers() {
    let answered = |records: [Signed; 2], with_regrafts: bool| {
        let (_folder, app) = november();
        take(&app, records);
        let scope = Scope { with_regrafts, ..Scope::default() };
        ask(&app, PoolQuestion { scope, ..request() })
    };
    let of_one = answered([record(1, 1, 0, 6), regraft(1, None)], false);
    assert_eq!(counts(&of_one), (6, 24));
    let left_out =
        serde_json::json!([{ "reason": { "say": "left_out", "why": "worked_again" }, "count": 1 }]);
    assert_eq!(of_one["left_out"], left_out);
    assert_eq!((&of_one["regrafts"]["rooted"], &of_one["regrafts"]["started"]), (&4.into(), &24.into()));
    let added = answered([record(1, 1, 0, 6), regraft(1, None)], true);
    assert_eq!((counts(&added), &added["regrafts"]), ((10, 48), &Value::Null));
    // Nobody can say of another author's trial, or of another grower's, that its stocks failed.
    for other in [regraft(2, None), regraft(1, Some([7; 8]))] {
        let apart = answered([record(1, 1, 0, 6), other], false);
        assert_eq!((counts(&apart), &apart["left_out"]), ((10, 48), &serde_json::json!([])));
    }
}

#[test]
fn an_opened_trial_falls_silent_as_months_pass() {
    let folder = TempDir::new().expect("a folder");
    let mut summary = crate::fixtures::summary(1, 0, 0);
    summary.arms[0].stages = propagule_protocol::StageCounts::default();
    let silent = |now: &str, arrivals: Option<Signed>| {
        let app = home(&folder, now);
        take(&app, arrivals);
        let silence = &ask(&app, request())["silence"];
        (silence["opened"].clone(), silence["pending"].clone(), silence["silent"].clone())
    };
    let opening = signed(&Body::Summary(summary), &key(1));
    // Opened in October 2026 for 12 weeks: October + 3 + 3 is April 2027.
    assert_eq!(silent("2027-04-25T12:00:00Z", Some(opening)), (1.into(), 1.into(), 0.into()));
    assert_eq!(silent("2027-05-01T12:00:00Z", None), (1.into(), 0.into(), 1.into()));
}

#[test]
fn what_the_home_keeps_to_itself_is_seen_at_once() {
    use super::super::{Change, CircleRequest};

    let (_folder, app) = november();
    take(&app, [record(1, 1, 0, 6), record(2, 1, 0, 3)]);
    assert_eq!(counts(&ask(&app, request())), (9, 48));
    let keep = |change| {
        let grower = key(1).author().to_string();
        let request = CircleRequest::Keep { grower, change, name: None };
        handle_locally(&app, Request::Circle(request)).expect("kept");
        let answer = ask(&app, request_of(None));
        (answer["whose"].clone(), counts(&answer))
    };
    assert_eq!(keep(Change::Trust), ("circle".into(), (6, 24)));
    assert_eq!(counts(&ask(&app, request_of(Some(Whose::Everybody)))), (9, 48));
    assert_eq!(counts(&ask(&app, request_of(Some(Whose::Mine)))), (0, 0));
    assert_eq!(keep(Change::Mute), ("everybody".into(), (3, 24)), "nobody else is in the circle");
    assert_eq!(keep(Change::Unmute), ("circle".into(), (6, 24)));
    assert_eq!(keep(Change::Untrust), ("everybody".into(), (9, 48)));
}

fn request_of(whose: Option<Whose>) -> PoolQuestion {
    PoolQuestion { scope: Scope { whose, ..Scope::default() }, ..request() }
}

#[test]
fn what_is_remembered_under_one_name_of_a_species_is_not_given_under_another() {
    let (_folder, app) = november();
    take(&app, [record(1, 1, 0, 6)]);
    let (name, accepted) = ("Morus tarda".to_owned(), "Morus nigra".to_owned());
    handle_locally(&app, Request::PlantSame { name, accepted }).expect("taken for it");
    for species in ["Morus nigra", "Morus tarda"] {
        let answer = ask(&app, PoolQuestion::about(species));
        assert_eq!((&answer["species"], counts(&answer)), (&species.into(), (6, 24)));
    }
}

/// A home that waits as homes do, with records of so many authors taken in from a peer.
fn among_strangers(authors: std::ops::Range<u8>) -> (TempDir, App) {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("home");
    let home = Home::create(&path, "test", Pace::Home).expect("a home");
    let lock = HomeLock::take(home.path(), "test", Duration::ZERO).expect("nobody else is here");
    let app = App::open(home, lock, at("2026-11-25T12:00:00Z")).expect("opens");
    let records: Vec<Vec<u8>> = authors.map(|author| record(author, 1, 0, 6).bytes).collect();
    app.gate.take(&*app.store, &records, Way::Exchange).expect("taken in");
    (folder, app)
}

fn at(now: &str) -> Clock {
    Clock::Fixed(now.parse().expect("a time"))
}

/// Who leads, how many of whom stand behind it, and the counts of the first method.
fn led(app: &App, whose: Option<Whose>, unchecked: bool) -> (Value, [u64; 3], (u64, u64)) {
    let scope = Scope { whose, unchecked, ..Scope::default() };
    let answer = ask(app, PoolQuestion { scope, ..request() });
    let many = |name: &str| answer["behind"][name].as_u64().unwrap_or(99);
    (answer["behind"]["leads"].clone(), [many("backed"), many("known"), many("new")], counts(&answer))
}

#[test]
fn a_newcomer_gets_counts_of_strangers_and_no_figure_until_somebody_stands_behind_one() {
    let (folder, app) = among_strangers(1..21);
    assert_eq!(led(&app, None, false), ("nothing".into(), [0, 0, 20], (0, 0)));
    assert_eq!(led(&app, None, true), ("nothing".into(), [0, 0, 20], (120, 480)));
    let plan = |app: &App| {
        let asked = crate::PlanQuestion::about("Morus nigra");
        match handle_locally(app, Request::Plan(asked)).expect("an answer") {
            Reply::Done(outcome) => serde_json::to_value(&*outcome).expect("an outcome is plain data"),
            other => panic!("an outcome, not {other:?}"),
        }
    };
    let planned = plan(&app);
    assert_eq!((&planned["methods"], &planned["behind"]["new"]), (&serde_json::json!([]), &20.into()));
    // Three growers of a file, by the grower's word.
    let known: Vec<Vec<u8>> = (1..4).map(|author| record(author, 1, 0, 6).bytes).collect();
    app.gate.take(&*app.store, &known, Way::KnownBundle).expect("taken in");
    assert_eq!(led(&app, None, false), ("without_new".into(), [0, 3, 17], (18, 72)));
    assert_eq!(plan(&app)["methods"][0]["growers"], 3);
    drop(app);
    // A month later all are known.
    let home = Home::open(&folder.path().join("home")).expect("opens");
    let lock = HomeLock::take(home.path(), "test", Duration::ZERO).expect("nobody else is here");
    let app = App::open(home, lock, at("2026-12-25T12:00:00Z")).expect("opens");
    assert_eq!(led(&app, None, false), ("all".into(), [0, 20, 0], (120, 480)));
}

#[test]
fn whom_the_reader_trusts_stands_behind_everybodys_figure_too() {
    let (_folder, app) = among_strangers(1..21);
    for author in 1..4 {
        let grower = key(author).author().to_string();
        let change = super::super::Change::Trust;
        let request = super::super::CircleRequest::Keep { grower, change, name: None };
        handle_locally(&app, Request::Circle(request)).expect("kept");
    }
    let everybody = led(&app, Some(Whose::Everybody), false);
    assert_eq!(everybody, ("without_new".into(), [3, 0, 17], (18, 72)));
    assert_eq!(ask(&app, request())["behind"], Value::Null, "of the circle nothing needs to be said");
}
