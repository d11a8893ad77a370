//! Auxins: substance, form and strength. Solutions count in mg/L, powders in mg/kg.

use super::codes::{AUXIN_FORM, SUBSTANCE};
use super::list::{self, folded};
use super::quantity::{leading_number, shown};
use super::set::Refused;
use crate::limits::{AUXINS, DOSE_MAX};
use crate::record::{Auxin, Code};

const NO_SUBSTANCE: Code = Code(6);
pub(super) const POWDER: Code = Code(2);
pub(super) const QUICK_DIP: Code = Code(4);
pub(super) const SOAK: Code = Code(5);
const NO_FORM: Code = Code(8);
const CARRIER_ONLY: Code = Code(9);
/// Strongest long soak in mg/L (trials of 20 to 1,000 are usual).
const SOAK_MAX: f64 = 2_000.0;

/// No auxin at all.
pub(super) const NONE: Auxin = Auxin { substance: NO_SUBSTANCE, form: NO_FORM, dose: Some(0) };
/// An auxin of which nothing is known.
const UNKNOWN: Auxin = Auxin { substance: Code::UNKNOWN, form: Code::UNKNOWN, dose: None };
/// Talc or solvent without auxin.
const CARRIER: Auxin = Auxin { substance: NO_SUBSTANCE, form: CARRIER_ONLY, dose: Some(0) };

pub(super) fn word(auxins: &[Auxin]) -> String {
    auxins.iter().copied().map(one_word).collect::<Vec<_>>().join(" + ")
}

fn one_word(auxin: Auxin) -> String {
    match auxin {
        NONE => return "none".to_owned(),
        CARRIER => return "carrier only".to_owned(),
        UNKNOWN => return "unknown".to_owned(),
        _ => {}
    }
    let method = match (auxin.substance, auxin.form) {
        (Code::UNKNOWN, Code::UNKNOWN) => "unknown".to_owned(),
        (substance, Code::UNKNOWN) => list::word(SUBSTANCE, substance),
        (Code::UNKNOWN, form) => list::word(AUXIN_FORM, form),
        (substance, form) => format!("{} {}", list::word(SUBSTANCE, substance), list::word(AUXIN_FORM, form)),
    };
    match auxin.dose {
        Some(dose) => format!("{method} {dose} {}", unit(auxin.form)),
        None => format!("{method}, strength unknown"),
    }
}

/// The unit in which the strength of a form is written.
pub(super) fn unit(form: Code) -> &'static str {
    if form == POWDER { "mg/kg" } else { "mg/L" }
}

/// Reads what [`word`] prints, and `0.3 % IBA powder`, `IBA 3000 ppm quick dip`, `none`.
pub(super) fn read(text: &str) -> Result<Vec<Auxin>, Refused> {
    read_thinned(text, None)
}

/// Reads auxins of which the label's strength is told, thinned to one part in so many.
pub(super) fn read_thinned(text: &str, parts: Option<f64>) -> Result<Vec<Auxin>, Refused> {
    let auxins = text.split(['+', ';']).map(|auxin| one(auxin, parts)).collect::<Result<Vec<_>, _>>()?;
    if auxins.len() > AUXINS {
        return Err(Refused::because(format!("more than {AUXINS} auxins")));
    }
    Ok(auxins)
}

fn one(text: &str, parts: Option<f64>) -> Result<Auxin, Refused> {
    let words = folded(text);
    match words.as_str() {
        "none" | "no" | "no auxin" | "no hormone" | "nothing" | "control" | "untreated" | "without" => {
            return Ok(NONE);
        }
        "unknown" => return Ok(UNKNOWN),
        _ => {}
    }
    if list::code(AUXIN_FORM, text) == Some(CARRIER_ONLY) {
        return Ok(CARRIER);
    }
    let (rest, strength) = take_strength(text)?;
    let (rest, form) = take_form(&rest);
    let substance = substance(&rest, form)?;
    let dose = strength.map(|s| s.thinned(parts).in_unit_of(form)).transpose()?;
    Ok(Auxin { substance, form, dose })
}

fn substance(rest: &str, form: Code) -> Result<Code, Refused> {
    const FILLERS: [&str; 6] = ["of", "in", "with", "as", "rooting", "hormone"];
    let words = rest.split([' ', ',']).filter(|word| !word.is_empty() && !FILLERS.contains(word));
    let name = words.collect::<Vec<_>>().join(" ");
    if name.is_empty() && form != Code::UNKNOWN {
        return Ok(Code::UNKNOWN);
    }
    list::code(SUBSTANCE, &name).ok_or_else(|| Refused::unlisted(SUBSTANCE, &name))
}

/// A strength as typed.
struct Strength {
    number: f64,
    unit: Unit,
}

#[derive(Clone, Copy, PartialEq)]
enum Unit {
    Percent,
    Ppm,
    PerLitre,
    PerKilogram,
    GramsPerLitre,
}

impl Unit {
    /// Longest spellings first, so that `mg/kg` is not read as `mg`.
    const SPELLINGS: [(&'static str, Self); 11] = [
        ("per cent", Self::Percent),
        ("percent", Self::Percent),
        ("%", Self::Percent),
        ("ppm", Self::Ppm),
        ("mg/kg", Self::PerKilogram),
        ("mg/l", Self::PerLitre),
        ("mg l-1", Self::PerLitre),
        ("g/l", Self::GramsPerLitre),
        ("mg per litre", Self::PerLitre),
        ("mg per kg", Self::PerKilogram),
        ("mg per liter", Self::PerLitre),
    ];

    fn word(self) -> &'static str {
        match self {
            Self::Percent => "%",
            Self::Ppm => "ppm",
            Self::PerLitre => "mg/L",
            Self::PerKilogram => "mg/kg",
            Self::GramsPerLitre => "g/L",
        }
    }
}

