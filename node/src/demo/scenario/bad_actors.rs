//! Growers of the scenario who lie or err, on a switch.
//!
//! g07 claims 200 of 200 three times over. g13 holds five more keys that say what g13 says, one piece more or less.
//! g19 divides by survivors. g22 writes a strength of 0.3 % as 0.3 ppm. g31 publishes currants as mulberries. g34 lowers
//! what was put in after lifting. Two more never get as far as a record: g26 gives degrees Fahrenheit as Celsius and g38
//! rates that no whole number of pieces gives; [`stopped_at_the_door`] holds what they type.

use propagule_protocol::anonymise::{Trial, TrialArm};
use propagule_protocol::{Counts, StageCounts};

use super::crop::Crop;
use super::grower::key;
use super::stream::bytes_for;
use super::trial::ScenarioTrial;
use super::{Options, ScenarioGrower};

/// Growers whose records are not as honest ones would be, and in what.
pub const BAD_ACTORS: [(&str, &str); 6] = [
    ("g07", "claims 200 of 200, three times for each plant"),
    ("g13", "says the same under five more keys"),
    ("g19", "divides by survivors"),
    ("g22", "writes 0.3 % as 0.3 ppm"),
    ("g31", "publishes currants as mulberries"),
    ("g34", "lowers the number stuck after lifting"),
];

/// Keys that g13 holds beside its own.
const MORE_KEYS: usize = 5;

/// What two more type, which is refused before it is a record: a heat of 70 °C and 71 % of 20.
pub fn stopped_at_the_door() -> [(&'static str, &'static str); 2] {
    [
        (
            "g26",
            "trial,species,started,started_on,arm,kind,bottom heat,lift_on,lift_rooted\n\
                 H1,Morus nigra,20,2026-06-05,A,stem cutting,70 °C,2026-09-12,9\n",
        ),
        (
            "g38",
            "trial,species,started,started_on,arm,kind,lift_on,lift_rooted\n\
                 H1,Morus nigra,20,2026-06-05,A,stem cutting,2026-09-12,71 %\n",
        ),
    ]
}

/// Spoils the growers named in [`BAD_ACTORS`] and adds the keys of g13.
pub(super) fn spoil(growers: &mut Vec<ScenarioGrower>, options: &Options) {
    for grower in growers.iter_mut() {
        match grower.id.as_str() {
            "g07" => grower.trials.extend(claims(options.seed)),
            "g19" => grower.each_revision(|_, trial| trial.arms.iter_mut().for_each(divide_by_survivors)),
            "g22" => grower.each_revision(|_, trial| trial.arms.iter_mut().for_each(shrink_strength)),
            "g31" => grower.each_revision(|crop, trial| {
                if crop == Crop::Ribes {
                    trial.taxon = Crop::Morus.taxon();
                }
            }),
            "g34" => grower.trials.iter_mut().for_each(lower_started),
            _ => {}
        }
    }
    let Some(copied) = growers.iter().find(|grower| grower.id == "g13").cloned() else { return };
    growers.extend((0..MORE_KEYS).map(|number| copy(&copied, number, options.seed)));
}

impl ScenarioGrower {
    fn each_revision(&mut self, change: impl Fn(Crop, &mut Trial)) {
        for trial in &mut self.trials {
            for (_, revision) in &mut trial.revisions {
                change(trial.crop, revision);
            }
        }
    }
}

/// Three trials each of currant and mulberry in which every piece rooted.
fn claims(seed: u64) -> Vec<ScenarioTrial> {
    let honest = super::growers(&Options { seed, ..Options::default() });
    let claim = |(crop, number): (Crop, usize)| {
        let trials = honest.iter().flat_map(|grower| &grower.trials).filter(|trial| trial.crop == crop);
        let mut revisions = trials.flat_map(|trial| &trial.revisions);
        let lifted = |arm: &&TrialArm| arm.label == claimed(crop) && arm.stages.lift.is_some();
        let (signed, like, arm) =
            revisions.find_map(|(signed, like)| Some((signed, like, like.arms.iter().find(lifted)?)))?;
        let code = format!("g07-{}-claim-{number}", crop.word());
        let all =
            Counts { alive: Some(200), rooted: Some(200), dead: Some(0), lost: Some(0), ..Counts::default() };
        let stages = StageCounts { lift: Some(all), ..StageCounts::default() };
        let arm = TrialArm { number: 1, started: 200, replicates: None, stages, ..arm.clone() };
        let trial = Trial { series: series(seed, &code), revision: 0, arms: vec![arm], ..like.clone() };
        Some(ScenarioTrial { code, crop, revisions: vec![(*signed, trial)] })
    };
    let claims =
        [Crop::Ribes, Crop::Morus].into_iter().flat_map(|crop| (0..3).map(move |number| (crop, number)));
    claims.filter_map(claim).collect()
}

