use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use propagule_protocol::anonymise::TrialArm;
use propagule_protocol::{Counts, Judged, judge};
use sha2::{Digest, Sha256};

use super::*;
use propagule_app::tables;
use propagule_evidence::Stage;

/// The default scenario, drawn once.
static DEFAULT: LazyLock<Vec<ScenarioGrower>> = LazyLock::new(|| growers(&Options::default()));

fn network() -> NetworkId {
    NetworkId::of("scenario tests")
}

fn hash(growers: &[ScenarioGrower]) -> String {
    let mut hash = Sha256::new();
    for grower in growers {
        for record in grower.records(&network()).expect("records") {
            hash.update(&record.bytes);
        }
    }
    let digest: [u8; 32] = hash.finalize().into();
    format!("{:032x}", u128::from_be_bytes(digest[..16].try_into().expect("16 of 32 bytes")))
}

#[test]
fn the_scenario_is_the_same_to_the_last_bit() {
    assert_eq!(hash(&DEFAULT), PINNED);
}

/// First half of SHA-256 over all records of the default scenario; changes with any draw, field or byte.
const PINNED: &str = "b6ce98e3bcae7fd0e6304ac5f67f413f";

#[test]
fn every_record_is_accepted_and_every_revision_of_a_trial_keeps_its_series() {
    let mut records = 0;
    for grower in DEFAULT.iter() {
        for record in grower.records(&network()).expect("records") {
            assert!(matches!(judge(&record.bytes, &network()), Ok(Judged::Accepted(_))), "{}", grower.id);
            assert!(record.body.head().signed <= Month::new(2026, 11).expect("a month"));
            records += 1;
        }
        for trial in &grower.trials {
            let series: BTreeSet<[u8; 16]> = trial.revisions.iter().map(|(_, trial)| trial.series).collect();
            let numbers: Vec<u8> = trial.revisions.iter().map(|(_, trial)| trial.revision).collect();
            assert_eq!(series.len(), 1);
            assert_eq!(numbers, (0..numbers.len() as u8).collect::<Vec<_>>());
            assert!(trial.revisions.windows(2).all(|pair| pair[0].0 <= pair[1].0));
        }
    }
    assert!(records > 250, "{records}");
}

#[test]
fn more_growers_change_nothing_for_those_there_are() {
    let more = growers(&Options { growers: 45, ..Options::default() });
    assert_eq!(more.len(), 45);
    assert_eq!(hash(&more[..40]), PINNED);
}

#[test]
fn another_seed_is_another_scenario_with_other_keys() {
    let other = growers(&Options { seed: 1, growers: 2, ..Options::default() });
    let own = &*DEFAULT;
    assert_ne!(other[0].key.author(), own[0].key.author());
    assert_ne!(own[0].key.author(), own[1].key.author());
}

#[test]
fn all_crops_and_covers_and_stages_occur_and_hard_water_roots_no_mulberry() {
    let all = &*DEFAULT;
    let crops: BTreeSet<Crop> =
        all.iter().flat_map(|grower| &grower.trials).map(|trial| trial.crop).collect();
    assert_eq!(crops.len(), 5);
    for number in [11, 23] {
        let mulberries = all[number - 1].trials.iter().filter(|trial| trial.crop == Crop::Morus);
        for (_, trial) in mulberries.flat_map(|trial| &trial.revisions) {
            assert!(
                trial.arms.iter().all(|arm| arm
                    .stages
                    .lift
                    .as_ref()
                    .is_none_or(|lift| lift.rooted == Some(0)))
            );
        }
    }
    let with_spring = |trial: &&ScenarioTrial| {
        let (_, last) = trial.revisions.last().expect("a revision");
        last.arms[0].stages.spring.is_some()
    };
    let springs = all.iter().flat_map(|grower| &grower.trials).filter(with_spring).count();
    let trials = all.iter().map(|grower| grower.trials.len()).sum::<usize>();
    assert!(springs > 50 && trials - springs > 50, "{springs} of {trials}");
}

#[test]
fn silent_growers_publish_no_poor_counts_and_the_others_the_same() {
    let open = &*DEFAULT;
    let silent = growers(&Options { selective_silence: true, ..Options::default() });
    let changed = open.iter().zip(&silent).filter(|(open, silent)| open.trials != silent.trials).count();
    assert!((1..=15).contains(&changed), "{changed}");
    let revisions = |growers: &[ScenarioGrower]| {
        growers.iter().flat_map(|g| &g.trials).map(|t| t.revisions.len()).sum::<usize>()
    };
    assert!(revisions(&silent) < revisions(open));
}

