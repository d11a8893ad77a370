//! Seasons D and E of the worked ones (`tests/cli/stories`), and the edges of an answer.

use serde::{Deserialize, Serialize};

use propagule_analysis::rate;
use propagule_protocol::{Counts, Phase, Summary, Taxon};

use super::*;
use crate::Source;
use crate::question::Given;
use crate::said::{Lead, RateFacts};
use propagule_evidence::fixtures::{evidence, facets, held, lifted, row, summary, with_facet};
use propagule_evidence::{Grouping, HeldTrial, Outcome, Question, RecordOptions, Stage, from_records};

fn given_with(evidence: &Evidence, given: Given, question: &PoolQuestion) -> PoolAnswer {
    pool_beside(evidence, &Beside { given, ..Beside::default() }, question).expect("an answer")
}

fn rate_said(said: &AnswerSaid) -> &RateFacts {
    let AnswerSaid::Rate(facts) = said else { panic!("{said:?}") };
    facts
}

fn by_none() -> Grouping {
    Grouping::parse(Some("none"), &[]).expect("a grouping")
}

/// Story D: four arms of one trial, nothing rooted at lift, survivors moved to a cold frame on that day.
fn green_not_rooted() -> Vec<Summary> {
    let arm = |number: u8, started: u16, alive: u16, humidity: &str, leaves: &str, spring: u16| {
        let mut arm = lifted(number, started, 0);
        let (medium, container) = if humidity == "fog" { ("perlite", "pot") } else { ("bark", "deep pot") };
        let method =
            [("medium", medium), ("container", container), ("humidity", humidity), ("leaves", leaves)];
        arm.facets = facets(&[[("kind", "stem cutting")].as_slice(), &method].concat());
        arm.stages.lift = Some(Counts { rooted: Some(0), alive: Some(alive), ..Counts::default() });
        arm.stages.spring = Some(Counts { rooted: Some(spring), ..Counts::default() });
        let frame =
            facets(&[("kind", "stem cutting"), ("humidity", humidity), ("growing_place", "cold frame")]);
        arm.phases = vec![Phase { after_weeks: 15, facets: frame }];
        arm
    };
    let own = vec![
        arm(1, 12, 5, "fog", "whole", 0),
        arm(2, 15, 9, "dome", "whole", 1),
        arm(3, 13, 12, "dome", "halved", 3),
        arm(4, 14, 8, "dome", "quartered", 0),
    ];
    let others = [14, 9, 20].map(|started| vec![lifted(1, started, 0)]);
    let arms = std::iter::once(own).chain(others).enumerate();
    arms.map(|(n, arms)| summary("Ostrava tarda", n as u8, arms)).collect()
}

fn story_d(stage: Stage, grouping: Grouping) -> PoolAnswer {
    let trials = green_not_rooted();
    let held: Vec<HeldTrial> = trials.iter().enumerate().map(|(n, trial)| held(n as u8 + 1, trial)).collect();
    let question = Question { stage, outcome: Outcome::Rooted };
    let taxon = Taxon::parse("Ostrava tarda").expect("a name");
    let evidence = from_records(&held, &RecordOptions { question, ..RecordOptions::new(taxon) });
    let request = PoolQuestion { count: question, grouping, ..PoolQuestion::about("Ostrava tarda") };
    pool(&evidence, &request).expect("an answer")
}

#[test]
fn story_d_none_of_97_leads_with_the_count_and_the_bound() {
    let answer = story_d(Stage::Lift, by_none());
    let method = &answer.methods[0];
    assert_eq!((method.started, method.rooted, method.growers, method.arms), (97, 0, 4, 7));
    assert_eq!((method.still_waiting, method.mixed_arms), (34, 4));
    assert!((method.one_sided_upper.expect("nothing rooted") - 0.0304).abs() < 5e-4);
    // The story's figures: average 2.0 % (0.03–11), a new grower 0.02–12 %.
    let [low, _, high] = method.fit.average_grower_rate_q;
    assert!((method.fit.average_grower_rate_mean - 0.020).abs() < 5e-4);
    assert!((low - 0.0003).abs() < 5e-5 && (high - 0.11).abs() < 5e-3, "{low} {high}");
    let [low, _, high] = method.fit.new_grower_rate_q;
    assert!((low - 0.0002).abs() < 5e-5 && (high - 0.12).abs() < 5e-3, "{low} {high}");
    assert_eq!(
        (rate_said(&answer.sentence).lead(), rate_said(&answer.sentence).still_waiting),
        (Lead::None, 34)
    );
}

