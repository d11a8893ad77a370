//! The three laws of a species and method, and the tails of growers' skill.

use propagule_analysis::joint::{self, CellExpectation, JointOptions, LawWeights, Tails};
use propagule_analysis::table::{ArmTable, CountedArm};
use propagule_analysis::{Count, Grower, rate};

const SPECIES: usize = 6;
const GROWERS: usize = 9;

fn arm(grower: usize, trial: usize, species: usize, started: u32, succeeded: u32) -> CountedArm {
    CountedArm {
        grower,
        trial,
        levels: vec![Some(species / 3), Some(species), Some(0)],
        count: Count { started, succeeded },
        replicates: 1,
    }
}

fn table(arms: Vec<CountedArm>) -> ArmTable {
    ArmTable::new(vec![2, SPECIES, 1], vec![1.0; GROWERS], arms).expect("valid")
}

fn expect(arms: Vec<CountedArm>, species: usize, options: &JointOptions) -> CellExpectation {
    let fit = joint::fit(&table(arms), options).expect("converges");
    let weights = fit.law_weights().expect("settles");
    fit.expect(&weights, species / 3, species, 0).expect("converges")
}

/// Five species that root about one in five, with four growers each.
fn relatives() -> Vec<CountedArm> {
    let of = |species: usize, k: usize| {
        let succeeded = [3, 4, 6, 5][k] + (species % 2) as u32;
        arm((species + k) % GROWERS, 10 * species + k, species, 24, succeeded)
    };
    (0..SPECIES - 1).flat_map(|species| (0..4).map(move |k| of(species, k))).collect()
}

#[test]
fn what_is_said_without_relatives_is_the_default_model() {
    let own = [arm(0, 90, 5, 20, 3), arm(1, 91, 5, 16, 2), arm(1, 92, 5, 12, 0)];
    let found = expect([relatives(), own.to_vec()].concat(), 5, &JointOptions::default());
    let count = |started, succeeded| Count { started, succeeded };
    let growers = [Grower::new(vec![count(20, 3)], 1.0), Grower::new(vec![count(16, 2), count(12, 0)], 1.0)];
    let alone = rate::fit(&growers, &rate::Options::default()).expect("fits");
    assert_eq!(&found.without, alone.summary());
    assert_eq!((found.own_growers, found.own_trials), (2, 3));
    // Relatives agree with the own counts, so much is borrowed and the range is narrower.
    let width = |[low, _, high]: [f64; 3]| high - low;
    assert!(width(found.average_rate_q) < 0.8 * width(found.without.average_grower_rate_q));
    assert!(found.prior_growers > 0.2 && (0.0..1.0).contains(&found.share) && !found.is_in_conflict);
    assert!((found.laws.iter().sum::<f64>() - 1.0).abs() < 1e-12 && found.laws[0] > 0.5, "{found:?}");
}

#[test]
fn never_tried_rests_on_relatives_alone() {
    let fit = joint::fit(&table(relatives()), &JointOptions::default()).expect("converges");
    let weights = fit.law_weights().expect("settles");
    let found = fit.expect(&weights, 1, 5, 0).expect("converges");
    assert_eq!((found.laws, found.own_growers), (weights.0, 0));
    assert!(
        found.share < 1e-6 && (0.1..0.4).contains(&found.average_rate_mean),
        "{}",
        found.average_rate_mean
    );
    let [low, _, high] = found.average_rate_q;
    assert!(low > 0.02 && high < 0.8, "{low} {high}");
    assert!((found.new_grower.mean() - found.average_rate_mean).abs() < 1e-3);
}

#[test]
fn own_counts_that_disagree_are_found() {
    let own = |succeeded: u32| (0..6).map(move |k| arm(k, 90 + k, 5, 24, succeeded)).collect::<Vec<_>>();
    let found = |succeeded| expect([relatives(), own(succeeded)].concat(), 5, &JointOptions::default());
    assert!(!found(5).is_in_conflict);
    // Whether they do or not: what is told lies inside what the own counts allow, or it is said.
    for succeeded in [0, 12, 20, 24] {
        let found = found(succeeded);
        let [low, _, high] = found.without.average_grower_rate_q;
        let inside = (low..=high).contains(&found.average_rate_mean);
        assert!(inside || found.is_in_conflict || succeeded == 0, "{succeeded}: {found:?}");
    }
}

