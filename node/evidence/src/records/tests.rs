use propagule_protocol::Phase;

use super::*;
use crate::Silence;
use crate::fixtures::{arm, facets, held, lifted, summary};

const SPECIES: &str = "Ostrava tarda";

fn options() -> RecordOptions {
    RecordOptions::new(Taxon::parse(SPECIES).expect("a name"))
}

fn at_stage(stage: Stage) -> RecordOptions {
    RecordOptions { question: Question { stage, outcome: Outcome::Rooted }, ..options() }
}

/// `(succeeded, started, pending)` of every row.
fn counts(evidence: &Evidence) -> Vec<(u32, u32, bool)> {
    evidence.rows.iter().map(|row| (row.succeeded, row.started, row.pending)).collect()
}

fn reasons(evidence: &Evidence) -> Vec<(WhyLeftOut, usize)> {
    evidence.left_out.iter().map(|line| (line.why, line.count)).collect()
}

#[test]
fn the_denominator_is_started_and_lost_stays_in_it() {
    let mut one = lifted(1, 12, 6);
    one.stages.lift = Some(Counts { rooted: Some(6), lost: Some(4), dead: Some(2), ..Counts::default() });
    let trial = summary(SPECIES, 1, vec![one]);
    let evidence = from_records(&[held(1, &trial)], &options());
    assert_eq!(counts(&evidence), [(6, 12, false)]);
    assert_eq!(evidence.rows[0].lost, 4);
}

#[test]
fn absent_is_pending_and_never_zero() {
    let trial = summary(SPECIES, 1, vec![arm(1, 12), lifted(2, 12, 0)]);
    let evidence = from_records(&[held(1, &trial)], &options());
    assert_eq!(counts(&evidence), [(0, 12, true), (0, 12, false)]);
}

#[test]
fn a_stage_counted_without_the_outcome_is_left_out_and_named() {
    let mut looked = arm(1, 12);
    looked.stages.lift = Some(Counts { alive: Some(9), ..Counts::default() });
    let trial = summary(SPECIES, 1, vec![looked]);
    let evidence = from_records(&[held(1, &trial)], &options());
    assert!(evidence.rows.is_empty());
    assert_eq!(reasons(&evidence), [(WhyLeftOut::OutcomeNotCounted, 1)]);
}

#[test]
fn nothing_alive_means_nothing_rooted_then_and_later() {
    let mut dead = arm(1, 12);
    dead.stages.lift = Some(Counts { alive: Some(0), dead: Some(10), lost: Some(2), ..Counts::default() });
    let trial = summary(SPECIES, 1, vec![dead, lifted(2, 12, 3)]);
    let lift = from_records(&[held(1, &trial)], &options());
    assert_eq!(counts(&lift), [(0, 12, false), (3, 12, false)]);
    let spring = from_records(&[held(1, &trial)], &at_stage(Stage::Spring));
    assert_eq!(counts(&spring), [(0, 12, false), (0, 12, true)]);
    assert!(spring.rows[0].flags.ended_earlier);
}

#[test]
fn survivors_are_waiting_and_callus_is_no_root() {
    let mut green = arm(1, 12);
    green.stages.lift =
        Some(Counts { alive: Some(9), callused: Some(7), rooted: Some(0), ..Counts::default() });
    let trial = summary(SPECIES, 1, vec![green]);
    let evidence = from_records(&[held(1, &trial)], &options());
    assert_eq!((evidence.rows[0].succeeded, evidence.rows[0].still_waiting()), (0, 9));
}

fn moved(lift_weeks: Option<u16>, after_weeks: u16) -> Summary {
    let mut one = lifted(1, 13, 0);
    one.stages.spring = Some(Counts { rooted: Some(3), ..Counts::default() });
    one.phases = vec![Phase {
        after_weeks,
        facets: facets(&[("kind", "stem cutting"), ("growing_place", "cold frame")]),
    }];
    let mut trial = summary(SPECIES, 1, vec![one]);
    trial.weeks.lift = lift_weeks;
    trial
}

