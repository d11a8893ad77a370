//! What the form of a new trial asks for, field by field; and which field a fault is about.

use propagule_protocol::Facet;

use super::ARMS;
use crate::grammar;
use crate::web::fields::Fields;
use crate::web::form;
use crate::web::form::Bad;
use crate::web::visit::Visit;
use propagule_app::{ArmFacts, ArmGiven, Hearing, NewTrial};
use propagule_bench::Relation;
use propagule_bench::dates::When;
use propagule_bench::doing::Doing;
use propagule_files::fault::Fault;

/// What is done, before what is wrong with it.
const WHAT: Doing = Doing::SettingUp;
/// Facets of all arms that have a field of their own.
const COMMON: [Facet; 4] = [Facet::Kind, Facet::Wood, Facet::Humidity, Facet::Medium];

/// The trial that is to be set up.
pub(super) fn request(visit: &Visit, fields: &Fields, dry_run: bool) -> Result<NewTrial, Bad> {
    let shared = match (form::number(fields, "shared")?, form::number(fields, "shared_places")?) {
        (Some(pots), Some(places)) => Some((pots, places)),
        (None, None) => None,
        _ => {
            return Err(Bad::field("shared", Fault::user("page-shared-pots-incomplete")));
        }
    };
    let hearing = visit.hearing(WHAT);
    let on = form::day(fields, "on")?.unwrap_or_else(|| When::day(visit.today()));
    Ok(NewTrial {
        question: fields.owned("question"),
        common: common(hearing, fields)?,
        arms: arms(hearing, fields)?,
        pots: form::number(fields, "pots")?.filter(|_| shared.is_none()),
        pieces: form::number(fields, "pieces")?,
        shared_pots: shared,
        stock_plants: form::number(fields, "stock_plants")?,
        entered_for: fields.owned("entered_for"),
        place: fields.owned("place"),
        lift_on: form::day(fields, "lift")?,
        parent: fields.owned("parent"),
        relation: fields.given("parent").map(|_| match fields.get("relation") {
            "regraft" => Relation::Regraft,
            "repeat" => Relation::Repeat,
            _ => Relation::Replaces,
        }),
        rooted_rule: fields.owned("rooted_rule"),
        grade: fields.owned("grade"),
        note: fields.owned("note"),
        dry_run,
        ..NewTrial::lot(fields.get("code"), fields.get("species"), on)
    })
}

/// What the arms differ in, where that is one facet.
fn compared(fields: &Fields) -> Option<Facet> {
    Facet::from_name(fields.get("facet"))
}

/// What is the same for all; a facet that is compared is left to the arms.
fn common(hearing: Hearing, fields: &Fields) -> Result<ArmFacts, Bad> {
    let has_arms = (1..=ARMS).any(|number| fields.given(&label(number)).is_some());
    let compared = compared(fields).filter(|_| has_arms);
    let mut facts = ArmFacts::default();
    for facet in COMMON.into_iter().filter(|facet| Some(*facet) != compared) {
        form::facet_of_arm(&mut facts, hearing, facet, fields, facet.name())?;
    }
    let more = written(hearing, "with", fields.get("with"))?;
    facts.at_home.extend(more.at_home);
    Ok(ArmFacts { facets: facts.facets.with(&more.facets), at_home: facts.at_home, ..more })
}

fn arms(hearing: Hearing, fields: &Fields) -> Result<Vec<ArmGiven>, Bad> {
    let mut arms = Vec::new();
    for number in rows(fields) {
        let Some(label) = fields.owned(&label(number)) else {
            let failure = Fault::user("page-arm-without-label").with("number", number);
            return Err(Bad::field(&label(number), failure));
        };
        arms.push(ArmGiven { label, said: gets(hearing, fields, &value(number))? });
    }
    for line in fields.get("arms").lines().map(str::trim).filter(|line| !line.is_empty()) {
        arms.push(grammar::arm::arm(hearing, line).map_err(|failure| Bad::field("arms", failure))?);
    }
    Ok(arms)
}

/// What an arm gets: words of the facet that is compared, or where that is none, what is written out.
fn gets(hearing: Hearing, fields: &Fields, name: &str) -> Result<ArmFacts, Bad> {
    let mut facts = ArmFacts::default();
    match (compared(fields), fields.get(name)) {
        (_, "") => {}
        (None, text) => return written(hearing, name, text),
        (Some(facet), _) => form::facet_of_arm(&mut facts, hearing, facet, fields, name)?,
    }
    Ok(facts)
}

/// What a grower writes as after a command, in a field that says so.
fn written(hearing: Hearing, name: &str, text: &str) -> Result<ArmFacts, Bad> {
    grammar::arm::facts(hearing, text).map_err(|failure| Bad::field(name, failure))
}

/// Numbers of the rows of arms in which something stands.
fn rows(fields: &Fields) -> impl Iterator<Item = usize> {
    let is_used =
        |number: &usize| [label(*number), value(*number)].iter().any(|name| fields.given(name).is_some());
    (1..=ARMS).filter(is_used)
}

fn label(number: usize) -> String {
    format!("label-{number}")
}

fn value(number: usize) -> String {
    format!("value-{number}")
}

/// A fault with the field of the form that it is about.
pub(super) fn marked(failure: Fault, fields: &Fields) -> Bad {
    let field = failure.field.as_deref().map(|path| field_of(path, fields));
    Bad { failure, field }
}

/// The field of the form for a part of the command.
fn field_of(path: &str, fields: &Fields) -> String {
    let mut parts = path.split('.');
    match (parts.next(), parts.next(), parts.next()) {
        (Some("arms"), Some(index), part) => {
            let row = index.parse().ok().and_then(|index| rows(fields).nth(index));
            match (row, part) {
                (Some(row), Some("label")) => label(row),
                (Some(row), _) => value(row),
                (None, _) => "arms".to_owned(),
            }
        }
        (Some("shared_pots"), ..) => "shared".to_owned(),
        (Some("arms" | "common"), ..) => if path == "arms" { "arms" } else { "with" }.to_owned(),
        _ => path.to_owned(),
    }
}
