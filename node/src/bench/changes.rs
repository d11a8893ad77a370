//! What changed in the description of a trial, in words.

use super::trial::{Arm, Replicate, Stage, Trial};
use crate::answer::words::kind::KindWords;

impl Trial {
    /// Each thing that differs from how the trial was described before.
    pub fn changes_since(&self, before: &Self) -> Vec<String> {
        let words = KindWords::of_trial(self);
        let mut changes = Vec::new();
        let mut differs = |what: &str, old: String, new: String| {
            if old != new {
                changes.push(format!("{what}: {old} \u{2192} {new}"));
            }
        };
        let or_none = |text: &Option<String>| text.clone().unwrap_or_else(|| "not given".to_owned());
        let day = |day: Option<crate::paper::dates::When>| {
            day.map_or("not given".to_owned(), |day| day.to_string())
        };
        differs("plant", before.species.clone(), self.species.clone());
        differs("put in", before.started_on.to_string(), self.started_on.to_string());
        differs("place", or_none(&before.place), or_none(&self.place));
        differs("question", or_none(&before.question), or_none(&self.question));
        differs(
            &format!("{} counts when", words.lead),
            or_none(&before.rooted_rule),
            or_none(&self.rooted_rule),
        );
        let control = |trial: &Self| {
            trial
                .control
                .and_then(|number| trial.arm(number))
                .map_or("none".to_owned(), |arm| arm.label.clone())
        };
        differs("control", control(before), control(self));
        differs("grade", or_none(&before.grade), or_none(&self.grade));
        differs(words.name(Stage::Lift), day(before.lift_on), day(self.lift_on));
        differs("spring", day(before.spring_on), day(self.spring_on));
        differs("final", day(before.final_on), day(self.final_on));
        let leaves = |trial: &Self| if trial.is_private { "never, private" } else { "allowed" }.to_owned();
        differs("publishing", leaves(before), leaves(self));
        for arm in &self.arms {
            match before.arm(arm.number) {
                Some(old) => arm_changes(old, arm, &mut differs),
                None => differs(&format!("arm {}", arm.label), "none".to_owned(), "new".to_owned()),
            }
        }
        changes
    }
}

fn arm_changes(before: &Arm, arm: &Arm, differs: &mut impl FnMut(&str, String, String)) {
    let label = &arm.label;
    differs(&format!("label of arm {}", arm.number), before.label.clone(), label.clone());
    differs(&format!("{label}, put in"), before.started.to_string(), arm.started.to_string());
    let names: std::collections::BTreeSet<&String> = before.facets.keys().chain(arm.facets.keys()).collect();
    for name in names {
        let words = |facets: &std::collections::BTreeMap<String, String>| {
            facets.get(name).cloned().unwrap_or_else(|| "not given".to_owned())
        };
        differs(&format!("{label}, {name}"), words(&before.facets), words(&arm.facets));
    }
    let codes = |arm: &Arm| arm.replicates.iter().map(|r| r.code.as_str()).collect::<Vec<_>>().join(", ");
    differs(&format!("{label}, replicates"), codes(before), codes(arm));
    let by =
        |pot: Option<&Replicate>| pot.and_then(|pot| pot.operator.clone()).unwrap_or("not given".to_owned());
    for pot in &arm.replicates {
        let old = before.replicates.iter().find(|old| old.code == pot.code);
        differs(&format!("{}, done by", pot.code), by(old), by(Some(pot)));
    }
}
