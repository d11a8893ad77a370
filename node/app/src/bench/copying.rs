//! A trial set up as another one was, and who does which of its pots.

use super::{ArmFacts, ArmGiven, DoneBy, NewTrial, arms, setting_up};
use crate::{App, Reply};
use propagule_bench::dates::When;
use propagule_bench::doing::Doing;
use propagule_bench::{Arm, Bench, Relation, Trial};
use propagule_files::fault::Fault;

/// Sets up the same trial again: the same question in another season.
pub(super) fn copy(
    app: &App,
    old: &str,
    new: Option<String>,
    on: When,
    dry_run: bool,
) -> Result<Reply, Fault> {
    let new = {
        let bench = app.bench();
        let old = crate::trial::find(bench.trial(old), old, bench.trials())?;
        let code = new.unwrap_or_else(|| next_code(&bench, &old.code));
        NewTrial {
            like: Some(old.code.clone()),
            parent: Some(old.code.clone()),
            relation: Some(Relation::Repeat),
            dry_run,
            ..NewTrial::lot(&code, &old.species, on)
        }
    };
    setting_up::new(app, &new)
}

/// The next free code of a series: M2 after M1, N010 after N009; a code without a number begins one with 2.
pub(super) fn next_code(bench: &Bench, code: &str) -> String {
    let is_taken = |code: &str| bench.trials().any(|trial| trial.code.eq_ignore_ascii_case(code));
    let digits = code.len() - code.bytes().rev().take_while(u8::is_ascii_digit).count();
    let (series, number) = code.split_at(digits);
    let width = number.len();
    let first = number.parse::<u64>().unwrap_or(1).saturating_add(1);
    let numbered = |n: u64| format!("{series}{n:0width$}");
    let most = first.saturating_add(bench.trials().count() as u64);
    (first..=most).map(numbered).find(|code| !is_taken(code)).unwrap_or_default()
}

/// What was asked for, with what the trial that it is to be like says beside it.
pub(super) fn filled(bench: &Bench, new: &NewTrial) -> Result<NewTrial, Fault> {
    let Some(like) = &new.like else { return Ok(new.clone()) };
    let old = crate::trial::find(bench.trial(like), like, bench.trials())?;
    let control = old.control.and_then(|number| old.arm(number)).map(|arm| arm.label.clone());
    let is_same_arms = new.arms.is_empty();
    Ok(NewTrial {
        question: new.question.clone().or_else(|| old.question.clone().filter(|_| is_same_arms)),
        place: new.place.clone().or_else(|| old.place.clone()),
        grade: new.grade.clone().or_else(|| old.grade.clone()),
        rooted_rule: new.rooted_rule.clone().or_else(|| old.rooted_rule.clone()),
        shared_pots: new.shared_pots.or_else(|| shared(old).filter(|_| new.pots.is_none() && is_same_arms)),
        control: new.control.clone().or(control.filter(|_| is_same_arms)),
        is_single_pieces: new.is_single_pieces || old.unit_is_piece,
        ..new.clone()
    })
}

/// The arms of the trial that another one is to be like, as they would be given.
pub(super) fn arms_of(what: Doing, bench: &Bench, new: &NewTrial) -> Result<Option<Vec<ArmGiven>>, Fault> {
    let like = new.like.as_deref().and_then(|like| bench.trial(like));
    let Some(old) = like.filter(|_| new.arms.is_empty()) else { return Ok(None) };
    let given = |arm: &Arm| {
        let pots = arm.replicates.len().max(1) as u16;
        let pieces = arm.replicates.iter().map(|pot| pot.started).max().unwrap_or(arm.started);
        let said = ArmFacts {
            facets: arms::given_again(what, &arm.facets)?,
            pots: new.pots.is_none().then_some(pots),
            pieces: new.pieces.is_none().then_some(pieces),
            at_home: arm.at_home.clone(),
            differs: arm.unlisted.clone(),
            ..ArmFacts::default()
        };
        Ok(ArmGiven { label: arm.label.clone(), said })
    };
    old.arms.iter().map(given).collect::<Result<_, Fault>>().map(Some)
}

/// Pots that hold pieces of every arm: how many, and places in each.
fn shared(trial: &Trial) -> Option<(u16, u16)> {
    let mut pots: std::collections::BTreeMap<&str, u16> = std::collections::BTreeMap::new();
    for replicate in trial.arms.iter().flat_map(|arm| &arm.replicates) {
        *pots.entry(replicate.pot.as_deref()?).or_default() += replicate.started;
    }
    let places = pots.values().max().copied()?;
    Some((pots.len() as u16, places))
}

/// Writes down who did which pots.
pub(super) fn set_operators(what: Doing, arms: &mut [Arm], done_by: &[DoneBy]) -> Result<(), Fault> {
    let mut named: Vec<&str> = Vec::new();
    for given in done_by {
        let person = given.person.trim();
        let said = format!("{person}: {}", given.pots.join(","));
        if person.is_empty() || given.pots.is_empty() {
            return Err(Fault::user("done-by-empty")
                .with("what", what)
                .with("said", &said)
                .in_field("done_by"));
        }
        for place in &given.pots {
            if named.iter().any(|other| other.eq_ignore_ascii_case(place)) {
                return Err(Fault::user("done-by-twice")
                    .with("what", what)
                    .with("said", &said)
                    .with("place", place)
                    .in_field("done_by"));
            }
            if !set_operator(arms, place, person) {
                return Err(Fault::user("done-by-unknown-pot")
                    .with("what", what)
                    .with("said", &said)
                    .with("place", place)
                    .in_field("done_by"));
            }
            named.push(place);
        }
    }
    Ok(())
}

fn set_operator(arms: &mut [Arm], place: &str, name: &str) -> bool {
    let pots = arms.iter_mut().flat_map(|arm| &mut arm.replicates);
    if let Some(pot) = { pots }.find(|pot| pot.code.eq_ignore_ascii_case(place)) {
        pot.operator = Some(name.to_owned());
        return true;
    }
    let Some(arm) = arms.iter_mut().find(|arm| arm.label.eq_ignore_ascii_case(place)) else { return false };
    arm.operator = Some(name.to_owned());
    for pot in &mut arm.replicates {
        pot.operator = Some(name.to_owned());
    }
    true
}

/// The number of the arm that is named as control, else the one that plainly is.
pub(super) fn control(what: Doing, arms: &[Arm], named: Option<&str>) -> Result<Option<u8>, Fault> {
    let Some(label) = named else { return Ok(propagule_bench::control::default_control(arms)) };
    match arms.iter().find(|arm| arm.label.eq_ignore_ascii_case(label)) {
        Some(arm) if arms.len() > 1 => Ok(Some(arm.number)),
        Some(_) => Err(Fault::user("control-alone").with("what", what).in_field("control")),
        None => {
            let labels: Vec<&str> = arms.iter().map(|arm| arm.label.as_str()).collect();
            Err(Fault::user("control-unknown")
                .with("what", what)
                .with("label", label)
                .with("labels", labels.join(", "))
                .in_field("control"))
        }
    }
}
