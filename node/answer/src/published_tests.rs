//! A trial's own verdict, and the one that readers of its record reach, are never at odds. Counts are invented but for the
//! cases of `node/tests/cases/bench-verdicts.json`, which are named by their ids.

use propagule_analysis::verdict::{PairVerdict, Verdict};
use propagule_protocol::anonymise::anonymise;
use propagule_protocol::place::{Climate, Hemisphere, Place};
use propagule_protocol::{AuthorKey, Month, Taxon};
use proptest::prelude::*;

use propagule_bench::dates::When;
use propagule_bench::{Arm, Bench, Entry, Law, Replicate, Season, Stage, Tally, Trial, What};
use propagule_files::clock::Clock;
use propagule_files::journal::HomeId;
use super::pool::{ContrastAnswer, pool};
use super::question::PoolQuestion;
use propagule_evidence::{HeldTrial, RecordOptions, from_records};

fn day(text: &str) -> When {
    When::day(text.parse().expect("a day"))
}

fn bench() -> (tempfile::TempDir, Bench) {
    let folder = tempfile::tempdir().expect("a folder");
    let clock = Clock::Fixed("2026-11-25T12:00:00Z".parse().expect("an instant"));
    let (bench, _) = Bench::open(folder.path(), HomeId([7; 16]), clock).expect("opens");
    (folder, bench)
}

/// Succeeded, put in and lost.
type Pot = (u16, u16, u16);

#[derive(Clone, Debug)]
struct Made {
    arms: Vec<(&'static str, Vec<Pot>)>,
    is_blocked: bool,
    /// Pieces of all arms share pots: the i-th pot holds the i-th part of each arm.
    is_shared: bool,
}

fn trial_of(made: &Made) -> Trial {
    let arm = |(number, (word, pots)): (usize, &(&str, Vec<Pot>))| Arm {
        number: number as u8 + 1,
        label: (*word).to_owned(),
        started: pots.iter().map(|pot| pot.1).sum(),
        facets: [("auxin".to_owned(), (*word).to_owned()), ("kind".to_owned(), "stem cutting".to_owned())]
            .into(),
        replicates: pots
            .iter()
            .enumerate()
            .map(|(place, pot)| Replicate {
                code: format!("{}{}", char::from(b'A' + number as u8), place + 1),
                started: pot.1,
                pot: made.is_shared.then(|| format!("T{}", place + 1)),
                stock_plant: None,
                operator: None,
            })
            .collect(),
        ..Arm::default()
    };
    Trial {
        series: "07".repeat(16),
        is_randomised: true,
        is_blocked: made.is_blocked || made.is_shared,
        question: Some("which".to_owned()),
        arms: made.arms.iter().enumerate().map(arm).collect(),
        ..Trial::empty("L1", "Morus nigra", day("2026-06-06"))
    }
}

fn lift(trial: &Trial, made: &Made) -> Entry {
    let units = trial.arms.iter().zip(&made.arms).flat_map(|(arm, (_, pots))| {
        arm.replicates.iter().zip(pots).map(|(replicate, (succeeded, started, lost))| Tally {
            arm: arm.number,
            replicate: Some(replicate.code.clone()),
            rooted: Some(*succeeded),
            lost: Some(*lost),
            dead: Some(started - succeeded - lost),
            ..Tally::default()
        })
    });
    let what = What::Counted {
        trial: trial.code.clone(),
        stage: Some(Stage::Lift),
        tallies: units.collect(),
        is_blind: false,
        law: Law::Fates,
    };
    Entry { on: day("2026-08-29"), what, note: None, files: Vec::new(), once: None }
}

/// The trial's own pairs, and what a reader is told who holds its record alone.
fn both(made: &Made) -> (Vec<PairVerdict>, Vec<ContrastAnswer>) {
    let (_folder, bench) = bench();
    let trial = trial_of(made);
    let entry = lift(&trial, made);
    let season = Season::new(&trial, std::iter::once((1, &entry)));
    assert!(season.faults.is_empty(), "{:?}", season.faults);
    let stands = season.as_it_stands();
    let own = at_stage(&bench, &season, &stands, Stage::Lift).expect("counted").verdicts;
    let place = Place { hemisphere: Hemisphere::North, climate: Climate::None, zone: "8b".parse().ok() };
    let private = crate::summarise::summarise(&stands, 0).expect("words of the schema");
    let published = anonymise(&private, &place, Month::new(2026, 11).expect("a month")).expect("a record");
    let held = HeldTrial {
        author: AuthorKey([1; 32]),
        summary: &published.summary,
        own: false,
        trusts_marks: false,
        weight: 1.0,
        muted: false,
        equivocated: false,
        shrunk: false,
        opened_early: false,
        opened: None,
        is_regraft: false,
    };
    let options = RecordOptions::new(Taxon::parse("Morus nigra").expect("a name"));
    let answer = pool(&from_records(&[held], &options), &PoolQuestion::about("Morus nigra")).expect("an answer");
    (own, answer.contrasts)
}

/// The pair that the contrast is about.
fn of<'a>(own: &'a [PairVerdict], contrast: &ContrastAnswer) -> Option<&'a PairVerdict> {
    own.iter().find(|pair| {
        let labels = [pair.first.label.as_str(), pair.second.label.as_str()];
        labels.iter().all(|label| [contrast.first.as_str(), contrast.second.as_str()].contains(label))
    })
}

