//! Properties of a season that hold whatever is entered, corrected, taken back and read again from disk.

use proptest::prelude::*;

use super::tests::two_arms;
use super::*;
use crate::curve::curve;
use crate::summarise::summarise;
use crate::{Bench, Event, Row};
use propagule_files::clock::Clock;
use propagule_files::journal::HomeId;

/// Something that is done to the trial, before it is known whether it can be.
#[derive(Clone, Debug)]
enum Deed {
    Counted {
        stage: Option<Stage>,
        tallies: Vec<Tally>,
    },
    /// Every pot is counted at a stage: so many died since, and so many of the living have roots or are finished.
    Staged {
        stage: Stage,
        pots: Vec<(u16, u16)>,
    },
    Looked,
    Left {
        pot: usize,
        pieces: u16,
        at_grade: bool,
    },
    Closed {
        fate: Fate,
    },
    /// The n-th entry so far is replaced by the counts of another one, or taken back.
    Corrected {
        which: usize,
        tallies: Option<Vec<Tally>>,
    },
    /// Closed and opened again by the same name.
    Restarted,
}

fn tally() -> impl Strategy<Value = Tally> {
    let count = || prop_oneof![2 => Just(None), 1 => (0_u16..5).prop_map(Some)];
    (0_u8..6, count(), count(), count(), count(), count(), count()).prop_map(
        |(pot, alive, green, rooted, dead, lost, not_known)| Tally {
            arm: pot / 3 + 1,
            replicate: Some(format!("P{}", pot + 1)),
            alive,
            green,
            rooted,
            dead,
            lost,
            not_known,
            ..Tally::default()
        },
    )
}

/// Counts of some pots, each once.
fn tallies() -> impl Strategy<Value = Vec<Tally>> {
    proptest::collection::vec(tally(), 1..5).prop_map(|mut all| {
        all.sort_by(|a, b| a.replicate.cmp(&b.replicate));
        all.dedup_by(|a, b| a.replicate == b.replicate);
        all
    })
}

fn deed() -> impl Strategy<Value = Deed> {
    let stage = prop_oneof![
        3 => Just(None), 2 => Just(Some(Stage::Lift)), 1 => Just(Some(Stage::Season)),
        1 => Just(Some(Stage::Spring)), 1 => Just(Some(Stage::Final)),
    ];
    let fate = prop_oneof![Just(Fate::Dead), Just(Fate::Lost), Just(Fate::NotKnown)];
    prop_oneof![
        8 => (stage, tallies()).prop_map(|(stage, tallies)| Deed::Counted { stage, tallies }),
        8 => (0_usize..4, proptest::collection::vec((0_u16..3, 0_u16..5), 6))
            .prop_map(|(stage, pots)| Deed::Staged { stage: Stage::ALL[stage], pots }),
        1 => Just(Deed::Looked),
        2 => (0_usize..6, 1_u16..4, any::<bool>())
            .prop_map(|(pot, pieces, at_grade)| Deed::Left { pot, pieces, at_grade }),
        1 => fate.prop_map(|fate| Deed::Closed { fate }),
        2 => (0_usize..9, proptest::option::of(tallies()))
            .prop_map(|(which, tallies)| Deed::Corrected { which, tallies }),
        1 => Just(Deed::Restarted),
    ]
}

struct Home {
    folder: tempfile::TempDir,
    bench: Bench,
}

