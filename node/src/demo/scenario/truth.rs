//! What a large number of the scenario's trials would show: the chance that one piece succeeds, integrated over
//! growers, trials, stock plants, blocks and bench edges, and averaged over the regions.
//!
//! Pieces lost before anybody scored them count as failures. Growers with hard water and winter beds with voles are
//! not in it. The chance is not the logistic of the mean log odds: effects that spread pull it towards one half.

use super::crop::{Cover, Crop, Steps, Treatment};
use super::effects::{BLOCK_SD, EDGE, EDGE_SHARE, LOST_SHARE, SKILL_SD, STOCK_PLANT_SD, TRIAL_SD};
use super::region::REGIONS;
use super::stable::{exp, logistic};
use propagule_evidence::Stage;

/// One line of the truth table.
#[derive(Clone, Debug, PartialEq)]
pub struct Truth {
    /// Crop.
    pub crop: Crop,
    /// Cover; it matters for mulberry alone.
    pub cover: Cover,
    /// Label of the treatment.
    pub arm: &'static str,
    /// Lift or spring.
    pub stage: Stage,
    /// Chance that a piece put in is rooted (taken, germinated) at that count.
    pub probability: f64,
    /// Place among the arms of the same crop, cover and stage: 1 is best.
    pub rank: usize,
}

/// The truth of every treatment at lift and in spring.
pub fn table() -> Vec<Truth> {
    let covers =
        |crop| if crop == Crop::Morus { Cover::SHARES.map(|(c, _)| c).to_vec() } else { vec![Cover::Open] };
    let mut lines = Vec::new();
    for crop in Crop::ALL {
        for cover in covers(crop) {
            lines.extend(ranked(crop, cover, Stage::Lift));
            lines.extend(ranked(crop, cover, Stage::Spring));
        }
    }
    lines
}

fn ranked(crop: Crop, cover: Cover, stage: Stage) -> Vec<Truth> {
    let treatments = crop.treatments(cover);
    let probabilities: Vec<f64> = treatments.iter().map(|arm| probability(crop, arm, stage)).collect();
    let rank = |own: f64| 1 + probabilities.iter().filter(|other| **other > own).count();
    let line = |(arm, own): (&Treatment, &f64)| Truth {
        crop,
        cover,
        arm: arm.label,
        stage,
        probability: *own,
        rank: rank(*own),
    };
    treatments.iter().zip(&probabilities).map(line).collect()
}

/// Chance that one piece of a treatment succeeds at a stage.
pub fn probability(crop: Crop, treatment: &Treatment, stage: Stage) -> f64 {
    let total: f64 = REGIONS.iter().map(|region| region.weight).sum();
    let weighted = REGIONS.iter().map(|region| {
        let steps = treatment.steps_in(crop, region.distance(), region.hottest());
        region.weight / total * in_region(crop, &steps, stage)
    });
    (1.0 - LOST_SHARE) * weighted.sum::<f64>()
}

fn in_region(crop: Crop, steps: &Steps, stage: Stage) -> f64 {
    let lasting = SKILL_SD.hypot(TRIAL_SD);
    let passing = STOCK_PLANT_SD.hypot(BLOCK_SD);
    let success = |lasting: f64, passing: f64| {
        let shift = lasting + passing;
        let survive = steps.survive.map_or(1.0, |survive| logistic(survive + shift));
        let rooted = survive * logistic(steps.root + shift);
        match stage {
            Stage::Lift => rooted * crop.in_time(),
            Stage::Season | Stage::Spring | Stage::Final => rooted * logistic(steps.winter + lasting),
        }
    };
    let at_edge = |u: f64, v: f64| EDGE_SHARE * success(u, v + EDGE) + (1.0 - EDGE_SHARE) * success(u, v);
    expectation(lasting, |u| expectation(passing, |v| at_edge(u, v)))
}

/// Steps of a standard deviation between nodes, and nodes on each side: the trapezoid rule out to 7.5.
const STEP: f64 = 0.75;
const NODES: i32 = 10;

/// Mean of `f` over a normal law with mean 0.
fn expectation(sd: f64, f: impl Fn(f64) -> f64) -> f64 {
    let node = |k: i32| {
        let z = f64::from(k) * STEP;
        (z, exp(-0.5 * z * z))
    };
    let (mut sum, mut mass) = (0.0, 0.0);
    for (z, weight) in (-NODES..=NODES).map(node) {
        sum += weight * f(sd * z);
        mass += weight;
    }
    sum / mass
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rule_integrates_moments_of_the_normal_law() {
        // E exp(s Z) = exp(s²/2); E Z² = 1.
        assert!((expectation(0.8, f64::exp) - 0.32_f64.exp()).abs() < 1e-9);
        assert!((expectation(1.0, |z| z * z) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn spreading_effects_pull_a_rare_success_up() {
        let chip = &Crop::JuglansJune.treatments(Cover::Open)[1];
        let plain = logistic(chip.steps.root) * Crop::JuglansJune.in_time() * (1.0 - LOST_SHARE);
        let truth = probability(Crop::JuglansJune, chip, Stage::Lift);
        assert!(truth > plain && truth < 0.12, "{plain} {truth}");
    }

    #[test]
    fn every_arm_has_a_rank_and_the_better_treatment_has_the_better_one() {
        let table = table();
        let rank = |crop, cover, arm| {
            let line = table.iter().find(|line| {
                (line.crop, line.cover, line.arm, line.stage) == (crop, cover, arm, Stage::Lift)
            });
            line.expect("the arm is in the table").rank
        };
        assert_eq!(rank(Crop::Cornus, Cover::Open, "warm 16"), 1);
        assert_eq!(rank(Crop::Cornus, Cover::Open, "cold only"), 3);
        assert_eq!(rank(Crop::Morus, Cover::Mist, "3000, wounded"), 1);
        assert_eq!(rank(Crop::JuglansAugust, Cover::Open, "patch"), 1);
        assert!(table.iter().all(|line| line.probability > 0.0 && line.probability < 1.0));
    }
}