#[test]
fn story_d_one_grower_has_no_pooled_sounding_headline() {
    let trials = green_not_rooted();
    let taxon = Taxon::parse("Ostrava tarda").expect("a name");
    let evidence = from_records(&[held(1, &trials[0])], &RecordOptions::new(taxon));
    let request = PoolQuestion { grouping: by_none(), ..PoolQuestion::about("Ostrava tarda") };
    let answer = pool(&evidence, &request).expect("an answer");
    let said = rate_said(&answer.sentence);
    assert_eq!((said.succeeded, said.started, said.growers), (0, 54, 1));
    assert!(said.lead().is_count());
}

#[test]
fn story_d_spring_counts_of_the_number_put_in_with_the_move_below_and_the_others_are_pending() {
    let answer = story_d(Stage::Spring, by_none());
    let method = &answer.methods[0];
    assert_eq!((method.rooted, method.started, method.growers), (4, 54, 1));
    assert_eq!(method.method, "all methods");
    let moved: Vec<_> =
        method.moved.iter().map(|of| (of.path.as_str(), of.weeks, of.rooted, of.started)).collect();
    assert_eq!(moved, [("cold frame", [15, 15], 4, 54)]);
    assert!(method.whole_life.is_none(), "spring is not asked for it");
    assert_eq!(
        answer.left_out[0],
        NotCounted { reason: AnswerSaid::LeftOut { why: WhyLeftOut::NotCountedYet }, count: 3 }
    );
    let by_leaves = Grouping { by: vec!["leaves".to_owned()], ..Grouping::default() };
    let grouped = story_d(Stage::Spring, by_leaves.clone());
    let halved = |answer: &PoolAnswer| {
        let found = answer.methods.iter().find(|method| method.facets["leaves"] == "halved");
        found.map(|method| (method.rooted, method.started, method.method.clone())).expect("arm C")
    };
    assert_eq!((halved(&grouped).0, halved(&grouped).1), (3, 13));
    assert!(grouped.methods.iter().all(|method| !method.method.contains("frame")));
    let by_path = story_d(Stage::Spring, Grouping { by_path: true, ..by_leaves });
    assert_eq!((halved(&by_path).0, halved(&by_path).1), (3, 13));
    assert!(by_path.methods.iter().all(|method| method.method.contains("then cold frame after 15 weeks")));
    assert!(by_path.methods.iter().all(|method| !method.method.contains("hardwood")));
}

#[test]
fn story_d_whole_life_stands_below_the_lift_headline_and_leaves_the_unsettled_out() {
    let answer = story_d(Stage::Lift, by_none());
    let life = answer.methods[0].whole_life.as_ref().expect("roots at lift");
    // The three others state no living pieces at lift, so whether any waited is not known.
    assert_eq!((life.trials, life.growers, life.started, life.ever_rooted), (1, 1, 54, 4));
    assert_eq!((life.pending, life.still_waiting), (3, None));
    // Wilson's interval of 4 of 54: R, prop.test(4, 54, correct = FALSE), from memory 0.029 to 0.175.
    let ends = (life.lower.expect("a trial"), life.upper.expect("a trial"));
    assert!((ends.0 - 0.0292).abs() < 5e-4 && (ends.1 - 0.1755).abs() < 5e-4, "{ends:?}");
    let alive = Question { stage: Stage::Lift, outcome: Outcome::Alive };
    let request = PoolQuestion { count: alive, ..PoolQuestion::about("Ostrava tarda") };
    let answer = pool(&evidence(vec![row("a", "1", "1", 20, 3)]), &request).expect("an answer");
    assert!(answer.methods[0].whole_life.is_none());
}

