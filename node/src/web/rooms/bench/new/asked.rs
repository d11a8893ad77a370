//! The trial that a form asks for, up to the step that it has come to; and which field and step a fault is about.

use propagule_protocol::Facet;

use super::factor::{Factor, number_of, of, rows};
use super::heard::{Of, heard};
use crate::web::fields::Fields;
use crate::web::form;
use crate::web::form::Bad;
use crate::web::visit::Visit;
use propagule_app::viewed::Names;
use propagule_app::{ArmFacts, ArmGiven, Hearing, NewTrial};
use propagule_bench::Relation;
use propagule_bench::dates::When;
use propagule_bench::doing::Doing;
use propagule_files::fault::Fault;
use propagule_present::words::new_trial::{self as words, SetUpStep};

/// What is done, before what is wrong with it.
const WHAT: Doing = Doing::SettingUp;
/// Parts of details that have fields of their own.
const PARTS: [&str; 12] = [
    "auxin_form",
    "dose",
    "strength",
    "unit",
    "dilution",
    "seconds",
    "auxin_second",
    "strength_second",
    "medium_own",
    "bottom_heat_at",
    "warm",
    "cold",
];

/// The trial that is to be set up, as far as its steps up to this one say; what later ones ask is left open.
pub(super) fn request(
    visit: &Visit,
    fields: &Fields,
    step: SetUpStep,
    names: &Names,
) -> Result<NewTrial, Bad> {
    let hearing = visit.hearing(WHAT);
    let today = When::day(visit.today());
    let code = if step < SetUpStep::Check { &names.next_code } else { fields.get("code") };
    let mut new =
        NewTrial { dry_run: true, pieces: Some(1), ..NewTrial::lot(code, fields.get("species"), today) };
    form::facet_of_arm(&mut new.common, hearing, Facet::Kind, fields, Facet::Kind.name())?;
    new.common.stock = fields.owned("stock");
    if step >= SetUpStep::Treatments {
        method(&mut new, hearing, fields)?;
    }
    if step >= SetUpStep::Size {
        size(&mut new, fields)?;
    }
    if step == SetUpStep::Check {
        rest(&mut new, fields, today)?;
    }
    Ok(new)
}

/// What is the same for all, and what each treatment gets.
fn method(new: &mut NewTrial, hearing: Hearing, fields: &Fields) -> Result<(), Bad> {
    let compared = Factor::chosen(fields);
    for facet in Facet::ALL.into_iter().filter(|facet| *facet != Facet::Kind) {
        if !compared.contains(&Factor::Facet(facet)) {
            say(&mut new.common, hearing, Factor::Facet(facet), Of::All, fields)?;
        }
    }
    if compared.is_empty() {
        return Ok(());
    }
    let used: Vec<usize> = used(fields).collect();
    if used.len() < 2 {
        let blank = rows(fields).find(|number| !used.contains(number)).unwrap_or(2);
        return Err(Bad::field(&of("label", blank), Fault::user("page-treatments-too-few")));
    }
    for number in &used {
        new.arms.push(arm(hearing, &compared, *number, fields)?);
    }
    let control = fields.get("control").parse::<usize>().ok();
    let control = control.and_then(|control| used.iter().position(|row| *row == control));
    new.control = control.and_then(|index| new.arms.get(index)).map(|arm| arm.label.clone());
    Ok(())
}

/// Numbers of the treatments of which something is said; a unit alone says nothing.
fn used(fields: &Fields) -> impl Iterator<Item = usize> {
    let is_said = |number: usize| {
        let unit = of("unit", number);
        fields
            .all()
            .any(|(name, text)| number_of(name) == Some(number) && name != unit && !text.trim().is_empty())
    };
    rows(fields).filter(move |number| is_said(*number))
}

