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

/// Trials of several forms, each with its successes of 20 pieces.
fn of_forms(trials: &[&[(&str, u32)]]) -> Vec<EvidenceRow> {
    let arms = trials.iter().enumerate().flat_map(|(trial, arms)| {
        arms.iter().enumerate().map(move |(arm, (form, rooted))| {
            let row = row(&format!("g{trial}"), "1", &arm.to_string(), 20, *rooted);
            with_facet(row, "form", form)
        })
    });
    arms.collect()
}

fn contrasts(rows: Vec<EvidenceRow>) -> Vec<crate::pool::ContrastAnswer> {
    pool(&evidence(rows), &PoolQuestion::about("x y")).expect("an answer").contrasts
}

/// The pair by itself decides where there is one; beside others it has to be clear among all of them too, and the nearer of
/// both probabilities is printed.
#[test]
fn several_pairs_have_to_be_clear_among_all_as_well() {
    let pair: [&[(&str, u32)]; 3] =
        [&[("heel", 9), ("nodal", 3)], &[("heel", 8), ("nodal", 3)], &[("heel", 9), ("nodal", 4)]];
    let [alone] = &contrasts(of_forms(&pair))[..] else { panic!("one pair") };
    assert!(alone.shrunk.is_none() && alone.verdict == Verdict::Likely, "{:?}", alone.verdict);
    let with_others: Vec<Vec<(&str, u32)>> = pair
        .iter()
        .map(|arms| {
            arms.iter().copied().chain([("root", 6), ("split", 5), ("tip", 6), ("mallet", 5)]).collect()
        })
        .collect();
    let with_others: Vec<&[(&str, u32)]> = with_others.iter().map(Vec::as_slice).collect();
    let several = contrasts(of_forms(&with_others));
    assert_eq!(several.len(), 15);
    let found = several.iter().find(|pair| (pair.first.as_str(), pair.second.as_str()) == ("heel", "nodal"));
    let found = found.expect("it is held");
    let shrunk = found.shrunk.as_ref().expect("several pairs").estimate;
    assert!(
        (found.fit.prob_first_better - alone.fit.prob_first_better).abs() < 1e-12,
        "the pair itself stays"
    );
    assert!(shrunk.log_or_mean > 0.0 && shrunk.log_or_mean < found.fit.log_or_mean);
    let AnswerSaid::Contrast(said) = &found.sentence else { panic!("{:?}", found.sentence) };
    assert_eq!(said.prob_first_better.to_bits(), shrunk.prob_first_better.to_bits());
    assert_eq!((shrunk.prob_first_better >= 0.95, found.verdict), (false, Verdict::CannotTell));
}

/// What one trial says of all its arms is corrected for their number already.
#[test]
fn one_trial_keeps_its_verdicts_whatever_else_it_holds() {
    let arms: [&[(&str, u32)]; 1] = [&[("heel", 17), ("nodal", 2), ("root", 3)]];
    let found = contrasts(of_forms(&arms));
    let verdicts: Vec<Verdict> = found.iter().map(|pair| pair.verdict).collect();
    assert_eq!(verdicts, [Verdict::Better, Verdict::Better, Verdict::CannotTell]);
    assert!(found.iter().all(|pair| pair.shrunk.is_some() && pair.scope == Some(Scope::OneTrial)));
}

/// No trial is left out without a word, however many there are.
#[test]
fn of_very_many_trials_some_are_taken_and_that_is_said() {
    let forms = |trial: usize| -> Vec<(&str, u32)> {
        let up = (trial % 5) as u32;
        match trial % 60 {
            0 => vec![("nodal", 4 + up), ("root", 9 + up)],
            _ => vec![("heel", 9 + up), ("nodal", 4 + up)],
        }
    };
    let trials: Vec<Vec<(&str, u32)>> = (0..1_100).map(forms).collect();
    let trials: Vec<&[(&str, u32)]> = trials.iter().map(Vec::as_slice).collect();
    let answer = pool(&evidence(of_forms(&trials)), &PoolQuestion::about("x y")).expect("an answer");
    assert_eq!(answer.contrasts.len(), 2);
    for pair in &answer.contrasts {
        let shrunk = pair.shrunk.as_ref().expect("several pairs");
        assert_eq!((shrunk.trials, shrunk.of_trials, pair.verdict), (200, 1_100, Verdict::Likely));
        let AnswerSaid::Contrast(said) = &pair.sentence else { panic!("{:?}", pair.sentence) };
        assert_eq!(said.from_trials, Some([200, 1_100]));
    }
    // Each set of levels gives as many: the nineteen rare ones are all there, so the smaller arm is known as well.
    assert!(
        answer.contrasts.iter().all(|pair| pair.shrunk.as_ref().expect("fitted").estimate.log_or_sd < 0.4)
    );
    assert!(answer.network.is_none(), "all of one method");
}
