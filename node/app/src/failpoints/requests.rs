//! One of each request, and a home in which they mean something.

use std::sync::Arc;

use propagule_answer::question::{CompareQuestion, PlanQuestion, PoolQuestion};
use propagule_bench::dates::{Reading, When, read};
use propagule_bench::given::FacetsGiven;
use propagule_bench::spot::Care;
use propagule_bench::typed::tally::PlaceCount;
use propagule_bench::{Departure, Fate, StartedKnown, UnitKey};
use propagule_protocol::place::{Climate, Hemisphere, Place};
use propagule_protocol::record::Code;
use propagule_protocol::{Facet, Month};

use super::every::asked;
use crate::tables::Options;
use crate::{
    App, ArmFacts, ArmGiven, Because, BenchRequest, Change, CircleRequest, Closing, Common, CorrectTrial,
    DuePart, Enter, KeyRequest, NewTrial, PaperKind, Request, SettingChoice, Stick, StoreWork, Table,
    UnitsOf,
};

const TRIAL: &str = "M1";
const SPOT: &str = "mist house";

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

fn new_trial(code: &str) -> NewTrial {
    let arm = |label: &str, auxin: &str| ArmGiven {
        label: label.to_owned(),
        said: ArmFacts { facets: facets(&[(Facet::Auxin, auxin)]), ..ArmFacts::default() },
    };
    let common = ArmFacts { facets: facets(&[(Facet::Kind, "stem cutting")]), ..ArmFacts::default() };
    NewTrial {
        arms: vec![arm("dip", "IBA quick dip 3000 mg/L"), arm("none", "none")],
        pieces: Some(12),
        common,
        place: Some("garden".to_owned()),
        ..NewTrial::lot(code, "Morus nigra", day("2026-06-05"))
    }
}

fn stick(code: &str) -> BenchRequest {
    BenchRequest::Stick(Stick {
        trial: code.to_owned(),
        on: day("2026-06-05"),
        counts: Vec::new(),
        known: StartedKnown::Counted,
        spot: None,
        opens: Some(true),
    })
}

fn dip() -> UnitKey {
    UnitKey { arm: 1, replicate: None }
}

fn count(on: &str, alive: u16) -> BenchRequest {
    let mut counted = PlaceCount::at(dip());
    counted.tally.alive = Some(alive);
    BenchRequest::Enter(Enter {
        trial: TRIAL.to_owned(),
        stage: None,
        counts: vec![counted],
        rest: None,
        is_blind: false,
        common: Common::on(day(on)),
    })
}

fn place() -> Request {
    let place = Place { hemisphere: Hemisphere::North, climate: Climate::None, zone: None };
    Request::PlaceSet { name: "garden".to_owned(), place, latitude: None }
}

fn spot() -> BenchRequest {
    BenchRequest::SpotSet { name: SPOT.to_owned(), facets: facets(&[(Facet::GrowingPlace, "glass")]) }
}

fn care() -> BenchRequest {
    let care = Care::Light { let_through: 60 };
    BenchRequest::Care { spot: SPOT.to_owned(), care, until: None, common: Common::on(day("2026-06-06")) }
}

/// A place, a spot with care, and a trial that was put in and counted twice: entries 1 to 4.
pub(super) fn home_of_a_season(app: &Arc<App>) {
    let bench = |request| Request::Bench(Box::new(request));
    let season = [
        place(),
        bench(spot()),
        bench(BenchRequest::New(new_trial(TRIAL))),
        bench(BenchRequest::New(new_trial("M2"))),
        bench(stick(TRIAL)),
        bench(care()),
        bench(count("2026-06-20", 11)),
        bench(count("2026-07-04", 9)),
    ];
    for request in season {
        let said = format!("{request:?}");
        asked(app, request).unwrap_or_else(|fault| panic!("{said}: {fault:?}"));
    }
}