/// Rooted and put in at a stage, by crop, cover, arm and grower.
type Sums = BTreeMap<(Crop, Cover, String, Stage), BTreeMap<usize, (f64, f64)>>;

fn add(sums: &mut Sums, number: usize, cover: Cover, trial: &ScenarioTrial) {
    let (_, last) = trial.revisions.last().expect("a revision");
    let cover = if trial.crop == Crop::Morus { cover } else { Cover::Open };
    for arm in &last.arms {
        let stages = [(Stage::Lift, &arm.stages.lift), (Stage::Spring, &arm.stages.spring)];
        for (stage, counts) in stages {
            let Some(counts) = counts else { continue };
            let key = (trial.crop, cover, arm.label.clone(), stage);
            let sum = sums.entry(key).or_default().entry(number).or_default();
            sum.0 += f64::from(counts.rooted.expect("counted"));
            sum.1 += f64::from(arm.started);
        }
    }
}

#[test]
fn a_large_run_shows_the_truth_within_four_standard_errors() {
    let mut sums = Sums::new();
    for number in 100..700 {
        let character = grower::character(SEED, number);
        for crop in Crop::ALL {
            if let Some(trial) = trial::trial(SEED, &character, (crop, 2025), false) {
                add(&mut sums, number, character.cover, &trial);
            }
        }
    }
    let table = truth::table();
    for line in &table {
        let by_grower = &sums[&(line.crop, line.cover, line.arm.to_owned(), line.stage)];
        let rates: Vec<f64> = by_grower.values().map(|(rooted, started)| rooted / started).collect();
        let number = rates.len() as f64;
        let mean = rates.iter().sum::<f64>() / number;
        let variance = rates.iter().map(|rate| (rate - mean).powi(2)).sum::<f64>() / (number - 1.0);
        let error = (variance / number).sqrt();
        assert!(rates.len() > 10, "{line:?}: {} growers", rates.len());
        assert!((mean - line.probability).abs() < 4.0 * error, "{line:?}: {mean} ± {error}");
    }
    assert_eq!(table.len(), 2 * (4 + 3 * 6 + 3 + 2 + 2));
}

#[test]
fn the_extra_grower_has_none_rooted_and_most_alive_and_stays_one_trial() {
    let extra = extra_grower(SEED);
    let lift = |arm: &TrialArm| arm.stages.lift.clone().expect("lifted");
    assert!(extra.at_lift.arms.iter().all(|arm| lift(arm).rooted == Some(0)));
    let alive: u16 = extra.at_lift.arms.iter().map(|arm| lift(arm).alive.expect("counted")).sum();
    assert_eq!((alive, extra.at_lift.arms.len()), (27, 3));
    assert_eq!(extra.at_lift.series, extra.in_spring.series);
    let publication = anonymise(&extra.in_spring, &extra.place, Month::new(2026, 11).expect("a month"));
    let summary = publication.expect("publishable").summary;
    assert_eq!(
        (summary.arms[1].stages.spring.as_ref().expect("counted").rooted, summary.region.zone),
        (Some(3), Some(8))
    );
}

#[test]
fn tables_for_import_have_one_row_an_arm_and_only_columns_in_use() {
    let extra = extra_grower(SEED);
    let lines: Vec<&str> = extra.lift_table.lines().collect();
    assert_eq!(
        lines[0],
        "trial,species,started_on,arm,started,kind,wood,medium,auxin,wound,leaves,humidity,container,lift_on,\
         lift_alive,lift_rooted,lift_dead,lift_lost,stock_plants"
    );
    assert_eq!(
        lines[2],
        "mulberry-dome-2025,Morus nigra,2025-07-12,3000,12,stem cutting,semi-ripe,peat 50 + perlite 50,\
         IBA quick dip 3000 mg/L,none,halved,dome,pot,2025-10-11,10,0,2,0,2"
    );
    assert_eq!(lines.len(), 4);
    assert!(
        extra.spring_table.lines().next().expect("a header").contains("spring_on,spring_alive,spring_rooted")
    );
}

