//! What changed in the description of a trial, in words.

use propagule_bench::changes::{Change, Described, Value};

use super::sentences::when;
use crate::kind::KindWords;

/// A change in a line: what, before and after.
pub fn change(change: &Change, words: &KindWords) -> String {
    format!(
        "{}: {} \u{2192} {}",
        described(&change.of, words),
        value(&change.before, words),
        value(&change.after, words)
    )
}

fn described(of: &Described, words: &KindWords) -> String {
    match of {
        Described::Plant => "plant".to_owned(),
        Described::StartDay => format!("day {}", words.started),
        Described::Place => "site".to_owned(),
        Described::Question => "question".to_owned(),
        Described::RootedRule => format!("what \"{}\" means", words.lead),
        Described::Control => "control".to_owned(),
        Described::Grade => "what \"finished\" means".to_owned(),
        Described::StageDay(stage) => words.name(*stage).to_owned(),
        Described::Publishing => "publishing".to_owned(),
        Described::NewArm(label) => format!("treatment {label}"),
        Described::ArmLabel(number) => format!("label of treatment {number}"),
        Described::ArmStarted(label) => format!("{label}, number {}", words.started),
        Described::ArmFacet(label, name) => format!("{label}, {}", crate::kind::detail(name)),
        Described::ArmReplicates(label) => format!("{label}, pots"),
        Described::DoneBy(pot) => format!("{pot}, done by"),
    }
}

fn value(value: &Value, words: &KindWords) -> String {
    let not_given = || "not given".to_owned();
    match value {
        Value::Words(said) => said.clone().unwrap_or_else(not_given),
        Value::Label(label) => label.clone().unwrap_or_else(|| "none".to_owned()),
        Value::Day(day) => day.as_ref().map_or_else(not_given, |day| when(words, day)),
        Value::Pieces(pieces) => pieces.to_string(),
        Value::Codes(codes) => codes.join(", "),
        Value::MayLeave(true) => "allowed".to_owned(),
        Value::MayLeave(false) => "never, private".to_owned(),
        Value::IsThere(true) => "new".to_owned(),
        Value::IsThere(false) => "none".to_owned(),
    }
}
