//! Rules of counts, as in the schema: each broken once.

mod sample;

use propagule_protocol::record::{Arm, Body, Counts, Phase, StageCounts};
use propagule_protocol::sign;
use sample::{arm, key, network, summary};

fn verdict(arms: Vec<Arm>) -> Result<(), String> {
    sign(&Body::Summary(summary(arms)), &key(1), &network()).map(|_| ()).map_err(|error| error.to_string())
}

fn at(stage: &str, counts: Counts) -> Arm {
    let mut arm = arm(1, 30, None);
    let stages = &mut arm.stages;
    match stage {
        "lift" => stages.lift = Some(counts),
        "spring" => stages.spring = Some(counts),
        _ => stages.last = Some(counts),
    }
    arm
}

fn broken(stage: &str, counts: Counts) -> String {
    verdict(vec![at(stage, counts)]).expect_err("a broken rule")
}

fn counts() -> Counts {
    Counts::default()
}

#[test]
fn nothing_exceeds_what_it_is_part_of() {
    let rooted = Counts { alive: Some(5), rooted: Some(6), ..counts() };
    assert_eq!(broken("lift", rooted), "rule: arm 1, lift: rooted 6 exceeds alive 5");
    let callused = Counts { alive: Some(5), callused: Some(6), ..counts() };
    assert_eq!(broken("lift", callused), "rule: arm 1, lift: callused 6 exceeds alive 5");
    let established = Counts { rooted: Some(5), established: Some(6), ..counts() };
    assert_eq!(broken("spring", established), "rule: arm 1, spring: established 6 exceeds rooted 5");
    let finished = Counts { established: Some(5), finished: Some(9), left_as_finished: Some(3), ..counts() };
    assert_eq!(broken("final", finished), "rule: arm 1, final: final still here 6 exceeds established 5");
    let more = Counts { rooted: Some(31), ..counts() };
    assert_eq!(broken("lift", more), "rule: arm 1, lift: rooted 31 exceeds started 30");
}

#[test]
fn callused_is_not_chained_to_rooted() {
    let counts = Counts { alive: Some(9), callused: Some(2), rooted: Some(8), ..counts() };
    assert_eq!(verdict(vec![at("lift", counts)]), Ok(()));
}

#[test]
fn no_sum_exceeds_started() {
    let sum = Counts { alive: Some(20), dead: Some(8), lost: Some(3), ..counts() };
    assert_eq!(broken("lift", sum), "rule: arm 1, lift: the sum of all counted 31 exceeds started 30");
    let hidden = Counts { rooted: Some(20), dead: Some(11), ..counts() };
    assert_eq!(broken("lift", hidden), "rule: arm 1, lift: the sum of all counted 31 exceeds started 30");
    let unknown_rest = Counts { alive: Some(20), dead: Some(3), lost: Some(0), ..counts() };
    assert_eq!(verdict(vec![at("lift", unknown_rest)]), Ok(()));
}

#[test]
fn all_four_parts_add_up() {
    // Story of a nursery: 30 in, 15 left as finished; of 6 kept, 4 alive and finished.
    let parts = Counts {
        alive: Some(4),
        dead: Some(11),
        lost: Some(0),
        finished: Some(19),
        left_as_finished: Some(15),
        ..counts()
    };
    assert_eq!(verdict(vec![at("final", parts.clone())]), Ok(()));
    let short = Counts { dead: Some(10), ..parts };
    let why = "rule: arm 1, final: alive, dead, lost and left as finished add up to 29, started is 30";
    assert_eq!(broken("final", short), why);
}

#[test]
fn late_counts_wait_for_their_stage() {
    let established = Counts { established: Some(1), ..counts() };
    assert_eq!(broken("lift", established), "rule: arm 1, lift: established cannot be counted at this stage");
    let finished = Counts { finished: Some(1), ..counts() };
    assert_eq!(broken("spring", finished), "rule: arm 1, spring: final cannot be counted at this stage");
    let left = Counts { left_as_finished: Some(1), ..counts() };
    assert_eq!(broken("final", left), "rule: arm 1, final: left as finished without final");
}

fn replicated(started: &[u16], rooted: u16, per_replicate: &[u16]) -> Vec<Arm> {
    let lift = Counts { rooted: Some(rooted), replicates: Some(per_replicate.to_vec()), ..counts() };
    let stages = StageCounts { lift: Some(lift), ..StageCounts::default() };
    vec![Arm { stages, replicates: Some(started.to_vec()), ..arm(1, 30, None) }]
}

#[test]
fn replicates_add_up_to_their_arm() {
    assert_eq!(verdict(replicated(&[10, 20], 12, &[4, 8])), Ok(()));
    let why = |arms| verdict(arms).expect_err("a broken rule");
    assert_eq!(
        why(replicated(&[10, 19], 12, &[4, 8])),
        "rule: arm 1: replicates add up to 29, started is 30"
    );
    assert_eq!(
        why(replicated(&[10, 20], 12, &[4, 7])),
        "rule: arm 1, lift: replicates add up to 11, rooted is 12"
    );
    assert_eq!(
        why(replicated(&[10, 20], 12, &[4, 4, 4])),
        "rule: arm 1, lift: 3 replicates counted, 2 started"
    );
    assert_eq!(
        why(replicated(&[10, 20], 12, &[12, 0])),
        "rule: arm 1, lift: a replicate 12 exceeds its started 10"
    );
    let mut final_lead = replicated(&[10, 20], 12, &[4, 8]);
    final_lead[0].stages.last = final_lead[0].stages.lift.take();
    assert_eq!(why(final_lead), "rule: arm 1, final: replicates without final");
}

#[test]
fn arms_and_phases_stand_in_order() {
    let twice = verdict(vec![arm(2, 5, None), arm(2, 5, None)]);
    assert_eq!(twice, Err("rule: arm numbers do not rise: 2 follows 2".to_owned()));
    let phase = |after_weeks| Phase { after_weeks, facets: arm(1, 5, None).facets };
    let moved = |weeks: [u16; 2]| verdict(vec![Arm { phases: weeks.map(phase).to_vec(), ..arm(1, 5, None) }]);
    assert_eq!(moved([8, 12]), Ok(()));
    assert_eq!(moved([8, 8]), Err("rule: arm 1: phases do not follow each other".to_owned()));
    assert_eq!(moved([12, 8]), Err("rule: arm 1: phases do not follow each other".to_owned()));
}
