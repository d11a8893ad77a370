//! A new trial or lot: arms, pots and pieces from what was typed, and what that size can show.

use std::collections::BTreeMap;
use std::fmt::Write;

use propagule_protocol::Taxon;
use serde_json::json;

use super::{ArmFacts, NewTrial, arms, copying, planning, text};
use crate::answer::plan::TellApart;
use crate::answer::words::counted;
use crate::app::naming;
use crate::app::naming::species_typed;
use crate::app::{App, Reply, undo};
use propagule_bench::{Arm, Bench, EnteredFor, Event, Trial};
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;

pub(super) const WHAT: &str = "cannot set up the trial";
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
    let question = new.question.clone().or_else(|| (!is_lot).then(|| default_question(&arms)));
    let trial = Trial {
        series: crate::app::trial::random_series()?,
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
    let mut text = named.line();
    text.push_str(&described(&trial, new.dry_run));
    for question in &questions {
        let _ = writeln!(text, "Unusual, is it a slip? {question}.");
    }
    if let Some(question) = crate::app::trial::perhaps_misspelt(&trial.species) {
        let code = pasteable(&new.code);
        let _ = writeln!(text, "{question} To mend it: propagule trial correct {code} --species NAME");
    }
    let outlook = planning::outlook(&bench, &trial);
    text.push_str(&outlook.text);
    // Whom the reader trusts stands on the bench: it must be free while evidence is gathered.
    drop(bench);
    let assured = planning::assured(app, &trial)?;
    let mut bench = app.bench();
    check_code(&bench, &new.code)?;
    if !assured.is_empty() {
        text.push_str("\nBy what growers of this species reported\n");
    }
    for row in &assured {
        let _ = writeln!(text, "  {}", row.sentence.words());
    }
    let cautions = cautions(app, &bench, &trial, &named.taxon);
    text.push_str(&cautions_text(&cautions));
    if !new.dry_run {
        bench.record(Event::TrialRecorded { trial: trial.clone() })?;
        let _ = writeln!(text, "\nWhen the pieces are in: propagule stick {}", pasteable(&trial.code));
        text.push_str(&undo::mend(&trial.code));
    }
    let json = json!({
        "format": "propagule.new_trial/1", "saved": !new.dry_run, "trial": trial, "can_show": outlook.json,
        "assured": assured.iter().map(in_words).collect::<Vec<_>>(), "questions": questions,
        "cautions": cautions.iter().map(|(id, line)| json!({ "id": id, "line": line })).collect::<Vec<_>>(),
    });
    Ok(Reply::report(text, json))
}

/// As data, with its sentence in words.
fn in_words(row: &TellApart) -> serde_json::Value {
    let mut json = json!(row);
    json["sentence"] = row.sentence.words().into();
    json
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
    crate::app::place::check_name("a grower", name).map_err(|failure| failure.in_field("entered_for"))?;
    let mark = bench.mark_of(name).map(str::to_owned).map_or_else(crate::app::trial::random_mark, Ok)?;
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
        crate::app::trial::find(bench.trial(parent), parent, bench.trials())
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
    let names: std::collections::BTreeSet<&String> =
        arms.iter().filter_map(|arm| arm.stock_plant.as_ref()).collect();
    (!names.is_empty()).then_some(names.len() as u16)
}

fn default_question(arms: &[Arm]) -> String {
    let labels: Vec<&str> = arms.iter().map(|arm| arm.label.as_str()).collect();
    format!("{}: is there a difference?", labels.join(" or "))
}

fn described(trial: &Trial, dry_run: bool) -> String {
    let kind = if trial.is_lot() { "Lot" } else { "Trial" };
    let saved = if dry_run { "would be" } else { "is set up" };
    let pieces = counted(trial.started(), "piece", "pieces");
    let mut text = format!("{kind} {} {saved}: {}, {pieces}.\n", trial.code, trial.species);
    for arm in &trial.arms {
        let pots: Vec<&str> = arm.replicates.iter().map(|replicate| replicate.code.as_str()).collect();
        let where_ = match pots[..] {
            [] => String::new(),
            _ if pots.len() > 8 => {
                format!(" in {} pots, {} to {}", pots.len(), pots[0], pots[pots.len() - 1])
            }
            _ => format!(" in {}", pots.join(", ")),
        };
        let pieces = counted(arm.started, "piece", "pieces");
        let _ = writeln!(text, "  {}: {pieces}{where_}{}", arm.label, method_words(arm));
    }
    if let Some(arm) = trial.control.and_then(|number| trial.arm(number)) {
        let _ = writeln!(text, "The others are held against {}.", arm.label);
    }
    if let (Some(parent), Some(relation)) = (&trial.parent, trial.follows()) {
        let _ = writeln!(text, "It follows {parent}: {}.", relation.words());
    }
    text
}

/// `; kind stem cutting, wood softwood`, nothing where nothing is known.
pub(super) fn method_words(arm: &Arm) -> String {
    let words = facet_words(arm);
    if words.is_empty() { String::new() } else { format!("; {}", words.join(", ")) }
}

/// Each facet of an arm as `name words`.
pub(super) fn facet_words(arm: &Arm) -> Vec<String> {
    arm.facets.iter().map(|(name, words)| format!("{} {words}", name.replace('_', " "))).collect()
}

/// One line for each hazard of the methods, unless dismissed this season.
fn cautions(
    app: &App,
    bench: &Bench,
    trial: &Trial,
    species: &Taxon,
) -> BTreeMap<&'static str, &'static str> {
    let mut lines = BTreeMap::new();
    for arm in &trial.arms {
        let Ok(facets) = propagule_bench::spot::checked(&arm.facets) else { continue };
        for caution in crate::paper::cautions::for_method(&species.genus, &facets) {
            lines.insert(caution.id, caution.line);
        }
    }
    let season = app.clock().today().year() as u16;
    lines.retain(|id, _| !bench.is_dismissed(id, season));
    lines
}

fn cautions_text(lines: &BTreeMap<&'static str, &'static str>) -> String {
    let mut text = String::new();
    if !lines.is_empty() {
        text.push_str("\nCautions (hide one for this season: propagule trial caution NAME --hide):\n");
    }
    for (id, line) in lines {
        let _ = writeln!(text, "  [{id}] {line}");
    }
    text
}
