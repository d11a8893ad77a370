//! Hormones as growers buy and use them: the label's strength, how far it was thinned, and for how long.

use super::said::{AtHome, Heard, HomeDetail, Missing, Said};
use crate::code::Code;
use crate::record::Auxin;
use crate::vocab::Facet;
use crate::vocab::auxin::{self, POWDER, QUICK_DIP, SOAK};
use crate::vocab::quantity::{leading_number, shown, two_readings};
use crate::vocab::set::Refused;

/// Substances that come from the kitchen or the garden: nobody knows their strength, and they are dipped or soaked.
const HOMEMADE: std::ops::RangeInclusive<u8> = 9..=12;

/// How a hormone was used, beside what it is.
#[derive(Default)]
struct Use {
    /// One part in how many.
    thinned: Option<f64>,
    time: Option<(f64, Time)>,
}

#[derive(Clone, Copy, PartialEq)]
enum Time {
    Seconds,
    Minutes,
    Hours,
}

/// Understands a hormone; `None` where the plain reading will do. A strength of which nobody can say whether its point or
/// comma parts thousands is asked about, unless one of the two cannot be.
pub(super) fn hear(text: &str) -> Result<Option<Heard>, Refused> {
    let Some(readings) = strengths(text) else { return hear_plain(text) };
    let heard = readings.map(|typed| {
        let heard = hear_plain(&typed)?;
        auxin_words(heard.unwrap_or_else(|| Heard::Understood(Said::of(Facet::Auxin, typed))))
    });
    match heard {
        [Ok(decimal), Ok(thousands)] => {
            Ok(Some(Heard::Asked { missing: Missing::Which, choices: [decimal, thousands].concat() }))
        }
        [Ok(_), Err(_)] => hear_plain(&with_points(text)),
        // What cannot be either way is refused by what stands there.
        [Err(refused), Err(_)] => Err(refused),
        [Err(_), Ok(mut choices)] if choices.len() == 1 => Ok(choices.pop().map(Heard::Understood)),
        [Err(_), Ok(choices)] => Ok(Some(Heard::Asked { missing: Missing::Which, choices })),
    }
}

/// What was meant, each in the words of the list; refused where none of it can be.
fn auxin_words(heard: Heard) -> Result<Vec<Said>, Refused> {
    let said = match heard {
        Heard::Understood(said) => vec![said],
        Heard::Asked { choices, .. } => choices,
    };
    let words = |mut said: Said| {
        for (_, words) in said.facets.iter_mut().filter(|(facet, _)| *facet == Facet::Auxin) {
            *words = auxin::word(&auxin::read(words)?);
        }
        Ok(said)
    };
    said.into_iter().map(words).collect()
}

/// The text by both readings of its strengths: with a decimal point, and with thousands. None where there is but one.
fn strengths(text: &str) -> Option<[String; 2]> {
    let readings = [0, 1].map(|reading| with_strengths(text, |both| shown(both[reading])));
    (readings[0] != readings[1]).then_some(readings)
}

/// The text with a point for each decimal comma.
fn with_points(text: &str) -> String {
    with_strengths(text, |[decimal, _]| shown(decimal))
}

/// The text with other numbers for strengths that can be read in two ways. What is a time or a share of water stays.
fn with_strengths(text: &str, number: impl Fn([f64; 2]) -> String) -> String {
    let words: Vec<&str> = text.split(' ').collect();
    let is_time = |unit: &str| Time::of(unit.trim_end_matches([',', ')']).to_lowercase().as_str()).is_some();
    let said = words.iter().enumerate().map(|(at, word)| {
        let start = word.find(|c: char| c.is_ascii_digit()).unwrap_or(word.len());
        let (before, figure) = word.split_at(start);
        let length =
            figure.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ','))).unwrap_or(figure.len());
        let bare = figure[..length].trim_end_matches(['.', ',']);
        let unit = &figure[bare.len()..];
        let next = if unit.is_empty() { words.get(at + 1).copied().unwrap_or_default() } else { unit };
        let is_strength = matches!(before, "" | "(") && !is_time(next) && !unit.starts_with(['x', ':', '/']);
        match two_readings(bare).filter(|_| is_strength) {
            Some(both) => format!("{before}{}{unit}", number(both)),
            None => (*word).to_owned(),
        }
    });
    said.collect::<Vec<_>>().join(" ")
}

/// Understands a hormone whose numbers can be read in one way.
fn hear_plain(text: &str) -> Result<Option<Heard>, Refused> {
    if is_number_of_a_maker(text) {
        let powder = Said::of(Facet::Auxin, "powder, strength unknown");
        return Ok(Some(Heard::Asked { missing: Missing::Strength, choices: vec![powder] }));
    }
    let (rest, used) = taken_apart(text);
    let mut auxins = auxin::read_thinned(&rest, used.thinned)?;
    let is_thinned = used.thinned.is_some();
    if is_thinned && auxins.iter().any(|auxin| auxin.form == POWDER) {
        return Err(Refused::because("a powder is not thinned with water".to_owned()));
    }
    if is_thinned && auxins.iter().all(|auxin| auxin.dose.is_none()) {
        let unknown = Said::of(Facet::Auxin, auxin::word(&auxins));
        return Ok(Some(Heard::Asked { missing: Missing::Strength, choices: vec![unknown] }));
    }
    if auxins.iter().all(|auxin| HOMEMADE.contains(&auxin.substance.0) && auxin.form == Code::UNKNOWN) {
        return Ok(Some(dip_or_soak(&auxins, None)));
    }
    let Some((number, time)) = used.time else {
        return Ok(is_thinned.then(|| Heard::Understood(Said::of(Facet::Auxin, auxin::word(&auxins)))));
    };
    let kept = AtHome { detail: time.detail(), text: shown(number) };
    let is_open = auxins.iter().any(|auxin| auxin.form == Code::UNKNOWN);
    let says_other =
        |form: Code| auxins.iter().any(|auxin| [QUICK_DIP, SOAK].contains(&auxin.form) && auxin.form != form);
    match time.form(number) {
        // A dip of five hours, or a soak of five seconds: one of the two is a slip.
        Some(form) if says_other(form) => {
            for auxin in auxins.iter_mut().filter(|auxin| [QUICK_DIP, SOAK].contains(&auxin.form)) {
                auxin.form = Code::UNKNOWN;
            }
            return Ok(Some(dip_or_soak(&auxins, Some(&kept))));
        }
        Some(form) => with_form(&mut auxins, form),
        None if is_open => return Ok(Some(dip_or_soak(&auxins, Some(&kept)))),
        None => {}
    }
    let said = Said { facets: vec![(Facet::Auxin, auxin::word(&auxins))], at_home: vec![kept] };
    Ok(Some(Heard::Understood(said)))
}

