//! What changed in the description of a trial, in words.

use propagule_bench::changes::{Change, Described, Value};
use propagule_bench::dates::When;

use crate::kind::KindWords;

/// A change in a line: what, before and after.
pub fn change(change: &Change, words: &KindWords) -> String {
    format!("{}: {} \u{2192} {}", described(&change.of, words), value(&change.before), value(&change.after))
}

fn described(of: &Described, words: &KindWords) -> String {
    match of {
        Described::Plant => "plant".to_owned(),
        Described::StartDay => "put in".to_owned(),
        Described::Place => "place".to_owned(),
        Described::Question => "question".to_owned(),
        Described::RootedRule => format!("{} counts when", words.lead),
        Described::Control => "control".to_owned(),
        Described::Grade => "grade".to_owned(),
        Described::StageDay(stage) => match stage {
            propagule_bench::Stage::Lift => words.name(*stage).to_owned(),
            other => other.word().to_owned(),
        },
        Described::Publishing => "publishing".to_owned(),
        Described::NewArm(label) => format!("arm {label}"),
        Described::ArmLabel(number) => format!("label of arm {number}"),
        Described::ArmStarted(label) => format!("{label}, put in"),
        Described::ArmFacet(label, name) => format!("{label}, {name}"),
        Described::ArmReplicates(label) => format!("{label}, replicates"),
        Described::DoneBy(pot) => format!("{pot}, done by"),
    }
}

fn value(value: &Value) -> String {
    let not_given = || "not given".to_owned();
    match value {
        Value::Words(words) => words.clone().unwrap_or_else(not_given),
        Value::Label(label) => label.clone().unwrap_or_else(|| "none".to_owned()),
        Value::Day(day) => day.as_ref().map_or_else(not_given, When::to_string),
        Value::Pieces(pieces) => pieces.to_string(),
        Value::Codes(codes) => codes.join(", "),
        Value::MayLeave(true) => "allowed".to_owned(),
        Value::MayLeave(false) => "never, private".to_owned(),
        Value::IsThere(true) => "new".to_owned(),
        Value::IsThere(false) => "none".to_owned(),
    }
}