#[test]
fn a_move_on_lift_day_belongs_to_spring_and_not_to_lift() {
    let trial = moved(Some(15), 15);
    let lift = from_records(&[held(1, &trial)], &options());
    assert!(lift.rows[0].phases.is_empty());
    let spring = from_records(&[held(1, &trial)], &at_stage(Stage::Spring));
    // 3 of 13, never 3 of the survivors.
    assert_eq!(counts(&spring), [(3, 13, false)]);
    assert_eq!(spring.rows[0].phases[0].after_weeks, 15);
}

#[test]
fn successes_first_seen_after_a_move_are_a_part_of_all_that_were_put_in() {
    let seen = |trial: &Summary, stage| {
        let evidence = from_records(&[held(1, trial)], &at_stage(stage));
        (evidence.rows[0].started, evidence.rows[0].succeeded, evidence.rows[0].first_seen.clone())
    };
    let trial = moved(Some(15), 15);
    assert_eq!(seen(&trial, Stage::Lift), (13, 0, vec![]));
    assert_eq!(seen(&trial, Stage::Spring), (13, 3, vec![3]));
    // What was seen before the move is not of it, nor what died since.
    let mut some = moved(Some(15), 15);
    some.arms[0].stages.lift = Some(Counts { rooted: Some(2), ..Counts::default() });
    assert_eq!(seen(&some, Stage::Spring), (13, 3, vec![1]));
    some.arms[0].stages.spring =
        Some(Counts { rooted: Some(3), ever_rooted: Some(9), dead: Some(6), ..Counts::default() });
    assert_eq!(seen(&some, Stage::Spring), (13, 3, vec![3]));
    // A move before the first look: roots are first seen after it.
    assert_eq!(seen(&moved(Some(15), 8), Stage::Spring), (13, 3, vec![3]));
    let alive =
        RecordOptions { question: Question { stage: Stage::Lift, outcome: Outcome::Alive }, ..options() };
    let mut green = moved(Some(15), 8);
    green.arms[0].stages.lift = Some(Counts { rooted: Some(0), alive: Some(9), ..Counts::default() });
    assert!(from_records(&[held(1, &green)], &alive).rows[0].first_seen.is_empty());
}

#[test]
fn a_life_is_resolved_when_nothing_waits_or_a_later_look_was_made() {
    let life = |lift: Counts, spring: Option<Counts>| {
        let mut one = arm(1, 12);
        one.stages.lift = Some(lift);
        one.stages.spring = spring;
        let trial = summary(SPECIES, 1, vec![one]);
        let life = from_records(&[held(1, &trial)], &options()).rows[0].life.expect("roots were counted");
        (life.ever_rooted, life.still_waiting, life.is_resolved)
    };
    let rooted = |rooted, alive| Counts { rooted: Some(rooted), alive, ..Counts::default() };
    assert_eq!(life(rooted(4, Some(9)), None), (4, Some(5), false));
    assert_eq!(life(rooted(4, Some(4)), None), (4, Some(0), true));
    assert_eq!(life(rooted(4, None), None), (4, None, false));
    assert_eq!(life(Counts { dead: Some(8), ..rooted(4, None) }, None), (4, Some(0), true));
    // Alive in spring without a look for roots settles nothing; none alive does.
    assert_eq!(
        life(rooted(4, Some(9)), Some(Counts { alive: Some(6), ..Counts::default() })),
        (4, Some(5), false)
    );
    assert_eq!(
        life(rooted(4, Some(9)), Some(Counts { alive: Some(0), ..Counts::default() })),
        (4, Some(0), true)
    );
    let died = Counts { ever_rooted: Some(7), ..rooted(5, Some(6)) };
    assert_eq!(life(rooted(4, Some(9)), Some(died)), (7, Some(1), true));
}

#[test]
fn a_move_before_lift_or_at_an_unknown_week_is_never_credited_to_the_first_method_alone() {
    for (weeks, after) in [(Some(15), 8), (None, 15)] {
        let trial = moved(weeks, after);
        assert_eq!(from_records(&[held(1, &trial)], &options()).rows[0].phases.len(), 1);
    }
}

