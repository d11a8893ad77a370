//! Whatever comes of an entry travels over the socket whole.

use propagule_bench::{Tally, What};

use super::*;
use crate::outcome::Outcome;

fn day() -> When {
    When::day("2026-07-20".parse().expect("a day"))
}

fn place() -> PlaceStands {
    PlaceStands {
        place: "P1".to_owned(),
        started: 4,
        alive: 3,
        not_known: 0,
        dead: 1,
        lost: 0,
        left: 0,
        left_below: 0,
        rooted: Some(2),
        ever_rooted: None,
    }
}

fn after() -> AfterEntry {
    let had_roots = Some(HadRoots { were: 3, now: 2, went: 1, ever: 3 });
    AfterEntry {
        trial: "M1".to_owned(),
        kind: Kind::Graft,
        on: day(),
        correction: Some(9),
        stands: vec![place()],
        changes: vec![PlaceChange {
            place: "P1".to_owned(),
            rooted: Some(2),
            had_roots,
            ..Default::default()
        }],
        not_counted_yet: vec!["P2".to_owned()],
        total: Total { started: 4, alive: 3, carried: 0, ever_rooted_at_least: 2, looked_for: 4 },
        take_back: TakeBack::entry("M1", 8),
    }
}

fn moved() -> PiecesMoved {
    let arm =
        ArmMoved { arm: "dip".to_owned(), started: 4, week: 12, is_phase: true, moves_carried: Some(2) };
    PiecesMoved {
        trial: "M1".to_owned(),
        kind: Kind::Cutting,
        spot: "frame".to_owned(),
        new_spot: None,
        on: day(),
        correction: None,
        arms: vec![arm],
        take_back: TakeBack::entry("M1", 8),
    }
}

fn corrected() -> Corrected {
    let tally = Tally { arm: 1, replicate: Some("P1".to_owned()), alive: Some(3), ..Tally::default() };
    let what = What::Counted {
        trial: "M1".to_owned(),
        stage: Some(Stage::Lift),
        tallies: vec![tally],
        is_blind: false,
        law: propagule_bench::Law::Fates,
    };
    let number = NumberCorrected {
        place: "P1".to_owned(),
        of: State::Dead,
        kind: Kind::Seed,
        then: None,
        now: Some(1),
    };
    let mended = Mended {
        trial: "M1".to_owned(),
        kind: Kind::Seed,
        taken_back: false,
        correction: 9,
        corrected: vec![Said::NumberCorrected(number)],
        stands: vec![place()],
    };
    let now = Entry { on: day(), what, note: Some("pale".to_owned()), files: Vec::new(), once: None };
    Corrected { now, mended }
}

fn left() -> PiecesLeft {
    PiecesLeft {
        trial: "M1".to_owned(),
        kind: Kind::Cutting,
        pieces: 2,
        how: Departure::PlantedOut,
        at_grade: false,
        on: day(),
        correction: Some(9),
        from: place(),
        cautions: vec!["sending".to_owned()],
        take_back: TakeBack::entry("M1", 8),
    }
}

fn cared() -> Cared {
    let care = propagule_bench::spot::Care::Heat { set: Some(20), measured: None };
    Cared {
        spot: "frame".to_owned(),
        on: day(),
        care: Said::Care { care },
        lots: vec!["M1".to_owned()],
        cautions: vec!["heat".to_owned()],
        take_back: TakeBack::Care { spot: "frame".to_owned(), entry: 8 },
    }
}

#[test]
fn what_comes_of_an_entry_travels_whole() {
    let roots = RootsSeen { seen: Vec::new(), not_looked: vec!["P1".to_owned()] };
    let noted = Noted { subject: "M1".to_owned(), on: day(), take_back: TakeBack::entry("M1", 8) };
    let came = [
        EntryCame::Counted(Box::new(Counted { stage: None, roots: Some(roots), after: after() })),
        EntryCame::Counted(Box::new(Counted { stage: Some(Stage::Final), roots: None, after: after() })),
        EntryCame::Looked(Box::new(after())),
        EntryCame::Suckers(Box::new(after())),
        EntryCame::WrapCut(Box::new(after())),
        EntryCame::Moved(moved()),
        EntryCame::StandsThere { trial: "M1".to_owned(), spot: "frame".to_owned() },
        EntryCame::Left(left()),
        EntryCame::Noted(noted),
        EntryCame::Cared(cared()),
        EntryCame::CareTakenBack { taken_back: true },
        EntryCame::TakenBack(Box::new(corrected().mended)),
        EntryCame::Corrected(Box::new(corrected())),
        EntryCame::AlreadyIn { on: day() },
        EntryCame::AlreadySent,
    ];
    for came in came {
        let sent = Outcome::Entry(EntryOutcome { entry: None, saved: false, came });
        let text = serde_json::to_string(&sent).expect("plain data");
        let read: Outcome = serde_json::from_str(&text).unwrap_or_else(|error| panic!("{text}: {error}"));
        assert_eq!(read, sent);
    }
}