fn arm(hearing: Hearing, compared: &[Factor], number: usize, fields: &Fields) -> Result<ArmGiven, Bad> {
    let mut said = ArmFacts::default();
    for factor in compared {
        say(&mut said, hearing, *factor, Of::Treatment(number), fields)?;
    }
    said.pots = form::number(fields, &of("pots", number))?;
    said.pieces = form::number(fields, &of("pieces", number))?;
    let label = fields.owned(&of("label", number)).or_else(|| label(compared, number, fields));
    let label = label.ok_or_else(|| {
        let failure = Fault::user("page-arm-without-label").with("number", number);
        Bad::field(&of("label", number), failure)
    })?;
    Ok(ArmGiven { label, said })
}

/// The label of a treatment that has none of its own: what it gets.
fn label(compared: &[Factor], number: usize, fields: &Fields) -> Option<String> {
    let said = compared.iter().find_map(|factor| {
        let words = match factor {
            // A hormone is told by what it is and how strong.
            Factor::Facet(Facet::Auxin) => {
                let what =
                    fields.owned(&of("auxin", number)).or_else(|| fields.owned(&of("auxin_form", number)))?;
                format!("{what} {}", fields.get(&of("dose", number)))
            }
            factor => heard(*factor, Of::Treatment(number), fields)?,
        };
        let facet = if let Factor::Facet(facet) = factor { Some(*facet) } else { None };
        Some(words::label(facet, &words))
    })?;
    Some(said).filter(|label| !label.is_empty())
}

/// Takes what a form says of a factor.
fn say(facts: &mut ArmFacts, hearing: Hearing, factor: Factor, at: Of, fields: &Fields) -> Result<(), Bad> {
    let Some(said) = heard(factor, at, fields) else { return Ok(()) };
    match factor {
        Factor::Facet(facet) => facts
            .hear(hearing, facet, &said)
            .map_err(|failure| Bad::field(&at.named(typed(facet, at, fields)), failure))?,
        Factor::Stock => facts.stock = Some(said),
        Factor::Operator => facts.operator = Some(said),
        Factor::Spot => facts.spot = Some(said),
        Factor::Differs => facts.differs = Some(said),
    }
    Ok(())
}

/// The field in which the words of a facet were typed, where it has several.
fn typed(facet: Facet, at: Of, fields: &Fields) -> &'static str {
    let parts: &[&'static str] = match facet {
        Facet::Auxin => &["strength", "dilution", "seconds"],
        Facet::Medium => &["medium_own"],
        Facet::BottomHeat => &["bottom_heat_at"],
        Facet::Stratification => &["warm", "cold"],
        _ => &[],
    };
    parts.iter().find(|part| fields.given(&at.named(part)).is_some()).copied().unwrap_or(facet.name())
}

fn size(new: &mut NewTrial, fields: &Fields) -> Result<(), Bad> {
    new.shared_pots = match (form::number(fields, "shared")?, form::number(fields, "shared_places")?) {
        (Some(pots), Some(places)) => Some((pots, places)),
        (None, None) => None,
        _ => return Err(Bad::field("shared", Fault::user("page-shared-pots-incomplete"))),
    };
    new.pots = form::number(fields, "pots")?.filter(|_| new.shared_pots.is_none());
    new.pieces = form::number(fields, "pieces")?;
    new.stock_plants = form::number(fields, "stock_plants")?;
    new.is_single_pieces = fields.is_on("single");
    Ok(())
}

fn rest(new: &mut NewTrial, fields: &Fields, today: When) -> Result<(), Bad> {
    new.on = form::day(fields, "on")?.unwrap_or(today);
    new.lift_on = form::day(fields, "lift")?;
    new.question = fields.owned("question");
    new.place = fields.owned("place");
    new.common.spot = fields.owned("spot");
    new.entered_for = fields.owned("entered_for");
    new.parent = fields.owned("parent");
    new.relation = fields.given("parent").map(|_| match fields.get("relation") {
        "regraft" => Relation::Regraft,
        "repeat" => Relation::Repeat,
        _ => Relation::Replaces,
    });
    new.rooted_rule = fields.owned("rooted_rule");
    new.grade = fields.owned("grade");
    new.note = fields.owned("note");
    Ok(())
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
            let row = index.parse().ok().and_then(|index| used(fields).nth(index)).unwrap_or(1);
            of(part.unwrap_or("label"), row)
        }
        (Some("arms"), ..) => of("label", 1),
        (Some("common"), Some(part), _) => part.to_owned(),
        (Some("shared_pots"), ..) => "shared".to_owned(),
        _ => path.to_owned(),
    }
}

