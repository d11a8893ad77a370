use propagule_analysis::verdict::{Design, Scope, Verdict};

use crate::pool::pool;
use crate::question::PoolQuestion;
use crate::said::AnswerSaid;
use propagule_evidence::fixtures::{evidence, row, with_facet, words};
use propagule_evidence::{EvidenceRow, Outcome, Pot, Question, Stage};

/// Two arms of one trial that differ in form alone.
fn two_forms(grower: &str, heel: (u32, u32), nodal: (u32, u32)) -> Vec<EvidenceRow> {
    let arm = |arm, word, (started, rooted)| with_facet(row(grower, "1", arm, started, rooted), "form", word);
    vec![arm("1", "heel", heel), arm("2", "nodal", nodal)]
}

/// Eight small invented trials of heel against nodal cuttings; the posterior was computed by direct enumeration in
/// R 4.2.2, outside this project's code.
#[test]
fn trials_are_pooled_by_the_exact_conditional_model() {
    let heel = [(15, 0), (20, 3), (20, 5), (10, 0), (25, 8), (12, 1), (18, 0), (30, 12)];
    let nodal = [(15, 0), (20, 0), (20, 2), (10, 0), (25, 3), (14, 0), (18, 1), (30, 7)];
    let trials = heel.iter().zip(nodal).enumerate();
    let rows = trials.flat_map(|(n, (heel, nodal))| two_forms(&format!("g{n}"), *heel, nodal)).collect();
    let answer = pool(&evidence(rows), &PoolQuestion::about("x y")).expect("an answer");
    let contrast = &answer.contrasts[0];
    assert_eq!(
        (contrast.facet.as_str(), contrast.first.as_str(), contrast.second.as_str()),
        ("form", "heel", "nodal")
    );
    assert_eq!((contrast.trials, contrast.fit.k_informative, contrast.single_replicate), (8, 6, 0));
    let close = |found: f64, wanted: f64| (found - wanted).abs() <= 0.004 * wanted.abs() + 0.001;
    assert!(close(contrast.fit.log_or_mean, 1.050_248));
    assert!(close(contrast.fit.log_or_sd, 0.430_790));
    assert!(close(contrast.fit.prob_first_better, 0.992_957));
    assert!(close(contrast.fit.prob_first_better_next_trial, 0.964_763));
    assert_eq!(contrast.verdict, Verdict::Likely);
    let AnswerSaid::Contrast(said) = &contrast.sentence else { panic!("{:?}", contrast.sentence) };
    assert_eq!((said.informative, said.trials, said.verdict), (6, 8, Verdict::Likely));
}

#[test]
fn arms_that_cannot_be_separated_are_not_compared() {
    let pair = || two_forms("g", (20, 3), (20, 9));
    let contrasts = |rows: Vec<EvidenceRow>| {
        pool(&evidence(rows), &PoolQuestion::about("x y")).expect("an answer").contrasts.len()
    };
    assert_eq!(contrasts(pair()), 1);
    let mut both = pair();
    both[1].facets.insert("humidity".to_owned(), "mist".to_owned());
    assert_eq!(contrasts(both), 0);
    let mut half_stated = pair();
    half_stated[1].facets.insert("medium".to_owned(), "peat".to_owned());
    assert_eq!(contrasts(half_stated), 0);
    let changes: [fn(&mut EvidenceRow); 4] = [
        |row| row.flags.unlisted_difference = Some(2),
        |row| row.flags.start_offset = 2,
        |row| row.flags.lot = true,
        |row| row.flags.stock_plants_uneven = true,
    ];
    for change in changes {
        let mut rows = pair();
        change(&mut rows[1]);
        assert_eq!(contrasts(rows), 0);
    }
    let other_trials = vec![pair().remove(0), EvidenceRow { trial: "g/2".to_owned(), ..pair().remove(1) }];
    assert_eq!(contrasts(other_trials), 0);
}

#[test]
fn alive_never_ranks_methods() {
    let question = Question { stage: Stage::Lift, outcome: Outcome::Alive };
    let request = PoolQuestion { count: question, ..PoolQuestion::about("x y") };
    let answer = pool(&evidence(two_forms("g", (20, 3), (20, 9))), &request).expect("an answer");
    assert!(answer.contrasts.is_empty());
}