impl Home {
    fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let bench = Self::open(&folder);
        Self { folder, bench }
    }

    fn open(folder: &tempfile::TempDir) -> Bench {
        let clock = Clock::Fixed("2028-11-25T12:00:00Z".parse().expect("an instant"));
        Bench::open(folder.path(), HomeId([7; 16]), clock).expect("opens").0
    }

    fn trial(&self) -> &Trial {
        self.bench.trial("L1").expect("it was recorded")
    }

    /// Enters what is possible, as every command does: what would contradict anything is refused.
    fn enter(&mut self, number: usize, what: What) -> bool {
        let on =
            When::day(format!("2026-{:02}-{:02}", 7 + number / 28, 1 + number % 28).parse().expect("a day"));
        let entry = Entry { on, what, note: None, files: Vec::new(), once: None };
        let faults = {
            let with = self.bench.entries().chain(std::iter::once((u64::MAX, &entry)));
            Season::new(self.trial(), with).faults
        };
        if faults.is_empty() {
            self.bench.record(Event::Entered { entry }).expect("writes");
        }
        faults.is_empty()
    }

    /// Counts of every pot that still has pieces, as they can be.
    fn staged(&self, stage: Stage, pots: &[(u16, u16)]) -> Vec<Tally> {
        let season = self.bench.season(self.trial());
        let counted = |(unit, (dead, roots)): (&Unit, &(u16, u16))| {
            let left = Some(unit.standing().base()).filter(|left| *left > 0)?;
            let dead = *dead.min(&left);
            let rooted = (left - dead).min(*roots);
            let blank = Tally { arm: unit.arm, replicate: unit.replicate.clone(), ..Tally::default() };
            Some(Tally {
                dead: Some(dead),
                rooted: Some(rooted),
                green: Some(left - dead - rooted),
                finished: (stage == Stage::Final).then_some(rooted / 2),
                ..blank
            })
        };
        season.units.iter().zip(pots).filter_map(counted).collect()
    }

    fn correct(&mut self, which: usize, tallies: Option<Vec<Tally>>) -> bool {
        let Some((target, entry)) =
            self.bench.entries().nth(which).map(|(number, entry)| (number, entry.clone()))
        else {
            return false;
        };
        let after = match (&entry.what, tallies) {
            (What::Counted { trial, stage, is_blind, law, .. }, Some(tallies)) => Some(Entry {
                what: What::Counted {
                    trial: trial.clone(),
                    stage: *stage,
                    tallies,
                    is_blind: *is_blind,
                    law: *law,
                },
                ..entry
            }),
            _ => None,
        };
        let faults = {
            let others = self.bench.entries().filter(|(number, _)| *number != target);
            let with = others.chain(after.as_ref().map(|after| (target, after)));
            Season::new(self.trial(), with).faults
        };
        if faults.is_empty() {
            self.bench.record(Event::Corrected { target, entry: after }).expect("writes");
        }
        faults.is_empty()
    }
}

/// Sums of all states, for every unit, arm and the trial, on every day, and every figure that is read from them.
fn check(home: &Home) -> Result<(), TestCaseError> {
    let trial = home.trial();
    let season = home.bench.season(trial);
    prop_assert_eq!(&season.faults, &[], "what was accepted is never left out");
    let states =
        |row: &Row| row.alive() + row.not_known + row.dead + row.lost + row.left_finished + row.left_below;
    for day in season.days() {
        let mut all = Row::default();
        for arm in &trial.arms {
            let units = season.of_arm(arm.number).map(|unit| unit.row_on(day.middle()));
            for row in units {
                prop_assert_eq!(states(&row), row.started);
                all = all + row;
            }
            let found = season.arm_on(arm.number, day.middle());
            prop_assert_eq!(states(&found), u32::from(arm.started));
            prop_assert!(found.at_least <= found.started && found.rooted_alive <= found.at_least);
        }
        prop_assert_eq!(season.all_on(day.middle()), all);
    }
    stages_reconcile(home, &season)
}

