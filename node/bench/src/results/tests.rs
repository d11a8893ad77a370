//! What one trial shows, against published figures.

use propagule_analysis::verdict::{Reason, Verdict};

use super::*;
use crate::dates::When;
use crate::season::tests::two_arms;
use crate::{Entry, What};
use propagule_files::clock::Clock;
use propagule_files::journal::HomeId;

fn day(text: &str) -> When {
    When::day(text.parse().expect("a day"))
}

fn bench() -> (tempfile::TempDir, Bench) {
    let folder = tempfile::tempdir().expect("a folder");
    let clock = Clock::Fixed("2026-11-25T12:00:00Z".parse().expect("an instant"));
    let (bench, _) = Bench::open(folder.path(), HomeId([7; 16]), clock).expect("opens");
    (folder, bench)
}

fn entered(on: &str, stage: Option<Stage>, counts: &[&str]) -> Entry {
    let trial = two_arms();
    let read = |text: &&str| crate::typed::tally::read_tally(text, &trial, stage).expect("reads");
    let what = What::Counted {
        trial: "L1".to_owned(),
        stage,
        tallies: counts.iter().map(read).collect(),
        is_blind: false,
        law: crate::Law::Fates,
    };
    Entry { on: day(on), what, note: None, files: Vec::new(), once: None }
}

fn result(entries: &[Entry]) -> StageResult {
    let (_folder, bench) = bench();
    let trial = two_arms();
    let season = Season::new(&trial, (1..).zip(entries));
    let stands = season.as_it_stands();
    at_stage(&bench, &season, &stands, Stage::Lift).expect("counted")
}

#[test]
fn pots_that_disagree_leave_no_verdict() {
    let lift = entered(
        "2026-08-29",
        Some(Stage::Lift),
        &[
            "P1:rooted=4",
            "P2:rooted=4",
            "P3:rooted=1,dead=3",
            "P4:rooted=3,dead=1",
            "P5:rooted=0,dead=4",
            "P6:rooted=0,dead=4",
        ],
    );
    let found = result(&[lift]);
    let pair = &found.verdicts[0];
    let comparison = &pair.reading.as_ref().expect("counted").comparison;
    // 9 of 12 against 3 of 12, by enumeration of the hypergeometric law: p = 0.0391.
    assert!((comparison.p_exact - 0.0391).abs() < 5e-5, "{}", comparison.p_exact);
    assert_eq!((pair.verdict, &pair.reason), (Verdict::CannotTell, &Reason::PotsDisagree));
}

#[test]
fn lost_pots_are_no_difference_between_pots() {
    let entries = [
        entered("2026-07-20", None, &["P5:lost=4"]),
        entered(
            "2026-08-29",
            Some(Stage::Lift),
            &[
                "P1:rooted=4",
                "P2:rooted=3,dead=1",
                "P3:rooted=2,green=2",
                "P4:rooted=3,green=1",
                "P6:rooted=3,dead=1",
            ],
        ),
    ];
    let found = result(&entries);
    assert_eq!((found.arms[1].succeeded, found.arms[1].lost, found.arms[1].replicates.len()), (6, 4, 2));
    assert!(found.arms[1].lost_matters());
    assert_eq!(found.arms[1].without_lost(), Count { succeeded: 6, started: 8 });
    let pair = &found.verdicts[0];
    let comparison = &pair.reading.as_ref().expect("counted").comparison;
    // 9 of 12 against 6 of 12: Fisher's p 0.400; by pots, with the moderated spread, 0.35.
    assert!((comparison.p_exact - 0.400).abs() < 5e-4, "{}", comparison.p_exact);
    assert!((comparison.p_pots.expect("three pots each") - 0.35).abs() < 5e-3, "{:?}", comparison.p_pots);
    assert_eq!((pair.verdict, &pair.reason), (Verdict::CannotTell, &Reason::WithinChance));
}

#[test]
fn the_curve_has_death_as_a_competing_fate() {
    let entries = [
        entered("2026-07-04", None, &["P2:dead=1"]),
        entered(
            "2026-08-29",
            Some(Stage::Lift),
            &[
                "P1:rooted=4",
                "P2:rooted=3",
                "P3:rooted=2,green=2",
                "P4:rooted=3,green=1",
                "P5:rooted=0,dead=4",
                "P6:rooted=3,dead=1",
            ],
        ),
    ];
    let trial = two_arms();
    let season = Season::new(&trial, (1..).zip(&entries));
    let points = crate::curve::incidence(&season, &trial.arms[0]);
    // Without anybody lost from sight the estimate is the plain share: 1 of 12 dead, 9 of 12 rooted.
    assert_eq!(points.iter().map(|point| point.days).collect::<Vec<_>>(), [28, 84]);
    assert!((points[0].dead - 1.0 / 12.0).abs() < 1e-12 && points[0].rooted.abs() < 1e-12);
    assert!((points[1].rooted - 9.0 / 12.0).abs() < 1e-12 && (points[1].dead - 1.0 / 12.0).abs() < 1e-12);
    assert_eq!(points[0].watched, 11);
}

#[test]
fn arms_that_differ_in_operator_or_stock_plant_get_no_verdict() {
    let (_folder, bench) = bench();
    let mut trial = two_arms();
    trial.arms[0].operator = Some("P".to_owned());
    trial.arms[1].operator = Some("Q".to_owned());
    let entries = [entered(
        "2026-08-29",
        Some(Stage::Lift),
        &[
            "P1:rooted=4",
            "P2:rooted=4",
            "P3:rooted=4",
            "P4:rooted=0,dead=4",
            "P5:rooted=0,dead=4",
            "P6:rooted=0,dead=4",
        ],
    )];
    let season = Season::new(&trial, (1..).zip(&entries));
    let found = at_stage(&bench, &season, &season.as_it_stands(), Stage::Lift).expect("counted");
    assert_eq!(found.verdicts[0].verdict, Verdict::Confounded);
    assert_eq!(found.verdicts[0].reason, Reason::Together(vec!["auxin".into(), "operator".into()]));
}
