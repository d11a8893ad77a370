use propagule_evidence::{Outcome, Stage, Whose};

use super::{OUTCOMES, STAGES, WHOSE_RESULTS, plain};

/// What a form sends must be what the question reads; the empty one is the usual.
#[test]
fn every_choice_is_one_that_is_understood() {
    for (word, said) in STAGES.iter().skip(1) {
        assert!(Stage::parse(word).is_some(), "{said}");
    }
    for (word, said) in OUTCOMES.iter().skip(1) {
        assert!(Outcome::parse(word).is_some(), "{said}");
    }
    for (word, said) in WHOSE_RESULTS.iter().skip(1) {
        assert!(Whose::parse(word).is_some(), "{said}");
    }
    assert_eq!(plain("wood,humidity"), "wood, mist or cover");
}