/// Label of the treatment that the claims are about.
fn claimed(crop: Crop) -> &'static str {
    if crop == Crop::Morus { "3000" } else { "bed, 20 cm" }
}

fn series(seed: u64, code: &str) -> [u8; 16] {
    bytes_for(seed, &format!("series {code}"))[..16].try_into().expect("16 of 32 bytes")
}

/// What was alive at lift is taken for what was put in.
fn divide_by_survivors(arm: &mut TrialArm) {
    let Some(lift) = &mut arm.stages.lift else { return };
    let Some(alive) = lift.alive.filter(|alive| *alive > 0) else { return };
    arm.started = alive;
    arm.replicates = None;
    *lift = Counts { dead: Some(0), lost: Some(0), replicates: None, ..lift.clone() };
    if let Some(spring) = &mut arm.stages.spring {
        let living = spring.alive.unwrap_or(0).min(alive);
        *spring = Counts { dead: Some(alive - living), lost: Some(0), replicates: None, ..spring.clone() };
    }
}

/// Every strength becomes a ten-thousandth of itself, as percent taken for parts in a million do; schemas hold whole mg/L.
fn shrink_strength(arm: &mut TrialArm) {
    for auxin in arm.method.auxin.iter_mut().flatten() {
        auxin.dose = auxin.dose.map(|dose| dose / 10_000);
    }
}

/// A last revision in which a third less was put in, so that the rate looks better.
fn lower_started(trial: &mut ScenarioTrial) {
    let Some((signed, last)) = trial.revisions.last().cloned() else { return };
    if last.arms.iter().all(|arm| arm.stages.lift.is_none()) {
        return;
    }
    let mut lowered = Trial { revision: last.revision + 1, ..last };
    for arm in &mut lowered.arms {
        let kept = arm.stages.lift.as_ref().and_then(|counts| counts.alive).unwrap_or(0);
        let spared = (arm.started - kept.min(arm.started)) / 2;
        arm.started -= spared;
        arm.replicates = None;
        for counts in [&mut arm.stages.lift, &mut arm.stages.spring].into_iter().flatten() {
            counts.replicates = None;
            let dead = counts.dead.unwrap_or(0);
            let from_dead = spared.min(dead);
            counts.dead = Some(dead - from_dead);
            counts.lost = Some(counts.lost.unwrap_or(0) - (spared - from_dead));
        }
    }
    trial.revisions.push((signed, lowered));
}

/// The same results under another key, one piece more or less.
fn copy(of: &ScenarioGrower, number: usize, seed: u64) -> ScenarioGrower {
    let mut copy = of.clone();
    copy.id = format!("{}-key-{}", of.id, number + 2);
    copy.key = key(seed, 1_000 + number);
    for trial in &mut copy.trials {
        trial.code = format!("{}-{}", copy.id, trial.code);
        let name = series(seed, &trial.code);
        for (_, revision) in &mut trial.revisions {
            revision.series = name;
            revision.arms.iter_mut().for_each(|arm| one_more_or_less(arm, number));
        }
    }
    copy
}

fn one_more_or_less(arm: &mut TrialArm, number: usize) {
    arm.replicates = None;
    for counts in [&mut arm.stages.lift, &mut arm.stages.spring].into_iter().flatten() {
        counts.replicates = None;
        let (Some(rooted), Some(alive)) = (counts.rooted, counts.alive) else { continue };
        counts.rooted =
            Some(if number.is_multiple_of(2) { (rooted + 1).min(alive) } else { rooted.saturating_sub(1) });
        counts.established =
            counts.established.map(|established| established.min(counts.rooted.unwrap_or(0)));
    }
}