/// A stage's figures are those of the curve on its day, of the trial as it stands, and of the record.
fn stages_reconcile(home: &Home, season: &Season<'_>) -> Result<(), TestCaseError> {
    let stands = home.bench.as_it_stands(home.trial());
    let record = summarise(&stands, 0).expect("whatever was accepted can be published");
    publish(&record)?;
    for (arm, published) in stands.arms.iter().zip(&record.arms) {
        let points = curve(season, arm);
        for stage in Stage::ALL {
            let Some(found) = season.at_stage(arm.number, stage) else { continue };
            let point =
                points.iter().find(|point| point.on.middle() == found.on.middle()).expect("a day of it");
            let share = |n: u32| f64::from(n) / f64::from(found.row.started);
            prop_assert!((point.alive - share(found.row.alive())).abs() < 1e-12);
            prop_assert_eq!(point.ever_rooted, found.row.ever_rooted().map(share));
            let Some(lead) = found.lead(stage) else { continue };
            prop_assert!(lead <= found.row.started);
            let counts = arm.counts(stage).expect("a stage with a figure has counts");
            let kept = if stage == Stage::Final { counts.finished } else { counts.rooted };
            let left = if stage == Stage::Final { 0 } else { counts.left_as_finished.unwrap_or(0) };
            prop_assert_eq!(kept.map(|kept| u32::from(kept + left)), Some(lead));
            let key = match stage {
                Stage::Lift => propagule_protocol::Stage::Lift,
                Stage::Season => propagule_protocol::Stage::Season,
                Stage::Spring => propagule_protocol::Stage::Spring,
                Stage::Final => propagule_protocol::Stage::Last,
            };
            let sent = published.stages.at(key).expect("it is published");
            prop_assert_eq!(
                (sent.rooted, sent.finished, sent.lost),
                (counts.rooted, counts.finished, counts.lost)
            );
            if let Some(list) = &sent.replicates {
                prop_assert_eq!(list.iter().map(|n| u32::from(*n)).sum::<u32>(), lead);
            }
        }
    }
    Ok(())
}

/// Whatever was accepted becomes a record that others accept.
fn publish(record: &propagule_protocol::anonymise::Trial) -> Result<(), TestCaseError> {
    use propagule_protocol::anonymise::anonymise;
    use propagule_protocol::{Body, Climate, Hemisphere, Judged, Month, Place, judge, sign};
    let zone = Some("8b".parse().expect("a zone"));
    let place = Place { hemisphere: Hemisphere::North, climate: Climate::None, zone };
    let published = anonymise(record, &place, Month::new(2028, 11).expect("a month"));
    let published = published.map_err(|e| TestCaseError::fail(format!("{e}: {record:?}")))?;
    let network = crate::fixtures::network();
    let signed = sign(&Body::Summary(published.summary), &crate::fixtures::key(3), &network).expect("signs");
    let judged = judge(&signed.bytes, &network);
    prop_assert!(matches!(judged, Ok(Judged::Accepted(_))), "{:?}", judged);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Conservation and reconciliation, after every deed, with the home read anew between any two of them.
    #[test]
    fn every_piece_is_accounted_for_on_every_screen(deeds in proptest::collection::vec(deed(), 1..14)) {
        let mut home = Home::new();
        home.bench.record(Event::TrialRecorded { trial: Trial { series: "0f".repeat(16), ..two_arms() } }).expect("writes");
        let mut ever = 0;
        for (number, deed) in deeds.into_iter().enumerate() {
            let trial = "L1".to_owned();
            let mut is_correction = false;
            match deed {
                Deed::Counted { stage, tallies } => {
                    home.enter(number, What::Counted { trial, stage, tallies, is_blind: false, law: Law::Fates });
                }
                Deed::Staged { stage, pots } => {
                    let tallies = home.staged(stage, &pots);
                    let what = What::Counted { trial, stage: Some(stage), tallies, is_blind: false, law: Law::Fates };
                    home.enter(number, what);
                }
                Deed::Looked => { home.enter(number, What::Looked { trial }); }
                Deed::Left { pot, pieces, at_grade } => {
                    let (arm, replicate) = (pot as u8 / 3 + 1, Some(format!("P{}", pot + 1)));
                    home.enter(number, What::Left { trial, arm, replicate, pieces, how: "sold".to_owned(), at_grade });
                }
                Deed::Closed { fate } => {
                    home.enter(number, What::Closed { trial, because: None, rest: Some(fate) });
                }
                Deed::Corrected { which, tallies } => is_correction = home.correct(which, tallies),
                Deed::Restarted => home.bench = Home::open(&home.folder),
            }
            check(&home)?;
            let now = home.bench.season(home.trial()).all_now().at_least;
            prop_assert!(is_correction || now >= ever, "ever rooted falls only by a correction");
            ever = now;
        }
        let before = home.bench.season(home.trial()).all_now();
        home.bench = Home::open(&home.folder);
        prop_assert_eq!(home.bench.season(home.trial()).all_now(), before);
    }
}