/// Story E: one key enters six growers.
fn adviser() -> Vec<Summary> {
    let counts: [&[(u16, u16)]; 6] =
        [&[(20, 3)], &[(15, 0)], &[(12, 5), (12, 3)], &[(25, 5)], &[(10, 0)], &[(30, 11)]];
    let trial = |(n, counts): (usize, &&[(u16, u16)])| {
        let arms =
            counts.iter().enumerate().map(|(k, (started, rooted))| lifted(k as u8 + 1, *started, *rooted));
        let mut trial = summary("Ostrava tarda", n as u8, arms.collect());
        trial.grower_mark = Some([n as u8; 8]);
        trial
    };
    counts.iter().enumerate().map(trial).collect()
}

fn story_e(trials: &[HeldTrial<'_>]) -> MethodAnswer {
    let taxon = Taxon::parse("Ostrava tarda").expect("a name");
    let evidence = from_records(trials, &RecordOptions::new(taxon));
    let mut answer = pool(&evidence, &PoolQuestion::about("Ostrava tarda")).expect("an answer");
    assert_eq!(answer.methods.len(), 1);
    answer.methods.remove(0)
}

fn entered(trials: &[Summary], trusts_marks: bool) -> Vec<HeldTrial<'_>> {
    trials.iter().map(|trial| HeldTrial { trusts_marks, ..held(7, trial) }).collect()
}

#[test]
fn story_e_in_the_circle_six_growers_of_one_publisher() {
    let trials = adviser();
    let method = story_e(&entered(&trials, true));
    assert_eq!((method.growers, method.publishers, method.rooted, method.started), (6, 1, 27, 124));
    // The story's figures: average 22.6 % (11–40), a new grower 1.6–71 %.
    assert!((method.fit.average_grower_rate_mean - 0.226).abs() < 5e-4);
    let [low, _, high] = method.fit.average_grower_rate_q;
    assert!((low - 0.11).abs() < 5e-3 && (high - 0.40).abs() < 5e-3, "{low} {high}");
    let [low, _, high] = method.fit.new_grower_rate_q;
    assert!((low - 0.016).abs() < 5e-4 && (high - 0.71).abs() < 5e-3, "{low} {high}");
    let said = rate_said(&method.sentence);
    assert_eq!((said.trials, said.arms_none, said.arms, said.weeks), (6, 2, 7, Some((15, 15))));
    let without = story_e(&entered(&trials[..5], true));
    assert!((without.fit.average_grower_rate_mean - 0.193).abs() < 5e-4);
}

#[test]
fn story_e_about_57_to_stick_for_5_at_80_per_cent() {
    let trials = adviser();
    let taxon = Taxon::parse("Ostrava tarda").expect("a name");
    let evidence = from_records(&entered(&trials, true), &RecordOptions::new(taxon));
    let rows: Vec<&EvidenceRow> = evidence.rows.iter().collect();
    let growers = propagule_evidence::growers(&propagule_evidence::clusters(
        &rows,
        propagule_evidence::Lost::AsFailures,
        true,
    ));
    let fit = rate::fit(&growers, &rate::Options::default()).expect("a fit");
    let number = fit.number_to_start(5, 0.8).expect("attainable");
    assert!((56..=58).contains(&number), "{number}");
}

#[test]
fn story_e_outside_the_circle_one_publisher_leads_with_the_count() {
    let trials = adviser();
    let method = story_e(&entered(&trials, false));
    assert_eq!((method.growers, method.publishers), (1, 1));
    let said = rate_said(&method.sentence);
    assert_eq!((said.lead(), said.marks_joined, said.trials), (Lead::OneGrower, true, 6));
}

