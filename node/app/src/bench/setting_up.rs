//! A new trial or lot: arms, pots and pieces from what was typed, and what that size can show.

use std::collections::BTreeSet;

use super::{ArmFacts, NewTrial, arms, cautions, copying, planning, text};
use crate::naming;
use crate::naming::species_typed;
use crate::outcome::Outcome;
use crate::outcome::new_trial::NewTrialFacts;
use crate::outcome::said::Said;
use crate::{App, Reply};
use propagule_bench::doing::Doing;
use propagule_bench::{Arm, Bench, EnteredFor, Event, Trial};
use propagule_files::fault::Fault;

pub(super) const WHAT: Doing = Doing::SettingUp;
/// The longest code of a trial.
const CODE_CHARACTERS: usize = 20;

/// Sets up a trial and says what it can show; nothing is put in yet.
pub(super) fn new(app: &App, new: &NewTrial) -> Result<Reply, Fault> {
    let bench = app.bench();
    let new = &tidied(new);
    check_code(&bench, &new.code)?;
    let new = &copying::filled(&bench, new)?;
    let named = naming::read(WHAT, &new.species, new.yes).map_err(|failure| failure.in_field("species"))?;
    let mut arms = arms::built(WHAT, new, copying::arms_of(WHAT, &bench, new)?)?;
    let questions = arms::questions(WHAT, &arms)?;
    copying::set_operators(WHAT, &mut arms, &new.done_by)?;
    check_names(&bench, new, &arms)?;
    let control = copying::control(WHAT, &arms, new.control.as_deref())?;
    let is_lot = arms.len() == 1;
    if is_lot && new.question.is_some() {
        return Err(Fault::user("question-without-arms").with("what", WHAT).in_field("question"));
    }
    let question = new.question.clone().or_else(|| (!is_lot).then(|| Trial::usual_question(&arms)));
    let trial = Trial {
        series: crate::trial::random_series()?,
        question,
        is_planned: true,
        lift_on: new.lift_on,
        stock_plants: new.stock_plants.or_else(|| named_stock(&arms)),
        entered_for: new.entered_for.as_deref().map(|name| entered_for(&bench, name)).transpose()?,
        place: new.place.clone(),
        is_blocked: new.shared_pots.is_some(),
        note: new.note.clone(),
        parent: new.parent.clone(),
        relation: new.parent.as_ref().and(new.relation),
        control,
        unit_is_piece: new.is_single_pieces || new.shared_pots.is_some(),
        rooted_rule: new.rooted_rule.clone(),
        grade: new.grade.clone(),
        arms,
        species_typed: species_typed(&new.species, &named),
        ..Trial::empty(&new.code, &named.taxon.to_string(), new.on)
    };
    let can_show = planning::outlook(&bench, &trial);
    // Whom the reader trusts stands on the bench: it must be free while evidence is gathered.
    drop(bench);
    let assured = planning::assured(app, &trial)?;
    let mut bench = app.bench();
    check_code(&bench, &new.code)?;
    let cautions = cautions::of_trial(&bench, &trial, app.clock().today().year() as u16);
    if !new.dry_run {
        bench.record(Event::TrialRecorded { trial: trial.clone() })?;
    }
    let facts = Outcome::NewTrial(Box::new(NewTrialFacts {
        saved: !new.dry_run,
        can_show,
        assured,
        questions: questions.into_iter().map(|question| Said::Unusual(question.into())).collect(),
        cautions,
        taken: named.taken(),
        counted_as: crate::plant::counted_as(app, &trial.species),
        near_names: crate::trial::near_names(&trial.species),
        trial,
    }));
    Ok(if new.dry_run { Reply::proposed(facts) } else { Reply::done(facts) })
}

/// The same with its texts as they are kept.
fn tidied(new: &NewTrial) -> NewTrial {
    let kept = |text: &Option<String>| text::kept(text.as_deref());
    NewTrial {
        code: new.code.trim().to_owned(),
        question: kept(&new.question),
        entered_for: kept(&new.entered_for),
        place: kept(&new.place),
        rooted_rule: kept(&new.rooted_rule),
        grade: kept(&new.grade),
        note: kept(&new.note),
        ..new.clone()
    }
}

/// Another grower, with the mark that was given for earlier trials, or a new one.
fn entered_for(bench: &Bench, name: &str) -> Result<EnteredFor, Fault> {
    crate::place::check_name("grower", name).map_err(|failure| failure.in_field("entered_for"))?;
    let mark = bench.mark_of(name).map(str::to_owned).map_or_else(crate::trial::random_mark, Ok)?;
    Ok(EnteredFor { name: name.to_owned(), mark })
}

fn check_code(bench: &Bench, code: &str) -> Result<(), Fault> {
    let is_plain = (1..=CODE_CHARACTERS).contains(&code.chars().count())
        && code.trim() == code
        && !code.starts_with('-')
        && !code.contains(|c: char| c.is_control() || ":=,;".contains(c));
    if !is_plain {
        return Err(Fault::usage("trial-code-malformed")
            .with("code", code)
            .with("code_characters", CODE_CHARACTERS)
            .in_field("code"));
    }
    match bench.trials().find(|trial| trial.code.eq_ignore_ascii_case(code)) {
        None => Ok(()),
        Some(trial) => {
            Err(Fault::user("trial-exists").with("what", WHAT).with("trial", &trial.code).in_field("code"))
        }
    }
}

fn check_names(bench: &Bench, new: &NewTrial, arms: &[Arm]) -> Result<(), Fault> {
    if let Some(parent) = &new.parent {
        crate::trial::find(bench.trial(parent), parent, bench.trials())
            .map_err(|failure| failure.in_field("parent"))?;
    }
    for (arm, index) in arms.iter().zip(0..) {
        let field = |name: &str, own: fn(&ArmFacts) -> &Option<String>| {
            let is_own = new.arms.get(index).is_some_and(|given| own(&given.said).is_some());
            if is_own { format!("arms.{index}.{name}") } else { format!("common.{name}") }
        };
        if let Some(name) = &arm.spot {
            super::spots::find(bench, name)
                .map_err(|failure| failure.in_field(field("spot", |facts| &facts.spot)))?;
        }
        let stock = arm.stock_plant.as_deref().filter(|name| bench.stock_plant(name).is_none());
        if let Some(name) = stock {
            return Err(Fault::user("stock-plant-unknown")
                .with("what", WHAT)
                .with("name", name)
                .in_field(field("stock", |facts| &facts.stock)));
        }
    }
    Ok(())
}

fn named_stock(arms: &[Arm]) -> Option<u16> {
    let names: BTreeSet<&String> = arms.iter().filter_map(|arm| arm.stock_plant.as_ref()).collect();
    (!names.is_empty()).then_some(names.len() as u16)
}