#[test]
fn transcribed_trials_count_only_when_asked_for_and_cluster_by_doi() {
    let mut printed = summary(SPECIES, 1, vec![lifted(1, 20, 5)]);
    printed.doi = Some("10.1234/abc".to_owned());
    let evidence = from_records(&[held(1, &printed)], &options());
    assert_eq!(reasons(&evidence), [(WhyLeftOut::Transcribed, 1)]);
    let asked = RecordOptions { transcribed: true, ..options() };
    assert_eq!(from_records(&[held(1, &printed)], &asked).rows[0].grower, "doi:10.1234/abc");
}

#[test]
fn grower_marks_are_growers_only_for_readers_who_trust_the_publisher() {
    let mut trials =
        [summary(SPECIES, 1, vec![lifted(1, 20, 3)]), summary(SPECIES, 2, vec![lifted(1, 15, 0)])];
    for (index, trial) in trials.iter_mut().enumerate() {
        trial.grower_mark = Some([index as u8; 8]);
    }
    let growers = |trusts_marks: bool| {
        let held = trials.each_ref().map(|trial| HeldTrial { trusts_marks, ..held(1, trial) });
        let rows = from_records(&held, &options()).rows;
        (rows[0].grower == rows[1].grower, rows[0].flags.marks_joined)
    };
    assert_eq!(growers(true), (false, false));
    assert_eq!(growers(false), (true, true));
}

#[test]
fn other_species_are_no_evidence_and_other_cultivars_are_named() {
    let other = summary("Lumetta rosea", 1, vec![lifted(1, 20, 3)]);
    assert_eq!(from_records(&[held(1, &other)], &options()), Evidence::default());
    let plain = summary(SPECIES, 1, vec![lifted(1, 20, 3)]);
    let named = summary("Ostrava tarda 'Brasswing'", 2, vec![lifted(1, 20, 9)]);
    let asked = RecordOptions::new(Taxon::parse("Ostrava tarda 'Brasswing'").expect("a name"));
    let evidence = from_records(&[held(1, &plain), held(2, &named)], &asked);
    assert_eq!(counts(&evidence), [(9, 20, false)]);
    assert_eq!(reasons(&evidence)[0].1, 1);
    assert_eq!(from_records(&[held(1, &plain), held(2, &named)], &options()).rows.len(), 2);
}

#[test]
fn weight_zero_is_outside_the_circle() {
    let trial = summary(SPECIES, 1, vec![lifted(1, 20, 3)]);
    let evidence = from_records(&[HeldTrial { weight: 0.0, ..held(1, &trial) }], &options());
    assert_eq!(reasons(&evidence), [(WhyLeftOut::Outside, 1)]);
}

#[test]
fn opened_only_leaves_out_trials_not_opened_early_and_those_lowered_later() {
    let trial = summary(SPECIES, 1, vec![lifted(1, 20, 3)]);
    let opened = HeldTrial { opened_early: true, ..held(1, &trial) };
    let lowered = HeldTrial { shrunk: true, ..opened.clone() };
    let asked = RecordOptions { opened_only: true, ..options() };
    let evidence = from_records(&[held(1, &trial), opened, lowered], &asked);
    assert_eq!((evidence.rows.len(), reasons(&evidence)[0].1), (1, 2));
}

#[test]
fn the_same_arms_under_another_key_are_perhaps_the_same_trial_and_one_cluster() {
    let arms = || vec![lifted(1, 12, 5), lifted(2, 12, 3)];
    let (first, copy) = (summary(SPECIES, 1, arms()), summary(SPECIES, 9, arms()));
    let evidence = from_records(&[held(1, &first), held(2, &copy)], &options());
    assert_eq!(counts(&evidence), [(5, 12, false), (3, 12, false)]);
    assert_eq!(reasons(&evidence), [(WhyLeftOut::PerhapsTheSame, 1)]);
    // Another count, or a single arm, is another trial.
    let near = summary(SPECIES, 9, vec![lifted(1, 12, 5), lifted(2, 12, 4)]);
    assert_eq!(from_records(&[held(1, &first), held(2, &near)], &options()).rows.len(), 4);
    let single = [summary(SPECIES, 1, vec![lifted(1, 12, 0)]), summary(SPECIES, 2, vec![lifted(1, 12, 0)])];
    assert_eq!(from_records(&[held(1, &single[0]), held(2, &single[1])], &options()).rows.len(), 2);
}