#[test]
fn story_e_the_same_trial_under_another_key_stays_six_growers() {
    let trials = adviser();
    let mut again = trials[2].clone();
    (again.grower_mark, again.series) = (None, [99; 16]);
    let mut held_trials = entered(&trials, true);
    held_trials.push(held(8, &again));
    let method = story_e(&held_trials);
    assert_eq!((method.growers, method.rooted, method.started), (6, 27, 124));
}

#[test]
fn methods_are_grouped_by_kind_wood_and_humidity_and_sorted() {
    let rows = vec![
        with_facet(row("a", "1", "1", 20, 3), "humidity", "mist"),
        with_facet(row("b", "1", "1", 20, 3), "humidity", "fog"),
        row("c", "1", "1", 20, 3),
        with_facet(row("d", "1", "1", 20, 3), "wood", "hardwood"),
    ];
    let answer = pool(&evidence(rows), &PoolQuestion::about("Ostrava tarda")).expect("an answer");
    let labels: Vec<&str> = answer.methods.iter().map(|method| method.method.as_str()).collect();
    let expected = [
        "hardwood stem cuttings, covered",
        "softwood stem cuttings, covered",
        "softwood stem cuttings, mist or fog",
    ];
    assert_eq!(labels, expected);
    assert_eq!(answer.components.len(), 3);
    assert_eq!(answer.warnings[0].code, "not_side_by_side");
}

#[test]
fn methods_seen_beside_each_other_only_where_nothing_rooted_tell_nothing() {
    let mist = |row| with_facet(row, "humidity", "mist");
    let rows = vec![row("a", "1", "1", 9, 0), mist(row("a", "1", "2", 9, 0)), row("b", "1", "1", 9, 4)];
    let answer = pool(&evidence(rows), &PoolQuestion::about("Ostrava tarda")).expect("an answer");
    assert_eq!(answer.components.len(), 1);
    assert_eq!(answer.methods_without_information.len(), 2);
}

#[test]
fn nothing_held_asks_whether_another_name_was_meant() {
    let held = vec!["Ostrava tarda".to_owned(), "Lumetta rosea".to_owned()];
    let given = Given { species_held: held, ..Given::default() };
    let answer = given_with(&Evidence::default(), given, &PoolQuestion::about("Ostrava tarde"));
    assert_eq!(answer.suggestions[0], "Ostrava tarda");
    let said = &answer.sentence;
    assert!(matches!(said, AnswerSaid::NoEvidence { suggestions, .. } if *suggestions == answer.suggestions));
    assert_eq!(answer.warnings[0].code, "no_evidence");
}

#[test]
fn a_species_under_way_is_pending_and_not_zero() {
    let pending = EvidenceRow { pending: true, ..row("a", "1", "1", 20, 0) };
    let answer = pool(&evidence(vec![pending]), &PoolQuestion::about("Ostrava tarda")).expect("an answer");
    assert!(answer.methods.is_empty());
    assert!(matches!(answer.sentence, AnswerSaid::NothingCounted { pending: 1, .. }));
}

#[test]
fn a_filter_that_admits_nothing_says_so() {
    let grouping = Grouping::parse(None, &["humidity=fog".to_owned()]).expect("a grouping");
    let request = PoolQuestion { grouping, ..PoolQuestion::about("Ostrava tarda") };
    let answer = pool(&evidence(vec![row("a", "1", "1", 20, 1)]), &request).expect("an answer");
    assert!(matches!(&answer.sentence, AnswerSaid::FilteredAway { filters, .. } if filters.len() == 1));
    assert_eq!(answer.left_out[0].count, 1);
}

#[test]
fn unscored_pieces_are_fitted_both_ways() {
    let lost = EvidenceRow { lost: 8, ..row("a", "1", "1", 20, 6) };
    let answer = pool(&evidence(vec![lost, row("b", "1", "1", 20, 8)]), &PoolQuestion::about("x y"))
        .expect("an answer");
    let method = &answer.methods[0];
    let other = method.lost_left_out.as_ref().expect("some were lost");
    assert!(other.average_grower_rate_mean > method.fit.average_grower_rate_mean + 0.05);
    let said = rate_said(&method.sentence);
    assert!(said.lost == 8 && said.lost_matters());
    let none =
        pool(&evidence(vec![row("b", "1", "1", 20, 8)]), &PoolQuestion::about("x y")).expect("an answer");
    assert!(none.methods[0].lost_left_out.is_none());
}