/// The step that asks for a field.
pub(super) fn step_of(field: &str) -> SetUpStep {
    let (name, is_of_one) = match number_of(field) {
        Some(_) => (field.rsplit_once('-').map_or(field, |(name, _)| name), true),
        None => (field, false),
    };
    match name {
        "species" | "kind" => SetUpStep::Plant,
        "stock" if !is_of_one => SetUpStep::Plant,
        "compared" | "also" => SetUpStep::Differs,
        "pots" | "pieces" | "shared" | "shared_places" | "stock_plants" | "single" => SetUpStep::Size,
        "control" => SetUpStep::Treatments,
        name if is_of_one || PARTS.contains(&name) || Facet::from_name(name).is_some() => {
            SetUpStep::Treatments
        }
        _ => SetUpStep::Check,
    }
}

/// Fills in what is proposed on the way to a step: the treatment that goes without, a small size, the next free code.
pub(super) fn proposed(fields: Fields, step: SetUpStep, names: &Names, today: &str) -> Fields {
    let propose = |fields: Fields, name: &str, text: &str| {
        if fields.names().any(|named| named == name) { fields } else { fields.with(name, text) }
    };
    match step {
        SetUpStep::Plant | SetUpStep::Differs => fields,
        SetUpStep::Treatments => Factor::chosen(&fields).into_iter().fold(fields, |fields, factor| {
            let is_begun = fields.names().any(|name| number_of(name).is_some());
            match factor.without().filter(|_| !is_begun) {
                Some(without) => propose(fields, &of(factor.name(), 1), without),
                None => fields,
            }
        }),
        SetUpStep::Size if fields.given("shared").is_some() || fields.is_on("single") => fields,
        SetUpStep::Size if Factor::chosen(&fields).is_empty() => propose(fields, "pieces", "12"),
        SetUpStep::Size => propose(propose(fields, "pots", "3"), "pieces", "4"),
        SetUpStep::Check => propose(propose(fields, "code", &names.next_code), "on", today),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_field_is_asked_in_one_step() {
        let steps: Vec<(&str, SetUpStep)> = vec![
            ("species", SetUpStep::Plant),
            ("stock", SetUpStep::Plant),
            ("stock-2", SetUpStep::Treatments),
            ("also", SetUpStep::Differs),
            ("leaves", SetUpStep::Treatments),
            ("strength", SetUpStep::Treatments),
            ("differs-1", SetUpStep::Treatments),
            ("pots", SetUpStep::Size),
            ("pots-2", SetUpStep::Size),
            ("code", SetUpStep::Check),
            ("spot", SetUpStep::Check),
        ];
        for (field, step) in steps {
            assert_eq!(step_of(field), step, "{field}");
        }
    }

    #[test]
    fn what_is_proposed_never_replaces_what_was_typed_or_emptied() {
        let names = Names { next_code: "M4".to_owned(), ..Names::default() };
        let ask = |query: &str, step| proposed(Fields::read(query.as_bytes()), step, &names, "2026-06-06");
        assert_eq!(ask("compared=auxin", SetUpStep::Treatments).get("auxin-1"), "none");
        assert_eq!(ask("compared=auxin&label-1=dip", SetUpStep::Treatments).get("auxin-1"), "");
        assert_eq!(ask("compared=auxin", SetUpStep::Size).get("pots"), "3");
        assert_eq!(ask("compared=auxin&pots=", SetUpStep::Size).get("pots"), "");
        assert_eq!(ask("", SetUpStep::Check).get("code"), "M4");
    }
}