#[test]
fn trials_of_one_pot_an_arm_can_be_left_out() {
    let mut single = two_forms("g", (20, 3), (20, 9));
    single[0].flags.single_replicate = true;
    let rows = [single.clone(), two_forms("h", (20, 3), (20, 9))].concat();
    let contrasts = |rows: Vec<EvidenceRow>, replicated_only| {
        let request = PoolQuestion { replicated_only, ..PoolQuestion::about("x y") };
        pool(&evidence(rows), &request).expect("an answer").contrasts
    };
    let (all, left) = (contrasts(rows.clone(), false), contrasts(rows, true));
    assert_eq!((all[0].trials, all[0].single_replicate), (2, 1));
    assert_eq!((left[0].trials, left[0].single_replicate), (1, 0));
    assert!(contrasts(single, true).is_empty());
}

/// Two trials in which dip always stood in perlite and none in bark; before, dip was "likely better, more than 99 in 100".
#[test]
fn what_went_together_is_listed_and_never_ranked() {
    let arm = |grower: &str, arm: &str, method: &str, medium: &str, (started, rooted)| {
        let mut row = row(grower, "1", arm, started, rooted);
        row.facets = words(&[("method", method), ("medium", medium)]);
        row
    };
    let rows = vec![
        arm("g1", "a", "dip", "perlite", (12, 10)),
        arm("g1", "b", "none", "bark", (12, 3)),
        arm("g2", "a", "dip", "perlite", (10, 8)),
        arm("g2", "b", "none", "bark", (10, 3)),
    ];
    let answer = pool(&evidence(rows), &PoolQuestion::about("x y")).expect("an answer");
    assert!(answer.contrasts.is_empty() && answer.network.is_none());
    let [together] = &answer.together[..] else { panic!("one pair: {:?}", answer.together) };
    assert_eq!((together.first.as_str(), together.second.as_str()), ("dip + perlite", "none + bark"));
    assert_eq!((together.trials, together.verdict), (2, Verdict::Confounded));
}

/// An arm with its pots.
fn with_pots(mut row: EvidenceRow, pots: &[u32]) -> EvidenceRow {
    row.flags.unit_is_piece = false;
    row.pots = pots.iter().map(|n| Pot { started: 10, succeeded: *n, lost: 0 }).collect();
    (row.started, row.succeeded) = (10 * pots.len() as u32, pots.iter().sum());
    row
}

/// Cases V2, V3, P5, P6 and P8 of the worked verdicts (`node/tests/cases/bench-pool.json`).
#[test]
fn one_trial_keeps_its_own_verdict_and_several_are_tempered_by_their_pots() {
    let trial = |grower: &str, first: [u32; 3], second: [u32; 3]| {
        let arms = two_forms(grower, (30, 0), (30, 0)).into_iter().zip([first, second]);
        arms.map(|(row, pots)| with_pots(row, &pots)).collect::<Vec<_>>()
    };
    let (agree, unruly) = (trial("a", [7, 8, 6], [2, 3, 3]), trial("b", [10, 2, 9], [1, 7, 3]));
    let found = |rows: Vec<EvidenceRow>| {
        let answer = pool(&evidence(rows), &PoolQuestion::about("x y")).expect("an answer");
        answer.contrasts.into_iter().next().expect("a contrast")
    };
    let alone = found(agree.clone());
    assert_eq!(
        (alone.verdict, alone.scope, alone.design),
        (Verdict::Better, Some(Scope::OneTrial), Some(Design::Pots))
    );
    assert!((alone.p.expect("tested") - 0.014_877_2).abs() < 1e-6);
    assert!((alone.fit.prob_first_better - 0.982_648).abs() < 2e-4);
    let AnswerSaid::Contrast(said) = &alone.sentence else { panic!("{:?}", alone.sentence) };
    assert_eq!((said.verdict, said.first_is_better), (Verdict::Better, Some(true)));
    let open = found(unruly.clone());
    assert_eq!((open.verdict, open.scope), (Verdict::CannotTell, Some(Scope::OneTrial)));
    assert!((open.fit.prob_first_better - 0.885_215).abs() < 2e-4);
    let both = found([agree, unruly].concat());
    assert_eq!((both.verdict, both.scope, both.p), (Verdict::Likely, Some(Scope::Growers), None));
    assert!((both.fit.prob_first_better - 0.992_917).abs() < 2e-4);
}
