//! What changed in the description of a trial.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::trial::{Arm, Replicate, Stage, Trial};
use crate::dates::When;

/// One thing that differs from how the trial was described before.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Change {
    /// What it is.
    pub of: Described,
    /// How it was.
    pub before: Value,
    /// How it is.
    pub after: Value,
}

/// A thing that a trial's description holds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Described {
    /// The plant.
    Plant,
    /// The day on which it was started.
    StartDay,
    /// Where it stands.
    Place,
    /// What it asks.
    Question,
    /// From when on a propagule counts as rooted.
    RootedRule,
    /// The treatment that others are held against.
    Control,
    /// What counts as a finished plant.
    Grade,
    /// The day of a stage.
    StageDay(Stage),
    /// Whether it may be published.
    Publishing,
    /// A treatment that was not there, by its label.
    NewArm(String),
    /// The label of the treatment of this number.
    ArmLabel(u8),
    /// Propagules put into the treatment of this label.
    ArmStarted(String),
    /// A detail of the treatment of this label, by its name.
    ArmFacet(String, String),
    /// The pots of the treatment of this label.
    ArmReplicates(String),
    /// Who did the pot of this code.
    DoneBy(String),
}

/// A described thing's value.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Value {
    /// Words; none where nothing was given.
    Words(Option<String>),
    /// A label; none where no treatment has that part.
    Label(Option<String>),
    /// A day; none where nothing was given.
    Day(Option<When>),
    /// A number of propagules.
    Pieces(u16),
    /// Codes, in order.
    Codes(Vec<String>),
    /// Whether it may leave.
    MayLeave(bool),
    /// Whether it is there.
    IsThere(bool),
}

impl Trial {
    /// Each thing that differs from how the trial was described before.
    pub fn changes_since(&self, before: &Self) -> Vec<Change> {
        let mut changes: Vec<Change> = of_the_whole(before)
            .into_iter()
            .zip(of_the_whole(self))
            .filter_map(|((of, before), (_, after))| Change::between(of, before, after))
            .collect();
        for arm in &self.arms {
            match before.arm(arm.number) {
                Some(old) => arm_changes(old, arm, &mut changes),
                None => changes.push(Change {
                    of: Described::NewArm(arm.label.clone()),
                    before: Value::IsThere(false),
                    after: Value::IsThere(true),
                }),
            }
        }
        changes
    }
}

impl Change {
    /// The change, where there is one.
    fn between(of: Described, before: Value, after: Value) -> Option<Self> {
        (before != after).then_some(Self { of, before, after })
    }
}

/// What is said of a trial but of its treatments, in the order in which it is told.
fn of_the_whole(trial: &Trial) -> [(Described, Value); 11] {
    let words = |text: &Option<String>| Value::Words(text.clone());
    let control = trial.control.and_then(|number| trial.arm(number)).map(|arm| arm.label.clone());
    [
        (Described::Plant, Value::Words(Some(trial.species.clone()))),
        (Described::StartDay, Value::Day(Some(trial.started_on))),
        (Described::Place, words(&trial.place)),
        (Described::Question, words(&trial.question)),
        (Described::RootedRule, words(&trial.rooted_rule)),
        (Described::Control, Value::Label(control)),
        (Described::Grade, words(&trial.grade)),
        (Described::StageDay(Stage::Lift), Value::Day(trial.lift_on)),
        (Described::StageDay(Stage::Spring), Value::Day(trial.spring_on)),
        (Described::StageDay(Stage::Final), Value::Day(trial.final_on)),
        (Described::Publishing, Value::MayLeave(!trial.is_private)),
    ]
}

fn arm_changes(before: &Arm, arm: &Arm, changes: &mut Vec<Change>) {
    let label = &arm.label;
    let mut differs = |of, before, after| changes.extend(Change::between(of, before, after));
    let words = |text: &str| Value::Words(Some(text.to_owned()));
    differs(Described::ArmLabel(arm.number), words(&before.label), words(label));
    differs(Described::ArmStarted(label.clone()), Value::Pieces(before.started), Value::Pieces(arm.started));
    let names: BTreeSet<&String> = before.facets.keys().chain(arm.facets.keys()).collect();
    for name in names {
        let of = |facets: &BTreeMap<String, String>| Value::Words(facets.get(name).cloned());
        differs(Described::ArmFacet(label.clone(), name.clone()), of(&before.facets), of(&arm.facets));
    }
    let codes = |arm: &Arm| Value::Codes(arm.replicates.iter().map(|r| r.code.clone()).collect());
    differs(Described::ArmReplicates(label.clone()), codes(before), codes(arm));
    let by = |pot: Option<&Replicate>| Value::Words(pot.and_then(|pot| pot.operator.clone()));
    for pot in &arm.replicates {
        let old = before.replicates.iter().find(|old| old.code == pot.code);
        differs(Described::DoneBy(pot.code.clone()), by(old), by(Some(pot)));
    }
}