/// Takes the strength out of a text: what is left, and the strength if one is stated.
fn take_strength(text: &str) -> Result<(String, Option<Strength>), Refused> {
    let lower = text.to_lowercase();
    let unknown = ["strength unknown", "unknown strength"].into_iter().find(|phrase| lower.contains(phrase));
    if let Some(phrase) = unknown {
        return Ok((lower.replacen(phrase, " ", 1).replace(',', " "), None));
    }
    let Some(start) = number_start(&lower) else { return Ok((lower, None)) };
    let (number, after) =
        leading_number(&lower[start..]).ok_or_else(|| Refused::because("an unclear number".to_owned()))?;
    let unit = Unit::SPELLINGS.into_iter().find(|(spelling, _)| after.starts_with(spelling));
    let Some((spelling, unit)) = unit else {
        // Nobody sells 3,000 %, and a label says 0.3 % rather than 0.3 mg/L.
        let units: &[Unit] = if number > 5.0 {
            &[Unit::PerLitre, Unit::PerKilogram]
        } else {
            &[Unit::Percent, Unit::PerLitre, Unit::PerKilogram]
        };
        let meant = units.iter().map(|unit| format!("{} {}", shown(number), unit.word())).collect();
        return Err(Refused { why: "the strength needs a unit".to_owned(), suggestions: meant });
    };
    let rest = format!("{} {}", &lower[..start], &after[spelling.len()..]);
    Ok((rest, Some(Strength { number, unit })))
}

/// A number that starts a word, so that the 3 of a substance's name is passed over.
fn number_start(text: &str) -> Option<usize> {
    let starts_word = |at: usize| at == 0 || text[..at].ends_with([' ', '(', ',']);
    let mut digits = text.char_indices().filter(|(at, c)| c.is_ascii_digit() && starts_word(*at));
    digits.find(|(at, _)| leading_number(&text[*at..]).is_some()).map(|(at, _)| at)
}

fn take_form(rest: &str) -> (String, Code) {
    let words = format!(" {} ", folded(rest));
    let mut spellings: Vec<(String, &str)> =
        AUXIN_FORM.iter().flat_map(|(w, others)| others.iter().chain([w]).map(|s| (folded(s), *w))).collect();
    spellings.sort_by_key(|(spelling, _)| std::cmp::Reverse(spelling.len()));
    for (spelling, word) in spellings {
        if words.contains(&format!(" {spelling} ")) {
            let left = words.replacen(&format!(" {spelling} "), " ", 1);
            return (left, list::code(AUXIN_FORM, word).expect("the word is listed"));
        }
    }
    (words, Code::UNKNOWN)
}

impl Strength {
    /// As it was used: one part of what was bought in so many. Nobody measures more than two digits of that.
    fn thinned(self, parts: Option<f64>) -> Self {
        let Some(parts) = parts else { return self };
        let number = self.number / parts;
        let step = 10_f64.powf(number.abs().log10().floor() - 1.0);
        Self { number: if number == 0.0 { 0.0 } else { (number / step).round() * step }, unit: self.unit }
    }

    fn in_unit_of(&self, form: Code) -> Result<u16, Refused> {
        self.check_unit(form)?;
        let amount = match self.unit {
            Unit::Percent => self.number * 10_000.0,
            Unit::GramsPerLitre => self.number * 1_000.0,
            Unit::Ppm | Unit::PerLitre | Unit::PerKilogram => self.number,
        };
        if amount > 0.0 && amount < 0.5 {
            return Err(self.too_weak(form));
        }
        let limit = if form == SOAK { SOAK_MAX } else { f64::from(DOSE_MAX) };
        if (0.0..=limit).contains(&amount) {
            Ok(amount.round() as u16)
        } else {
            Err(self.too_strong(form, limit))
        }
    }

    /// mg/kg is for powders only, and powders are never mg/L.
    fn check_unit(&self, form: Code) -> Result<(), Refused> {
        let wrong = match (form == POWDER, self.unit) {
            (true, Unit::PerLitre | Unit::GramsPerLitre) => "a powder is measured in mg/kg or %",
            (false, Unit::PerKilogram) => "only a powder is measured in mg/kg",
            _ => return Ok(()),
        };
        let meant = format!("{} {}", shown(self.number), unit(form));
        Err(Refused { why: wrong.to_owned(), suggestions: vec![meant] })
    }

    /// Less than the record's unit: a per cent taken for a ppm, most likely.
    fn too_weak(&self, form: Code) -> Refused {
        let why = format!("{} {} is less than 1 {}", shown(self.number), self.unit.word(), unit(form));
        Refused { why, suggestions: vec![format!("{} %", shown(self.number))] }
    }

    fn too_strong(&self, form: Code, limit: f64) -> Refused {
        let stated = format!("{} {}", shown(self.number), self.unit.word());
        let why = format!("{stated} is not from 0 to {limit} {}", unit(form));
        let meant = (0.0..=limit).contains(&self.number) && self.unit == Unit::Percent;
        let suggestions =
            if meant { vec![format!("{} {}", shown(self.number), unit(form))] } else { Vec::new() };
        Refused { why, suggestions }
    }
}