fn agrees(made: &Made) {
    let (own, read) = both(made);
    assert!(!read.is_empty(), "readers see no pair of {made:?}");
    for contrast in &read {
        let Some(pair) = of(&own, contrast) else {
            assert!(
                ![Verdict::Better, Verdict::Likely].contains(&contrast.verdict),
                "{contrast:?} is not asked by {own:?}"
            );
            continue;
        };
        assert_eq!(contrast.verdict, pair.verdict, "{made:?}: {pair:?} {contrast:?}");
        let reading = pair.reading.as_ref().expect("counted");
        if pair.verdict != Verdict::NothingToSee {
            assert_eq!(contrast.p.is_some(), reading.comparison.p.is_some());
            let gap = contrast.p.zip(reading.comparison.p).map_or(0.0, |(a, b)| (a - b).abs());
            assert!(gap < 1e-12, "{made:?}: {contrast:?} {reading:?}");
        }
        if pair.verdict == Verdict::Better {
            let better = if pair.first_is_better == Some(true) { &pair.first } else { &pair.second };
            assert!(contrast.sentence.words().contains(&format!("{} did better than", better.label)), "{contrast:?}");
        }
    }
}

fn pots(of: &[(u16, u16)]) -> Vec<Pot> {
    of.iter().map(|(succeeded, started)| (*succeeded, *started, 0)).collect()
}

fn made(first: &[(u16, u16)], second: &[(u16, u16)]) -> Made {
    Made {
        arms: vec![("IBA, strength unknown", pots(first)), ("none", pots(second))],
        is_blocked: false,
        is_shared: false,
    }
}

fn verdict(made: &Made) -> Verdict {
    agrees(made);
    both(made).0[0].verdict
}

#[test]
fn the_worked_verdicts_are_read_from_the_record_as_at_the_bench() {
    assert_eq!(verdict(&made(&[(9, 12)], &[(4, 12)])), Verdict::SingleUnit, "V1");
    let ten = |n: [u16; 3]| n.map(|n| (n, 10));
    assert_eq!(verdict(&made(&ten([7, 8, 6]), &ten([2, 3, 3]))), Verdict::Better, "V2");
    assert_eq!(verdict(&made(&ten([10, 2, 9]), &ten([1, 7, 3]))), Verdict::CannotTell, "V3");
    let blocks = |a: [u16; 4], b: [u16; 4]| Made {
        is_blocked: true,
        ..made(&a.map(|n| (n, 10)), &b.map(|n| (n, 10)))
    };
    assert_eq!(verdict(&blocks([8, 6, 9, 5], [4, 2, 5, 1])), Verdict::Better, "V4");
    assert_eq!(verdict(&blocks([10, 9, 2, 7], [1, 1, 6, 4])), Verdict::CannotTell, "V4b");
    let trays = |a: &[(u16, u16)], b: &[(u16, u16)]| Made { is_shared: true, ..made(a, b) };
    let eight = |n: [u16; 4]| n.map(|n| (n, 8));
    assert_eq!(verdict(&trays(&eight([8, 8, 4, 0]), &eight([8, 4, 1, 0]))), Verdict::Better, "V5");
    let uneven = trays(&[(10, 12), (7, 8), (1, 3), (1, 5)], &[(3, 4), (4, 5), (3, 12), (2, 10)]);
    assert_eq!(verdict(&uneven), Verdict::CannotTell, "V6");
    assert_eq!(verdict(&made(&[(0, 4); 3], &[(0, 4); 3])), Verdict::NothingToSee, "V8");
    let mut lost = made(&[(5, 6); 4], &[(2, 6), (3, 6), (2, 6), (0, 6)]);
    lost.arms[1].1[3].2 = 6;
    assert_eq!(verdict(&lost), Verdict::Better, "V13");
    lost.arms[0].1 = pots(&[(6, 6), (5, 6), (5, 6), (4, 6)]);
    lost.arms[1].1 = vec![(3, 6, 0), (3, 6, 0), (4, 6, 0), (0, 6, 6)];
    assert_eq!(verdict(&lost), Verdict::DependsOnLost, "V14");
}

#[test]
fn doses_keep_their_family_in_the_record() {
    let eight = |n: [u16; 4]| pots(&n.map(|n| (n, 8)));
    let arms = vec![
        ("none", eight([2, 3, 2, 1])),
        ("IBA quick dip 1000 mg/L", eight([4, 5, 3, 4])),
        ("IBA quick dip 3000 mg/L", eight([6, 7, 6, 5])),
        ("IBA quick dip 8000 mg/L", eight([5, 4, 6, 5])),
    ];
    let doses = Made { arms, is_blocked: false, is_shared: false };
    agrees(&doses);
    let (own, _) = both(&doses);
    // V9: three against none, two of them better after Holm's correction.
    assert_eq!(
        own.iter().map(|pair| pair.verdict).collect::<Vec<_>>(),
        [Verdict::CannotTell, Verdict::Better, Verdict::Better]
    );
}

fn any_pots() -> impl Strategy<Value = Vec<Pot>> {
    let pot = (1_u16..10)
        .prop_flat_map(|n| (0..=n, Just(n)))
        .prop_flat_map(|(succeeded, started)| (Just(succeeded), Just(started), 0..=started - succeeded));
    prop::collection::vec(pot, 1..5)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_trial_contradicts_its_record(first in any_pots(), second in any_pots(), kind in 0..3_u8) {
        let arms = vec![("IBA, strength unknown", first), ("none", second)];
        agrees(&Made { arms, is_blocked: kind == 1, is_shared: kind == 2 });
    }
}
