use propagule_answer::said::{
    ApartFacts, BoldFacts, Expense, InPots, StickFacts, TryFacts, TryRole, Wording,
};

use super::stick::{duration, expense_words};
use super::*;
use crate::words::InWords;
use crate::words::sentences::planning::article;
use propagule_evidence::Family;
use propagule_evidence::Outcome;

fn stick() -> StickFacts {
    StickFacts {
        wording: Wording::new(Family::Cuttings, Outcome::Rooted),
        want: 5,
        sure: 0.8,
        stick: Some(297),
        most: 2_000,
        started: 205,
        succeeded: 7,
        growers: 12,
        own: None,
    }
}

#[test]
fn a_number_is_said_roundly_with_the_model_beside_it() {
    assert_eq!(number_to_start(&stick(), None), "Stick about 300 for an 80% chance of at least 5 rooted.");
    let exact = StickFacts { stick: Some(12), want: 1, sure: 0.5, ..stick() };
    assert_eq!(number_to_start(&exact, None), "Stick 12 for a 50% chance of at least 1 rooted.");
}

#[test]
fn none_rooted_is_no_number_at_0_1_and_n_pieces() {
    let none = |started| number_to_start(&StickFacts { succeeded: 0, stick: None, started, ..stick() }, None);
    assert!(none(97).starts_with("0 of 97 rooted. The true rate could still be as"));
    assert!(none(1).starts_with("The only cutting"));
    assert!(none(97).ends_with("rooted yet, so no number can be given."));
    // A number worked out from the prior alone is never said.
    assert!(!number_to_start(&StickFacts { succeeded: 0, ..stick() }, None).contains("297"));
}

#[test]
fn what_the_number_rests_on_is_said_with_one_grower_and_with_own_counts() {
    let basis = |own, growers| number_to_start(&StickFacts { growers, own, ..stick() }, None);
    assert!(basis(None, 1).ends_with("one grower's result; how much yours would differ is assumed."));
    assert!(basis(Some((5, 20)), 1).contains("your own 5 of 20 alone"));
    assert!(basis(Some((5, 20)), 2).ends_with("from 1 other grower."));
    assert!(basis(Some((0, 20)), 4).contains("your own 0 of 20 and borrows from 3 other growers."));
    assert!(!basis(None, 12).contains("rests"));
}

#[test]
fn no_sensible_number_is_said_so() {
    let text = number_to_start(&StickFacts { stick: None, ..stick() }, None);
    assert_eq!(text, "Even 2,000 would not give at least 5 rooted with an 80% chance.");
}

#[test]
fn money_and_time_are_said_for_the_whole_and_for_each() {
    let wording = Wording::new(Family::Seed, Outcome::Rooted);
    let expense = |cost, minutes: Option<f64>| Expense {
        cost,
        cost_per_wanted: cost.map(|cost| cost / 10.0),
        minutes,
        minutes_per_wanted: minutes.map(|minutes| minutes / 10.0),
    };
    assert_eq!(
        expense_words(&expense(Some(123.4), None), wording),
        "That costs 123 (12.34 for each one germinated)."
    );
    assert_eq!(
        expense_words(&expense(None, Some(125.0)), wording),
        "That takes 2 h 5 min (13 min for each one germinated)."
    );
    assert_eq!(
        expense_words(&expense(Some(0.0), Some(5.0)), wording),
        "That costs 0.00 (0.00 for each one germinated) and takes 5 min (30 s each)."
    );
    assert_eq!(duration(120.0), "2 h");
}

#[test]
fn several_methods_say_how_many_of_them_have_a_number() {
    let wording = Wording::new(Family::Mixed, Outcome::Rooted);
    let say = |sticks: &[u32]| several_plans(wording, 5, 0.8, 3, sticks);
    assert_eq!(say(&[]), "3 methods; none of them has a number for an 80% chance of at least 5 rooted.");
    assert_eq!(say(&[57]), "3 methods; start 57 for an 80% chance of at least 5 rooted, by 1 of them.");
    assert_eq!(
        say(&[57, 12, 90]),
        "3 methods; start 12 to 90 for an 80% chance of at least 5 rooted, by 3 of them."
    );
}

#[test]
fn the_article_goes_with_the_number_read_aloud() {
    let said = ["8.5", "80", "11", "18", "1.8", "50", "99"].map(article);
    assert_eq!(said, ["an", "an", "an", "an", "a", "a", "a"]);
}

fn apart() -> ApartFacts<&'static str> {
    ApartFacts {
        first: Some("heel cuttings"),
        second: Some("nodal cuttings"),
        rates: (0.31, 0.12),
        sure: 0.8,
        per_arm: 84,
        needed: Some(84),
        power: 0.81,
        in_pots: None,
        assurance: Some(0.55),
    }
}

fn in_pots(pots: u32, power: f64, needed_pots: Option<u32>) -> InPots {
    InPots { pots, pieces: 4, icc: 0.1, power, needed_pots }
}