#[test]
fn the_cap_acts_on_the_network_and_not_on_a_file() {
    let rows = vec![row("a", "1", "1", 600, 590), row("b", "1", "1", 20, 2), row("c", "1", "1", 20, 3)];
    let average = |source| {
        let given = Given { source, ..Given::default() };
        let answer = given_with(&evidence(rows.clone()), given, &PoolQuestion::about("x y"));
        answer.methods[0].fit.average_grower_rate_mean
    };
    assert!(average(Source::File) > average(Source::Network) + 0.02);
}

#[test]
fn influence_leaves_each_grower_out_when_asked() {
    let rows = vec![row("a", "1", "1", 20, 18), row("b", "1", "1", 20, 2), row("c", "1", "1", 20, 3)];
    let request = PoolQuestion { detail: true, ..PoolQuestion::about("x y") };
    let answer = pool(&evidence(rows), &request).expect("an answer");
    let influence = answer.influence.expect("asked for");
    assert_eq!(influence.len(), 3);
    assert!(influence[0].average_grower_rate_without < influence[1].average_grower_rate_without);
    assert!(influence[0].mid_p_percentile > 0.9);
}

/// An answer as a socket carries it: under its format, which serde reads by another way than a bare shape.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "format")]
enum Carried {
    #[serde(rename = "propagule.pool/1")]
    Answer(Box<PoolAnswer>),
}

fn pooled(answer: PoolAnswer) -> Carried {
    Carried::Answer(Box::new(answer))
}

#[test]
fn an_answer_survives_the_socket() {
    let silent = EvidenceRow { pending: true, ..row("d", "1", "1", 20, 0) };
    let lost = EvidenceRow { lost: 8, ..row("e", "1", "1", 20, 6) };
    let rows = evidence([linked(), vec![silent, lost]].concat());
    let question = PoolQuestion { detail: true, facets: Some(Vec::new()), ..PoolQuestion::about("x y") };
    let beside = Beside { everybody: Some(&rows), ..Beside::default() };
    let answer = pool_beside(&rows, &beside, &question).expect("an answer");
    assert!(answer.network.is_some() && answer.detail.is_some() && !answer.contrasts.is_empty());
    for outcome in [pooled(answer), pooled(pool(&Evidence::default(), &question).expect("an answer"))] {
        let json = serde_json::to_string(&outcome).expect("serialises");
        assert_eq!(serde_json::from_str::<Carried>(&json).expect("reads"), outcome);
    }
}

#[test]
fn json_holds_every_field_of_the_shape() {
    let answer =
        pool(&evidence(vec![row("a", "1", "1", 20, 3)]), &PoolQuestion::about("x y")).expect("an answer");
    let json = serde_json::to_value(pooled(answer)).expect("serialises");
    let names = "format species source whose data_until stage outcome by where methods contrasts together components \
                 methods_without_information network silence influence left_out regrafts warnings";
    for name in names.split_whitespace() {
        assert!(json.get(name).is_some(), "{name}");
    }
    let names = "method facets growers trials arms arms_none started rooted lost still_waiting mixed_arms weeks \
                 one_sided_upper model mu_mean mu_sd mu_q tau_mean tau_q typical_grower_rate_mean \
                 typical_grower_rate_q average_grower_rate_mean average_grower_rate_q new_grower_rate_mean \
                 new_grower_rate_sd new_grower_rate_q prob_new_grower_above_10pct prob_new_grower_above_50pct \
                 log_evidence sentence lost_left_out silent_as_zero everybody moved whole_life family lead";
    for name in names.split_whitespace() {
        assert!(json["methods"][0].get(name).is_some(), "{name}");
    }
    assert_eq!((&json["format"], &json["source"]), (&"propagule.pool/1".into(), &"network".into()));
}

