//! The place that a code from a tag, or the label of an arm, names.

use propagule_files::fault::Fault;

use crate::code;
use crate::code::CodeError;
use crate::units::{ArmUnits, TrialUnits, UnitKey};

/// The place of that name; without one the trial's only place.
///
/// # Errors
/// When the trial has no such place, or none is named and it has several.
pub fn read(place: Option<&str>, units: &TrialUnits) -> Result<UnitKey, Fault> {
    let Some(place) = place else {
        return match &units.arms[..] {
            [arm] if arm.pots.len() < 2 => {
                Ok(UnitKey { arm: arm.number, replicate: arm.pots.first().cloned() })
            }
            _ => Err(Fault::user("place-not-said").with("places", places(units))),
        };
    };
    let (arm, pot) = named(place, units)?;
    let replicate = match (pot, &arm.pots[..]) {
        (Some(pot), _) => Some(pot.to_owned()),
        (None, []) => None,
        (None, [only]) => Some(only.clone()),
        (None, several) => {
            return Err(Fault::user("arm-counted-by-pot")
                .with("text", place)
                .with("codes", several.join(", ")));
        }
    };
    Ok(UnitKey { arm: arm.number, replicate })
}

/// The arm, and the pot where it is one, of that name.
///
/// # Errors
/// When the trial has neither.
pub fn named<'a>(place: &str, units: &'a TrialUnits) -> Result<(&'a ArmUnits, Option<&'a str>), Fault> {
    let tag = if units.target(place).is_some() { Ok(place.to_owned()) } else { of_tag(place, units) };
    if let Err(CodeError::Check { meant, .. }) = &tag {
        return Err(Fault::user("tag-check-character").with("text", place).with("meant", meant.join(" or ")));
    }
    let place = tag.as_deref().unwrap_or(place);
    units.target(place).ok_or_else(|| {
        let near = propagule_files::closest(place, units.codes(), 3);
        Fault::user("count-place-unknown")
            .with("text", place)
            .with("trial", &units.trial)
            .with("places", places(units))
            .near(&near)
    })
}

/// Numbers of the arms that labels, or codes of their pots, name.
///
/// # Errors
/// When the trial has no such arm.
pub fn arms(labels: &[String], units: &TrialUnits) -> Result<Vec<u8>, Fault> {
    let number = |label: &String| {
        units.target(label).map(|(arm, _)| arm.number).ok_or_else(|| {
            let all: Vec<&str> = units.arms.iter().map(|arm| arm.label.as_str()).collect();
            Fault::user("arm-unknown")
                .with("trial", &units.trial)
                .with("label", label)
                .with("all", all.join(", "))
        })
    };
    labels.iter().map(number).collect()
}

/// `PLACE=how many`: the place and the number of pieces.
///
/// # Errors
/// When it is not so, or the trial has no such place.
pub fn counted(text: &str, units: &TrialUnits) -> Result<(UnitKey, u16), Fault> {
    let (place, count) = at_equals(text)?;
    let (arm, pot) =
        units.target(place.trim()).ok_or_else(|| Fault::user("put-in-place-unknown").with("text", text))?;
    Ok((UnitKey { arm: arm.number, replicate: pot.map(str::to_owned) }, count))
}

fn at_equals(text: &str) -> Result<(&str, u16), Fault> {
    let (place, count) =
        text.rsplit_once('=').ok_or_else(|| Fault::user("put-in-without-equals").with("text", text))?;
    let count = count.trim().parse().ok().filter(|count| (1..=super::value::MOST).contains(count));
    let count = count.ok_or_else(|| Fault::user("put-in-not-a-number").with("text", text))?;
    Ok((place, count))
}

/// `ARM=how many`: the number of the arm and of what was removed there.
///
/// # Errors
/// When it is not so, or the trial has no such arm.
pub fn removed(text: &str, units: &TrialUnits) -> Result<(u8, u16), Fault> {
    let (label, count) =
        text.rsplit_once('=').ok_or_else(|| Fault::user("suckers-without-equals").with("text", text))?;
    let (arm, _) =
        units.target(label.trim()).ok_or_else(|| Fault::user("suckers-arm-unknown").with("text", text))?;
    let count = count.trim().parse();
    let count = count.map_err(|_| Fault::user("suckers-not-a-number").with("text", text))?;
    Ok((arm.number, count))
}

/// The place that a tag names, with or without the trial's code before it and a check character behind it.
fn of_tag(tag: &str, units: &TrialUnits) -> Result<String, CodeError> {
    let prefix = format!("{}-", units.trial);
    let known: Vec<String> = units.codes().map(|place| format!("{prefix}{place}")).collect();
    let code = code::read(tag, known.iter().map(String::as_str))?;
    Ok(code.strip_prefix(&prefix).unwrap_or(&code).to_owned())
}

/// Codes of all places, one a line.
fn places(units: &TrialUnits) -> String {
    let of = |arm: &ArmUnits| if arm.pots.is_empty() { vec![arm.label.clone()] } else { arm.pots.clone() };
    units.arms.iter().flat_map(of).collect::<Vec<_>>().join("\n")
}