#[test]
fn power_is_of_true_rates_and_assurance_allows_for_not_knowing_them() {
    assert_eq!(
        apart().words(),
        "heel cuttings (about 31%) and nodal cuttings (about 12%): 84 per treatment would show \
         the difference 81 times in 100 (55 allowing for how unsure the rates are)."
    );
    let spare = ApartFacts { per_arm: 12, power: 0.14, ..apart() }.words();
    assert!(spare.contains("12 per treatment") && spare.ends_with("84 per treatment would reach 80."));
    let hopeless = ApartFacts { per_arm: 200, needed: None, power: 0.06, ..apart() }.words();
    assert!(hopeless.ends_with("Even 200 would not reach 80."));
    let general = ApartFacts { first: None, second: None, assurance: None, ..apart() }.words();
    assert!(general.starts_with("31% and 12%: 84 per treatment") && general.ends_with("times in 100."));
}

#[test]
fn the_figure_that_allows_for_pots_leads_and_the_one_without_stands_beside_it() {
    let spared = ApartFacts { per_arm: 12, in_pots: Some(in_pots(3, 0.69, Some(4))), power: 0.81, ..apart() };
    assert_eq!(
        spared.words(),
        "heel cuttings (about 31%) and nodal cuttings (about 12%): 3 pots of 4 per treatment \
         would show the difference 69 times in 100 (81 if pots never differed; 55 allowing for \
         how unsure the rates are). 4 pots of 4 per treatment would reach 80."
    );
    let needed = ApartFacts { in_pots: Some(in_pots(25, 0.8, Some(25))), ..spared };
    assert!(
        needed.words().contains("25 pots of 4 per treatment") && needed.words().contains("(12: 81 if pots")
    );
    assert!(needed.words().ends_with("for how unsure the rates are)."));
    let hopeless = ApartFacts { in_pots: Some(in_pots(30, 0.06, None)), ..spared };
    assert!(hopeless.words().ends_with("Even 30 pots of 4 would not reach 80."));
}

#[test]
fn a_bold_arm_says_what_it_could_show_and_what_it_would_leave_open() {
    let bold = BoldFacts { pieces: 24, sure: 0.8, rate_shown: 0.065, upper_if_none: 0.117, again: None };
    assert_eq!(
        bold.words(),
        "One treatment nobody has tried, with 24: it would show at least one success with an 80% \
         chance if its true rate were about 6% or more. 0 of 24 would leave rates up to about \
         12% open."
    );
    let again = BoldFacts { again: Some((0.0304, 0.0245)), ..bold }.words();
    assert!(
        again.ends_with("24 more of the same without a success would only lower its bound from 3% to 2%.")
    );
}

const TRIED: TryFacts = TryFacts {
    wording: Wording::new(Family::Mixed, Outcome::Rooted),
    started: 20,
    succeeded: 9,
    alone: 0.41,
    pooled: 0.27,
    range: [0.04, 0.66],
    never_tried: None,
};

#[test]
fn what_is_in_use_says_what_the_winners_curse_may_take_off() {
    let best = TryRole::Against { best_of: Some(6), pays: true };
    assert_eq!(
        worth_a_try(&TRIED, best, "heel cuttings"),
        "heel cuttings has 41% by its own counts. The best of 6 looks better than it is; \
         allowing for that, expect about 27%, anywhere from 4% to 66% in your next trial. \
         It is the best so far by its average."
    );
    let own = TryRole::Against { best_of: None, pays: false };
    assert_eq!(
        worth_a_try(&TRIED, own, "x"),
        "x has 41% by its own counts; beside the others expect about 27%, anywhere from 4% to \
         66% in your next trial. It is the one you use most. No trial of another method is likely to change what you should do."
    );
    // The only one that was tried is the best of nothing.
    let only = worth_a_try(&TRIED, TryRole::Against { best_of: Some(1), pays: true }, "x");
    assert!(!only.contains("best") && only.ends_with("It is the only one tried so far."), "{only}");
}

#[test]
fn what_is_worth_a_trial_says_how_much() {
    let of = |facts: TryFacts, worth| worth_a_try(&facts, TryRole::Worth(worth), "x");
    assert_eq!(
        of(TryFacts { alone: 0.27, ..TRIED }, 0.0198),
        "x: about 27%, anywhere from 4% to 66% in your next trial. \
         Tried beside it, that is worth about 2 more in each 100 you start afterwards."
    );
    assert!(of(TRIED, 0.005).ends_with("worth about 1 more in each 100 you start afterwards."));
    assert!(of(TRIED, 0.124).ends_with("worth about 12 more in each 100 you start afterwards."));
    assert!(of(TryFacts { alone: 0.2, ..TRIED }, 0.02).contains("beside the others expect about 27%,"));
    assert!(of(TryFacts { succeeded: 0, ..TRIED }, 0.02).starts_with("x: 0 of 20 rooted."));
    let never = TryFacts { started: 0, succeeded: 0, never_tried: Some([41, 120]), ..TRIED };
    assert!(
        of(never, 0.02).starts_with(
            "x: Not tried by anybody here. From 41 trials of its relatives and 120 of this method with other plants: perhaps \
             27%; anything from 4% to 66% is possible. Tried"
        ),
        "{}",
        of(never, 0.02)
    );
}