/// `#1`, `no. 2 powder`: each maker's numbers mean another strength.
fn is_number_of_a_maker(text: &str) -> bool {
    let lower = text.to_lowercase().replace('#', "no ");
    let words: Vec<&str> = lower
        .split([' ', '.'])
        .filter(|word| !matches!(*word, "" | "powder" | "hormone" | "rooting" | "talc"))
        .collect();
    matches!(words.as_slice(), ["no" | "number", number] if number.len() == 1 && number.parse::<u8>().is_ok())
}

fn with_form(auxins: &mut [Auxin], form: Code) {
    for auxin in auxins.iter_mut().filter(|auxin| auxin.form == Code::UNKNOWN) {
        auxin.form = form;
    }
}

fn dip_or_soak(auxins: &[Auxin], kept: Option<&AtHome>) -> Heard {
    let as_form = |form| {
        let mut auxins = auxins.to_vec();
        with_form(&mut auxins, form);
        let facets = vec![(Facet::Auxin, auxin::word(&auxins))];
        Said { facets, at_home: kept.into_iter().cloned().collect() }
    };
    Heard::Asked { missing: Missing::DipOrSoak, choices: vec![as_form(SOAK), as_form(QUICK_DIP)] }
}

impl Time {
    fn of(unit: &str) -> Option<Self> {
        Some(match unit {
            "s" | "sec" | "secs" | "second" | "seconds" => Self::Seconds,
            "min" | "mins" | "minute" | "minutes" => Self::Minutes,
            "h" | "hr" | "hrs" | "hour" | "hours" => Self::Hours,
            _ => return None,
        })
    }

    fn detail(self) -> HomeDetail {
        match self {
            Self::Seconds => HomeDetail::Seconds,
            Self::Minutes => HomeDetail::Minutes,
            Self::Hours => HomeDetail::Hours,
        }
    }

    /// Seconds are a dip and hours a soak; minutes are either.
    fn form(self, number: f64) -> Option<Code> {
        let seconds = number
            * if self == Self::Hours {
                3600.0
            } else if self == Self::Minutes {
                60.0
            } else {
                1.0
            };
        match seconds {
            ..=120.0 => Some(QUICK_DIP),
            3600.0.. => Some(SOAK),
            _ => None,
        }
    }
}

/// What a hormone is, and how it was used.
fn taken_apart(text: &str) -> (String, Use) {
    let lower = text.to_lowercase().replace('\u{d7}', "x");
    // A comma ends a word, but for one within a number.
    let spaced = lower.replace(", ", " ");
    let words: Vec<&str> = spaced.split_whitespace().map(|word| word.trim_end_matches(',')).collect();
    let (mut left, mut used, mut at) = (Vec::new(), Use::default(), 0);
    while at < words.len() {
        let here = &words[at..];
        if let Some((parts, length)) = thinned(here) {
            used.thinned = Some(parts);
            at += length;
        } else if let Some((time, length)) = timed(here) {
            used.time = Some(time);
            at += length;
        } else {
            left.push(here[0]);
            at += 1;
        }
    }
    left.retain(|word| *word != "for");
    (left.join(" "), used)
}

/// One part in how many, and the words that say so: `1:10` and `1 to 10` are one in eleven, `1 in 10` and `10x` in ten.
fn thinned(words: &[&str]) -> Option<(f64, usize)> {
    let more = |text: &str| text.parse::<u16>().ok().filter(|parts| *parts > 0).map(f64::from);
    match *words {
        ["1", "part", "to", parts, "parts" | "part", "water", ..] => Some((more(parts)? + 1.0, 6)),
        ["1", "part", "to", parts, "parts" | "part", ..] => Some((more(parts)? + 1.0, 5)),
        ["1", "to", parts, ..] => Some((more(parts)? + 1.0, 3)),
        ["1", "in", parts, ..] => Some((more(parts)?, 3)),
        [word, ..] => {
            let beside = word.strip_prefix("1:").and_then(more).map(|parts| parts + 1.0);
            let among = word.strip_suffix('x').or_else(|| word.strip_prefix("1/")).and_then(more);
            beside.or(among).map(|parts| (parts, 1))
        }
        [] => None,
    }
}

/// A time and how many words it takes: `5 s`, `5s`.
fn timed(words: &[&str]) -> Option<((f64, Time), usize)> {
    let (number, unit) = leading_number(words.first()?)?;
    let (unit, length) = if unit.is_empty() { (*words.get(1)?, 2) } else { (unit, 1) };
    Some(((number, Time::of(unit)?), length)).filter(|((number, _), _)| *number > 0.0)
}