/// One of each, in an order that does not matter: each meets a home of its own.
pub(super) fn requests() -> Vec<Request> {
    let table = "code,species,started,alive\nN1,Ribes nigrum,12,9\n";
    let key = "f".repeat(64);
    let text = str::to_owned;
    let mut all = vec![
        place(),
        Request::PlaceShow,
        Request::TrialImport(Box::new(Table::new("t.csv", table.as_bytes(), Options::default(), false))),
        Request::TrialList { words: String::new() },
        Request::TrialShow { trial: text(TRIAL), detail: true },
        Request::Publish { trial: text(TRIAL), confirmed: true, at_once: false },
        Request::Withdraw { trial: text(TRIAL), reason: Code(1), confirmed: true, at_once: false },
        Request::Key(KeyRequest::Show),
        Request::Key(KeyRequest::Rotate { fresh: false, confirmed: true, at_once: false }),
        Request::Key(KeyRequest::WriteSheet),
        Request::PlantShow { name: text("black mulberry") },
        Request::PlantSame { name: text("Morus nigrae"), accepted: text("Morus nigra") },
        Request::PlantApart { name: text("Morus nigrae") },
        Request::Synonyms,
        Request::Pool(PoolQuestion::about("Morus nigra")),
        Request::PoolEvidence(PoolQuestion::about("Morus nigra")),
        Request::Plan(PlanQuestion::about("Morus nigra")),
        Request::Compare(CompareQuestion::about(TRIAL)),
        Request::Circle(CircleRequest::Show),
        Request::Circle(CircleRequest::Keep {
            grower: key.clone(),
            change: Change::Trust,
            name: Some(text("friend")),
        }),
        Request::Circle(CircleRequest::Vouch { grower: key, name: None, confirmed: true, at_once: false }),
        Request::BundleOut { after: None, since: Month::new(2026, 1).expect("a month") },
        Request::Archive { with_keys: true },
        Request::ArchiveWritten,
        Request::Months,
        Request::ShortIds { month: Month::new(2026, 11).expect("a month") },
        Request::BundleIn { records: vec![text("00")], as_known: false },
        Request::NetworkId,
        Request::PeersAdd { address: text("/ip4/192.0.2.7/tcp/4001") },
        Request::PeersList,
        Request::PeersInvite,
        Request::Doctor { full: true },
        Request::PeersAllow { node: text("nobody"), name: text("friend") },
        Request::PeersDisallow { node: text("nobody") },
        Request::PeersAllowAll,
    ];
    all.extend([StoreWork::Verify, StoreWork::Repair, StoreWork::Compact].map(Request::Store));
    all.extend(bench_requests().into_iter().map(|request| Request::Bench(Box::new(request))));
    all
}

fn bench_requests() -> Vec<BenchRequest> {
    let (text, common) = (str::to_owned, || Common::on(day("2026-08-01")));
    let trial = || text(TRIAL);
    let closing = || Closing { because: Some(Because::GivenUp), rest: Some(Fate::NotKnown) };
    let paper = |what| BenchRequest::Paper { trial: trial(), what, is_blind: false, is_letter: false };
    vec![
        BenchRequest::New(new_trial("M9")),
        BenchRequest::Copy { old: trial(), new: None, on: day("2026-12-01"), dry_run: false },
        stick("M2"),
        count("2026-08-01", 8),
        BenchRequest::Move {
            trial: trial(),
            arms: Vec::new(),
            to: text(SPOT),
            facets: std::collections::BTreeMap::new(),
            common: common(),
        },
        BenchRequest::Left {
            trial: trial(),
            unit: dip(),
            pieces: 1,
            how: Departure::Sold,
            at_grade: true,
            common: common(),
        },
        BenchRequest::Suckers { trial: trial(), removed: vec![(1, 2)], common: common() },
        BenchRequest::WrapCut { trial: trial(), common: common() },
        BenchRequest::Note { subject: trial(), common: Common { note: Some(text("dry")), ..common() } },
        care(),
        BenchRequest::TakeBackCare { spot: text(SPOT), entry: 1 },
        spot(),
        BenchRequest::Stand { spot: text(SPOT), lots: vec![trial()], common: common() },
        BenchRequest::SpotShow { name: None },
        BenchRequest::StockSet {
            name: text("old hedge"),
            species: Some(text("Morus nigra")),
            facets: FacetsGiven::default(),
            note: None,
            yes: false,
        },
        BenchRequest::StockShow,
        BenchRequest::CorrectEntry {
            trial: trial(),
            entry: 2,
            counts: Vec::new(),
            on: Some(day("2026-06-21")),
            take_back: false,
        },
        BenchRequest::Undo { is_agreed: true },
        BenchRequest::UndoOf { subject: trial(), entry: Some(2) },
        BenchRequest::Units { of: UnitsOf::Trial(trial()) },
        BenchRequest::Pots { trial: trial(), on: None },
        BenchRequest::CorrectTrial(CorrectTrial {
            trial: trial(),
            note: Some(text("wet")),
            ..CorrectTrial::default()
        }),
        BenchRequest::History { trial: trial() },
        BenchRequest::Due { as_of: day("2026-08-01").last, part: DuePart::default() },
        BenchRequest::Close { trial: trial(), closing: closing(), common: common() },
        BenchRequest::CloseAsleep { closing: closing(), common: common(), confirmed: true },
        BenchRequest::Reopen { trials: vec![trial()] },
        BenchRequest::Private { trial: trial(), is_private: true },
        BenchRequest::LookedAll { spot: None, only: Vec::new(), common: common() },
        BenchRequest::TakeBackLooks { entries: (1, 2) },
        BenchRequest::Settings { choice: Some(SettingChoice::Publishing(true)) },
        BenchRequest::Layout { trial: text("M2"), columns: None, seed: Some(7) },
        paper(PaperKind::Labels),
        paper(PaperKind::ScoreSheet),
        paper(PaperKind::Report),
        BenchRequest::Export { table_only: false },
        BenchRequest::Cautions,
        BenchRequest::Dismiss { caution: text("knife") },
    ]
}