#[test]
fn tables_are_read_by_the_import_and_spring_updates_the_same_trial() {
    let extra = extra_grower(SEED);
    let options =
        tables::Options { rest: Some(propagule_bench::Rest::NotKnown), ..tables::Options::default() };
    let read = |table: &str, known: tables::Known<'_>| {
        let series = || "ab".repeat(16);
        let before = |_: &[String]| BTreeMap::new();
        tables::read("extra.csv", table.as_bytes(), &options, before, |_| known.clone(), series)
            .expect("reads")
    };
    let first = read(&extra.lift_table, tables::Known::default());
    assert!(first.unused_columns().is_empty(), "{:?}", first.unused_columns());
    let planned = &first.trials[0];
    assert_eq!((planned.trial.code.as_str(), planned.trial.arms.len()), (extra.code, 3));
    let entries: Vec<_> = (1..).zip(planned.entries.iter().map(|(_, entry)| entry)).collect();
    let known = tables::Known { trial: Some(&planned.trial), entries };
    let again = read(&extra.spring_table, known);
    assert_eq!((again.trials.len(), again.trials[0].change), (1, tables::Change::Updated));
    for grower in DEFAULT.iter().filter(|grower| !grower.trials.is_empty()) {
        let last = grower.trials.iter().filter_map(|trial| trial.revisions.last()).map(|(_, trial)| trial);
        let all = read(&import_table(last), tables::Known::default());
        assert_eq!(all.trials.len(), grower.trials.len(), "{}", grower.id);
    }
}

#[test]
fn a_vole_comes_to_the_first_trial_of_three_growers_only() {
    let lost_in_winter = |trial: &ScenarioTrial| {
        let (_, last) = trial.revisions.last().expect("a revision");
        let lost = |counts: &Counts| counts.lost.expect("counted");
        let more = |arm: &TrialArm| Some(lost(arm.stages.spring.as_ref()?) - lost(arm.stages.lift.as_ref()?));
        last.arms.iter().filter_map(more).sum::<u16>()
    };
    let mut visited = Vec::new();
    for grower in DEFAULT.iter() {
        for (index, trial) in grower.trials.iter().enumerate().filter(|(_, trial)| lost_in_winter(trial) > 0)
        {
            visited.push((grower.id.as_str(), index, trial.code.ends_with("2025")));
        }
    }
    assert_eq!(visited, [("g05", 0, true), ("g18", 0, true), ("g33", 0, true)]);
}

/// Rates of one method by records of all growers: thrown together, and the average grower of the default model.
fn rates(growers: &[ScenarioGrower], species: &str, filter: &[&str]) -> (f64, f64) {
    use propagule_protocol::names::Synonyms;
    use propagule_protocol::{Taxon, state};

    use propagule_answer::pool::pool;
    use propagule_answer::question::PoolQuestion;
    use propagule_evidence::{Grouping, RecordOptions, Trust, Whose, from_set};

    let records: Vec<Signed> =
        growers.iter().flat_map(|grower| grower.records(&network()).expect("records")).collect();
    let resolved = state::resolve(&records);
    let nobody = Trust::nobody(propagule_protocol::AuthorKey([0; 32])).circle();
    let taxon = Taxon::parse(species).expect("a name");
    let evidence =
        from_set(&resolved, &nobody, Whose::Everybody, &RecordOptions::new(taxon), &Synonyms::default());
    let filters: Vec<String> = filter.iter().map(|&filter| filter.to_owned()).collect();
    let grouping = Grouping::parse(Some("none"), &filters).expect("a grouping");
    let request = PoolQuestion { grouping, ..PoolQuestion::about(species) };
    let method = &pool(&evidence, &request).expect("an answer").methods[0];
    (f64::from(method.rooted) / f64::from(method.started), method.fit.average_grower_rate_mean)
}

/// The scenario's own recipe: ours within 0.05 of the honest pool, all pieces thrown together further off.
#[test]
fn bad_actors_move_a_raw_sum_and_not_our_average() {
    let spoiled = growers(&Options { bad_actors: true, ..Options::default() });
    let strong = ["auxin=IBA quick dip 3000 mg/L", "wound=none"];
    for (species, filter) in [("Ribes nigrum", ["container=open bed"].as_slice()), ("Morus nigra", &strong)] {
        let (honest, bad) = (rates(&DEFAULT, species, filter), rates(&spoiled, species, filter));
        assert!((bad.1 - honest.1).abs() <= 0.05, "{species}: {} and {}", honest.1, bad.1);
        assert!((bad.0 - honest.0).abs() > 0.05, "{species}: {} and {}", honest.0, bad.0);
    }
}

#[test]
fn what_two_more_type_is_refused_before_it_is_a_record() {
    for (who, table) in stopped_at_the_door() {
        let series = || "ab".repeat(16);
        let options = tables::Options::default();
        let (before, known) = (|_: &[String]| BTreeMap::new(), |_: &str| tables::Known::default());
        let read = tables::read("theirs.csv", table.as_bytes(), &options, before, known, series).expect(who);
        assert!(read.trials.is_empty() && !read.refused.is_empty(), "{who}");
    }
}