#[test]
fn story_d_arms_differ_alone_in_leaves_only_and_carry_no_verdict() {
    let answer = story_d(Stage::Spring, by_none());
    let sides: Vec<(&str, &str, &str)> = answer
        .contrasts
        .iter()
        .map(|contrast| (contrast.facet.as_str(), contrast.first.as_str(), contrast.second.as_str()))
        .collect();
    let expected =
        [("leaves", "halved", "quartered"), ("leaves", "halved", "whole"), ("leaves", "quartered", "whole")];
    assert_eq!(sides, expected);
    assert!(answer.contrasts.iter().all(|contrast| contrast.verdict == crate::said::Verdict::SingleUnit));
    // At lift nothing rooted: no difference could be seen.
    let lift = story_d(Stage::Lift, by_none());
    assert!(lift.contrasts.iter().all(|contrast| contrast.fit.k_informative == 0));
    let said = &lift.contrasts[0].sentence;
    assert!(
        matches!(said, AnswerSaid::Contrast(said) if (said.informative, said.trials) == (0, 1)),
        "{said:?}"
    );
}

#[test]
fn silent_trials_are_shown_as_nothing_rooted_beside_the_headline() {
    let mut rows = vec![row("a", "1", "1", 20, 9), row("b", "1", "1", 20, 7)];
    let mut silent = EvidenceRow { pending: true, ..row("c", "1", "1", 40, 0) };
    silent.flags.silent = true;
    rows.push(silent);
    let silence = propagule_evidence::Silence { opened: 3, reported: 2, silent: 1, ..Default::default() };
    let evidence = Evidence { silence: Some(silence), ..evidence(rows) };
    let answer = pool(&evidence, &PoolQuestion::about("x y")).expect("an answer");
    let method = &answer.methods[0];
    assert_eq!((method.started, method.growers), (40, 2));
    let as_zero = method.silent_as_zero.as_ref().expect("one is silent");
    assert!(as_zero.average_grower_rate_mean < method.fit.average_grower_rate_mean - 0.1);
    assert_eq!(answer.silence, Some(silence));
}

#[test]
fn all_silent_is_said_without_a_rate() {
    let mut silent = EvidenceRow { pending: true, ..row("c", "1", "1", 40, 0) };
    silent.flags.silent = true;
    let silence = propagule_evidence::Silence { opened: 1, silent: 1, ..Default::default() };
    let evidence = Evidence { silence: Some(silence), ..evidence(vec![silent]) };
    let answer = pool(&evidence, &PoolQuestion::about("x y")).expect("an answer");
    assert!(answer.methods.is_empty());
    assert_eq!(answer.silence, Some(silence));
}

/// Three methods in trials that hold two each; a fourth, and a pair of others, not linked to them.
fn linked() -> Vec<EvidenceRow> {
    let method = |row: EvidenceRow, wood: &str| with_facet(row, "wood", wood);
    let mut rows = Vec::new();
    for n in 0..4 {
        let grower = format!("g{n}");
        rows.push(method(row(&grower, "1", "1", 20, 14 + n), "hardwood"));
        rows.push(method(row(&grower, "1", "2", 20, 4), "softwood"));
        rows.push(method(row(&grower, "2", "1", 20, 5), "softwood"));
        rows.push(method(row(&grower, "2", "2", 20, 4 + n), "semi-ripe"));
    }
    rows.push(method(row("h", "1", "1", 20, 5), "greenwood"));
    rows
}

