//! Rules of counts, as in the schema: each broken once.

mod sample;

use propagule_protocol::record::{Arm, Body, Counts, DesignFlags, Phase, StageCounts, Summary};
use propagule_protocol::sign;
use sample::{arm, key, network, new_summary, summary};

/// The verdict on a summary of major 0.
fn verdict(arms: Vec<Arm>) -> Result<(), String> {
    judged(summary(arms))
}

/// The verdict on a summary of major 1.
fn new_verdict(arms: Vec<Arm>) -> Result<(), String> {
    judged(new_summary(arms))
}

fn judged(summary: Summary) -> Result<(), String> {
    sign(&Body::Summary(summary), &key(1), &network()).map(|_| ()).map_err(|error| error.to_string())
}

fn at(stage: &str, counts: Counts) -> Arm {
    let mut arm = arm(1, 30, None);
    let stages = &mut arm.stages;
    match stage {
        "lift" => stages.lift = Some(counts),
        "season end" => stages.season = Some(counts),
        "spring" => stages.spring = Some(counts),
        _ => stages.last = Some(counts),
    }
    arm
}

fn broken(stage: &str, counts: Counts) -> String {
    verdict(vec![at(stage, counts)]).expect_err("a broken rule")
}

fn new_broken(stage: &str, counts: Counts) -> String {
    new_verdict(vec![at(stage, counts)]).expect_err("a broken rule")
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

/// What major 1 made valid is refused in a summary of major 0, in the words of before.
#[test]
fn major_0_keeps_its_rules() {
    let left = Counts { rooted: Some(3), left_as_finished: Some(2), ..counts() };
    assert_eq!(
        broken("lift", left.clone()),
        "rule: arm 1, lift: left as finished cannot be counted at this stage"
    );
    assert_eq!(new_verdict(vec![at("lift", left)]), Ok(()));
    let past_alive =
        Counts { alive: Some(5), rooted: Some(6), left_as_finished: Some(2), finished: Some(2), ..counts() };
    assert_eq!(broken("final", past_alive.clone()), "rule: arm 1, final: rooted 6 exceeds alive 5");
    assert_eq!(new_verdict(vec![at("final", past_alive)]), Ok(()));
    let alone = Counts { left_as_finished: Some(1), ..counts() };
    assert_eq!(new_verdict(vec![at("final", alone)]), Ok(()));
}

#[test]
fn the_season_end_lies_between_lift_and_spring() {
    let taken = Counts { rooted: Some(6), established: Some(5), ..counts() };
    assert_eq!(new_verdict(vec![at("season end", taken.clone())]), Ok(()));
    let more = Counts { established: Some(7), ..taken.clone() };
    assert_eq!(new_broken("season end", more), "rule: arm 1, season end: established 7 exceeds rooted 6");
    let early = Counts { finished: Some(1), ..taken };
    assert_eq!(
        new_broken("season end", early),
        "rule: arm 1, season end: final cannot be counted at this stage"
    );
    let at_lift = Counts { established: Some(1), ..counts() };
    assert_eq!(new_broken("lift", at_lift), "rule: arm 1, lift: established cannot be counted at this stage");
}

#[test]
fn pieces_leave_at_any_stage() {
    // 30 in: 12 alive, 10 of them with roots, 8 left as finished, 10 dead.
    let parts = Counts {
        alive: Some(12),
        rooted: Some(10),
        dead: Some(10),
        lost: Some(0),
        left_as_finished: Some(8),
        ..counts()
    };
    assert_eq!(new_verdict(vec![at("lift", parts.clone())]), Ok(()));
    let short = Counts { dead: Some(9), ..parts.clone() };
    let why = "rule: arm 1, lift: alive, dead, lost and left as finished add up to 29, started is 30";
    assert_eq!(new_broken("lift", short), why);
    let rooted = Counts { rooted: Some(21), ..parts };
    assert_eq!(
        new_broken("lift", rooted),
        "rule: arm 1, lift: rooted 21 exceeds alive and left as finished 20"
    );
    let both = Counts { rooted: Some(23), left_as_finished: Some(8), ..counts() };
    assert_eq!(
        new_broken("lift", both),
        "rule: arm 1, lift: rooted and left as finished 31 exceeds started 30"
    );
    let left = Counts { finished: Some(3), left_as_finished: Some(4), ..counts() };
    assert_eq!(new_broken("final", left), "rule: arm 1, final: left as finished 4 exceeds final 3");
    let here = Counts {
        rooted: Some(5),
        established: Some(5),
        finished: Some(9),
        left_as_finished: Some(3),
        ..counts()
    };
    assert_eq!(new_broken("final", here), "rule: arm 1, final: final still here 6 exceeds established 5");
}

#[test]
fn ever_rooted_never_falls() {
    let ever = |ever| Counts { ever_rooted: Some(ever), ..counts() };
    let two = |lift, later| {
        let stages = StageCounts { lift: Some(lift), season: Some(later), ..StageCounts::default() };
        new_verdict(vec![Arm { stages, ..arm(1, 30, None) }])
    };
    assert_eq!(two(ever(9), ever(9)), Ok(()));
    let falls = "rule: arm 1, season end: ever rooted 8 is fewer than 9 at an earlier stage";
    assert_eq!(two(ever(9), ever(8)), Err(falls.to_owned()));
    let rooted = Counts { rooted: Some(7), left_as_finished: Some(2), ..counts() };
    assert_eq!(two(rooted.clone(), ever(8)), Err(falls.to_owned()));
    // Roots that died: fewer are rooted, and it is not stated how many had been.
    assert_eq!(two(rooted, Counts { rooted: Some(4), ..counts() }), Ok(()));
    let one = |rooted, ever| Counts { rooted: Some(rooted), ever_rooted: Some(ever), ..counts() };
    assert_eq!(new_broken("lift", one(9, 8)), "rule: arm 1, lift: rooted 9 exceeds ever rooted 8");
    assert_eq!(new_broken("lift", one(9, 31)), "rule: arm 1, lift: ever rooted 31 exceeds started 30");
    let later = StageCounts { spring: Some(ever(9)), last: Some(ever(8)), ..StageCounts::default() };
    assert_eq!(
        new_verdict(vec![Arm { stages: later, ..arm(1, 30, None) }]),
        Err("rule: arm 1, final: ever rooted 8 is fewer than 9 at an earlier stage".to_owned())
    );
}

#[test]
fn lists_hold_rooted_and_left_together() {
    let left = |list: &[u16]| {
        let lift = Counts {
            rooted: Some(7),
            left_as_finished: Some(5),
            replicates: Some(list.to_vec()),
            ..counts()
        };
        let stages = StageCounts { lift: Some(lift), ..StageCounts::default() };
        new_verdict(vec![Arm { stages, replicates: Some(vec![10, 20]), ..arm(1, 30, None) }])
    };
    assert_eq!(left(&[4, 8]), Ok(()));
    let why = "rule: arm 1, lift: replicates add up to 7, rooted and left as finished is 12";
    assert_eq!(left(&[3, 4]), Err(why.to_owned()));
    assert_eq!(new_verdict(replicated(&[10, 20], 12, &[4, 8])), Ok(()));
    let mut at_final = replicated(&[10, 20], 12, &[4, 8]);
    let lift = at_final[0].stages.lift.take().expect("counts");
    at_final[0].stages.last =
        Some(Counts { finished: Some(12), left_as_finished: Some(5), rooted: Some(7), ..lift });
    assert_eq!(new_verdict(at_final), Ok(()));
}

#[test]
fn lost_pieces_are_told_by_replicate() {
    let lost = |count: Option<u16>, list: &[u16]| {
        let mut arms = replicated(&[10, 20], 12, &[4, 8]);
        let lift = arms[0].stages.lift.as_mut().expect("counts");
        (lift.lost, lift.lost_by_replicate) = (count, Some(list.to_vec()));
        new_verdict(arms)
    };
    let why = |text: &str| Err(format!("rule: arm 1, lift: {text}"));
    assert_eq!(lost(Some(7), &[0, 7]), Ok(()));
    assert_eq!(lost(Some(7), &[0, 6]), why("replicates add up to 6, lost is 7"));
    assert_eq!(lost(None, &[0, 7]), why("lost by replicate without lost"));
    assert_eq!(lost(Some(0), &[0, 0]), why("lost by replicate without lost"));
    assert_eq!(lost(Some(7), &[0, 7, 0]), why("3 replicates counted, 2 started"));
    assert_eq!(lost(Some(7), &[7, 0]), why("a replicate with its lost pieces 11 exceeds its started 10"));
    let lift = Counts { lost: Some(2), lost_by_replicate: Some(vec![1, 1]), ..counts() };
    let stages = StageCounts { lift: Some(lift), ..StageCounts::default() };
    let alone = Arm { stages, replicates: Some(vec![10, 20]), ..arm(1, 30, None) };
    assert_eq!(new_verdict(vec![alone]), why("lost by replicate without replicates"));
}

#[test]
fn matched_replicates_are_blocks() {
    let laid_out = |flags, lists: &[&[u16]]| {
        let one = |(number, list): (u8, &&[u16])| {
            let replicates = (!list.is_empty()).then(|| list.to_vec());
            Arm { replicates, ..arm(number, list.iter().sum::<u16>().max(1), None) }
        };
        let arms = (1..).zip(lists).map(one).collect();
        judged(Summary { design: DesignFlags(flags), ..new_summary(arms) })
    };
    let why = |text: &str| Err(format!("rule: {text}"));
    let matched = DesignFlags::REPLICATES_MATCHED;
    assert_eq!(laid_out(matched, &[&[8, 0, 8], &[8, 8, 0]]), Ok(()));
    assert_eq!(laid_out(0, &[&[8, 8, 8], &[9, 9]]), Ok(()));
    assert_eq!(
        laid_out(0, &[&[8, 0, 8], &[8, 8, 8]]),
        why("arm 1: a replicate of none, and replicates are not matched")
    );
    assert_eq!(
        laid_out(matched, &[&[8, 8, 8], &[9, 9]]),
        why("replicates are matched, but arm 2 has 2 of them and arm 1 has 3")
    );
    assert_eq!(
        laid_out(matched, &[&[], &[9, 9]]),
        why("replicates are matched, but arm 2 has 2 of them and arm 1 has 0")
    );
    assert_eq!(laid_out(matched, &[&[], &[]]), why("replicates are matched, but no arm has any"));
    assert_eq!(laid_out(DesignFlags::UNIT_IS_PIECE | DesignFlags::STARTED_CHANGED, &[&[], &[]]), Ok(()));
}

#[test]
fn the_control_is_an_arm() {
    let with = |control| {
        judged(Summary { control: Some(control), ..new_summary(vec![arm(1, 5, None), arm(4, 5, None)]) })
    };
    assert_eq!(with(4), Ok(()));
    assert_eq!(with(2), Err("rule: the control is arm 2, which is not there".to_owned()));
}