/// Eight growers agree; the ninth reports 23 of 24 whatever it sticks.
#[test]
fn one_absurd_grower_is_discounted_by_the_tails() {
    let honest = (0..SPECIES - 1).flat_map(|species| {
        (0..8).map(move |grower| arm(grower, 10 * species + grower, species, 24, 4 + (grower % 2) as u32))
    });
    let absurd = (0..SPECIES - 1).map(|species| arm(8, 100 + species, species, 24, 23));
    let all: Vec<CountedArm> = honest.chain(absurd).collect();
    let with = |tails| {
        let options = JointOptions { tails, ..JointOptions::default() };
        let fit = joint::fit(&table(all.clone()), &options).expect("converges");
        (fit.spreads()[5], fit.cell(1, 5, 0).expect("converges").average_rate_mean)
    };
    let ((narrow, near), (wide, far)) = (with(Tails::Student), with(Tails::Normal));
    assert!(narrow < wide && (near - 0.19).abs() < (far - 0.19).abs(), "{narrow} {wide} {near} {far}");
}

/// Without own trials the next one is a new grower's; by the default model alone it is what that says; own counts pull it their way.
#[test]
fn the_next_trial_of_a_grower_rests_on_what_is_borrowed_and_on_its_own_counts() {
    let fit = joint::fit(&table(relatives()), &JointOptions::default()).expect("converges");
    let weights = fit.law_weights().expect("settles");
    let count = |started, succeeded| Count { started, succeeded };
    let others = [Grower::new(vec![count(20, 3)], 1.0), Grower::new(vec![count(16, 2)], 1.0)];
    let alone = rate::fit(&others, &rate::Options::default()).expect("fits");
    let next = |weights: &LawWeights, own: &[Count]| {
        fit.next_trial(weights, [1, 5, 0], (&others, &alone), own).expect("is possible")
    };
    let new = fit.expect_of(&weights, [1, 5, 0], &others, &alone).expect("converges").new_grower;
    let law = next(&weights, &[]);
    assert!((law.mean() - new.mean()).abs() < 1e-4, "{} {}", law.mean(), new.mean());
    for (y, n) in [(1, 10), (5, 40), (12, 24)] {
        assert!((law.at_least(y, n) - new.at_least(y, n)).abs() < 1e-3, "{y} of {n}");
    }
    let own = [count(24, 9), count(12, 5)];
    let by_default = alone.next_trial_law(&own).expect("is possible");
    assert!((next(&LawWeights([0.0, 0.0, 1.0]), &own).mean() - by_default.mean()).abs() < 1e-9);
    let mean = |own: &[Count]| next(&weights, own).mean();
    assert!(mean(&[count(30, 0)]) < mean(&[]) && mean(&[]) < mean(&own), "{}", mean(&own));
    assert!(fit.next_trial(&weights, [1, 5, 0], (&others, &alone), &[count(3, 4)]).is_err());
}

/// What is known of two methods hangs together as much as they have in common: all, where they are the same; genus and species alone,
/// where nothing of either was seen.
#[test]
fn two_methods_of_a_species_stand_beside_each_other() {
    let fit = joint::fit(&table(relatives()), &JointOptions::default()).expect("converges");
    let same = fit.beside([0, 0], [0, 0]);
    assert!((same.correlation - 1.0).abs() < 1e-9, "{same:?}");
    let (one, other) = (fit.beside([1, 5], [0, 1]), fit.beside([1, 5], [1, 0]));
    assert!((one.correlation - other.correlation).abs() < 1e-9 && one.correlation.abs() < 1.0, "{one:?}");
    let [.., grower, trial, arm] = fit.spreads();
    assert!(one.shared_sd > 0.8 * grower.hypot(trial) && (one.arm_sd - arm).abs() < 0.1, "{one:?}");
    let nothing = fit.beside([90, 90], [90, 91]);
    let unseen = fit.beside([1, 90], [90, 91]);
    assert!(nothing.correlation > unseen.correlation && unseen.correlation > 0.0, "{nothing:?} {unseen:?}");
}