#[test]
fn linked_methods_are_ranked_in_one_model_and_others_are_not() {
    let answer = pool(&evidence(linked()), &PoolQuestion::about("x y")).expect("an answer");
    let network = answer.network.expect("three are linked");
    assert_eq!(network.methods.len(), 3);
    assert!(network.methods.iter().all(|method| !method.starts_with("greenwood")));
    assert_eq!((network.trials, network.started[0], network.rooted[0]), (8, 80, 62));
    assert!(network.rank_prob[0][0] > 0.95, "hardwood is best");
    let AnswerSaid::Ranked(ranked) = &network.sentence else { panic!("{:?}", network.sentence) };
    assert_eq!(ranked.best.as_deref(), Some("hardwood stem cuttings, covered"));
    assert_eq!(ranked.beaten.len(), 2, "one of them through a third method");
    assert_eq!((network.rank[0], network.fitted_trials, network.of_methods), (1, [8, 8], 3));
    assert_eq!(answer.components.len(), 2);
    let alive = Question { stage: Stage::Lift, outcome: Outcome::Alive };
    let answer = pool(&evidence(linked()), &PoolQuestion { count: alive, ..PoolQuestion::about("x y") });
    assert!(answer.expect("an answer").network.is_none());
}

#[test]
fn methods_that_cannot_be_separated_make_no_network() {
    let changes: [fn(&mut EvidenceRow); 4] = [
        |row| row.flags.lot = true,
        |row| row.flags.stock_plants_uneven = true,
        |row| row.flags.unlisted_difference = Some(1),
        |row| row.flags.start_offset = 1,
    ];
    for change in changes {
        let mut rows = linked();
        rows.iter_mut().for_each(change);
        assert!(pool(&evidence(rows), &PoolQuestion::about("x y")).expect("an answer").network.is_none());
    }
    let mut one_pot = linked();
    one_pot.retain(|row| row.trial == "g0/1");
    one_pot[0].flags.single_replicate = true;
    assert!(pool(&evidence(one_pot), &PoolQuestion::about("x y")).expect("an answer").network.is_none());
    let nothing = linked().into_iter().map(|row| EvidenceRow { succeeded: 0, ..row }).collect();
    assert!(pool(&evidence(nothing), &PoolQuestion::about("x y")).expect("an answer").network.is_none());
}

/// Invented counts like those of the worked example in which 0.5 added to zeros doubles the rate (Sweeting 2004, Stat Med
/// 23:1351, on the bias).
#[test]
fn detail_shows_other_priors_and_classical_results_beside_the_headline() {
    let counts = [
        (20, 3),
        (15, 0),
        (20, 2),
        (10, 0),
        (25, 0),
        (14, 0),
        (18, 2),
        (30, 0),
        (12, 0),
        (9, 0),
        (16, 0),
        (16, 0),
    ];
    let rows: Vec<EvidenceRow> = counts
        .iter()
        .enumerate()
        .map(|(n, (started, rooted))| row(&format!("g{n}"), "1", "1", *started, *rooted))
        .collect();
    let request = PoolQuestion { detail: true, ..PoolQuestion::about("x y") };
    let answer = pool(&evidence(rows), &request).expect("an answer");
    let detail = &answer.detail.as_ref().expect("asked for")[0];
    let classical = detail.classical;
    assert!((classical.crude_rate - 7.0 / 205.0).abs() < 1e-12);
    let headline = answer.methods[0].fit.average_grower_rate_mean;
    let [narrow, wide] = [&detail.sensitivity[0], &detail.sensitivity[1]];
    assert!(narrow.average_grower_rate_mean < headline && headline < wide.average_grower_rate_mean);
    assert!(narrow.new_grower_rate_q[2] < wide.new_grower_rate_q[2]);
    // Adding 0.5 pulls the normal model towards one half.
    let (exact, normal) =
        (classical.maximum_likelihood.expect("some rooted"), classical.restricted.expect("12 growers"));
    assert!(normal.typical_grower_rate > 1.5 * exact.typical_grower_rate);
}

#[test]
fn detail_where_nothing_rooted_says_that_no_maximum_exists() {
    let request = PoolQuestion { detail: true, ..PoolQuestion::about("x y") };
    let answer = pool(&evidence(vec![row("a", "1", "1", 42, 0)]), &request).expect("an answer");
    let classical = answer.detail.as_ref().expect("asked for")[0].classical;
    assert!(classical.maximum_likelihood.is_none() && classical.restricted.is_none());
}