#[test]
fn a_key_that_copies_everybody_draws_nobody_into_its_cluster() {
    let trials: Vec<Summary> =
        (0..5).map(|n| summary(SPECIES, n, vec![lifted(1, 12, 1), lifted(2, 12, u16::from(n))])).collect();
    let honest = trials.iter().enumerate().map(|(n, trial)| held(10 + n as u8, trial));
    let copies = trials.iter().map(|trial| held(1, trial));
    let evidence = from_records(&honest.chain(copies).collect::<Vec<_>>(), &options());
    let growers: std::collections::BTreeSet<&str> =
        evidence.rows.iter().map(|row| row.grower.as_str()).collect();
    assert_eq!((growers.len(), evidence.rows.len()), (5, 10));
    assert!(!growers.contains(AuthorKey([1; 32]).to_string().as_str()));
}

/// A trial opened in July 2026 and planned for 15 weeks: due in November, silent from March 2027 on.
fn opened(trial: &Summary) -> HeldTrial<'_> {
    HeldTrial { opened: Month::new(2026, 7), opened_early: true, ..held(1, trial) }
}

fn in_month(year: u16, month: u8) -> RecordOptions {
    RecordOptions { now: Month::new(year, month), ..options() }
}

#[test]
fn an_opened_trial_is_pending_until_three_months_after_its_planned_week_and_silent_then() {
    let trial = summary(SPECIES, 1, vec![arm(1, 12)]);
    let silence = |options: &RecordOptions| {
        let evidence = from_records(&[opened(&trial)], options);
        let silence = evidence.silence.expect("one was opened");
        (silence.opened, silence.pending, silence.silent, evidence.rows[0].flags.silent)
    };
    // 15 weeks are 3.4 months: July + 4 + 3 is February.
    assert_eq!(silence(&in_month(2027, 2)), (1, 1, 0, false));
    assert_eq!(silence(&in_month(2027, 3)), (1, 0, 1, true));
    assert_eq!(silence(&options()), (1, 1, 0, false));
    // Spring is planned for week 48: July + 12 + 3 is October of the next year.
    let spring = RecordOptions { question: at_stage(Stage::Spring).question, ..in_month(2027, 10) };
    assert_eq!(silence(&spring), (1, 1, 0, false));
    let spring = RecordOptions { question: at_stage(Stage::Spring).question, ..in_month(2027, 11) };
    assert_eq!(silence(&spring), (1, 0, 1, true));
}

#[test]
fn reported_trials_are_not_silent_and_without_an_opening_nothing_is_said() {
    let reported = summary(SPECIES, 1, vec![lifted(1, 12, 0), lifted(2, 12, 4)]);
    let half = summary(SPECIES, 2, vec![lifted(1, 12, 0), arm(2, 12)]);
    let never = summary(SPECIES, 3, vec![arm(1, 12)]);
    let trials = [opened(&reported), opened(&half), held(2, &never)];
    let evidence = from_records(&trials, &in_month(2028, 1));
    let wanted = Silence { opened: 2, reported: 1, silent: 1, ..Silence::default() };
    assert_eq!(evidence.silence, Some(wanted));
    let silent: Vec<(&str, bool)> =
        evidence.rows.iter().map(|row| (row.arm.as_str(), row.flags.silent)).collect();
    assert_eq!(silent, [("1", false), ("2", false), ("1", false), ("2", true), ("1", false)]);
    assert_eq!(from_records(&[held(2, &never)], &in_month(2028, 1)).silence, None);
    let mut taken_back = Silence::default();
    taken_back.add_withdrawn(2);
    assert_eq!((taken_back.opened, taken_back.withdrawn), (2, 2));
}

#[test]
fn print_without_all_arms_is_perhaps_chosen() {
    let mut printed = summary(SPECIES, 1, vec![lifted(1, 20, 5)]);
    printed.doi = Some("10.1234/abc".to_owned());
    let asked = RecordOptions { transcribed: true, ..options() };
    assert!(from_records(&[held(1, &printed)], &asked).rows[0].flags.perhaps_chosen);
    printed.design = DesignFlags(DesignFlags::ALL_ARMS_REPORTED);
    assert!(!from_records(&[held(1, &printed)], &asked).rows[0].flags.perhaps_chosen);
}
