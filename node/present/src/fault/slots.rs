//! What words of faults need beside names and numbers: words of the trial's kind, lists, and why numbers cannot be.

use std::collections::BTreeMap;

use propagule_bench::dates::DayOrder;
use propagule_bench::doing::Doing;
use propagule_bench::kind::Kind;
use propagule_bench::spot::CareFault;
use propagule_bench::typed::tally::MARKS;
use propagule_bench::{Difference, FateFault, Gone, SeasonFault, Stage, State};
use propagule_evidence::Outcome;
use propagule_files::fault::Code;
use propagule_files::paste::pasteable;
use propagule_protocol::vocab::Missing;
use serde::de::DeserializeOwned;

use super::dates;
use crate::contradiction;
use crate::kind::KindWords;

type Params = BTreeMap<Code, String>;

/// Places in a hint beyond which only their number is given.
const MOST_PLACES: usize = 12;

/// How a reader writes a day, as a fault says it.
fn order(word: &String) -> DayOrder {
    if word == "month" { DayOrder::MonthFirst } else { DayOrder::DayFirst }
}

/// What stands in a slot such as `{kind:lead}`: a parameter, and how it is worded.
pub(super) fn filled(name: &str, how: &str, params: &Params) -> Option<String> {
    let kind = KindWords::of(kind(params));
    if name == "kind" {
        return of_kind(&kind, how, params);
    }
    let value = params.get(name)?;
    Some(match how {
        "places" => places(value),
        "sum" => sum(params),
        "places_of" => data::<Vec<(String, u16)>>(value)?
            .iter()
            .map(|(place, _)| place.as_str())
            .collect::<Vec<_>>()
            .join(", "),
        "miscounted" => {
            data::<Vec<(String, u16)>>(value)?.iter().map(miscounted).collect::<Vec<_>>().join(" ")
        }
        "doing" => doing(value)?.to_owned(),
        "left_open" => left_open(data(value)?).to_owned(),
        "name" => name_of(value)?.to_owned(),
        "date" => dates::question(&data(value)?, params.get("read_first").map_or(DayOrder::DayFirst, order)),
        "counted_as" => counted_as(&kind, Outcome::parse(value)?, params.get("stage")?)?,
        "at" => stage_at(value, &kind)?,
        "state" => kind.state(value),
        "entered" => contradiction::entered(value, &kind),
        "lines" => lines(&data::<Vec<u64>>(value)?),
        "lines_have" => lines_and(&data::<Vec<u64>>(value)?, "has", "have"),
        "lines_say" => lines_and(&data::<Vec<u64>>(value)?, "says", "say"),
        "or" => data::<Vec<String>>(value)?.join(" or "),
        "care" => care(&data(value)?),
        "either" => either(&data::<Vec<u32>>(value)?),
        "needed" => needed(value).to_owned(),
        "list" => data::<Vec<String>>(value)?.join(", "),
        "quoted" => quoted(&data::<Vec<String>>(value)?),
        "put_in" => put_in(value).to_owned(),
        "detail" => crate::kind::typed_key(value),
        "privacy" => if value == "private" { "private already" } else { "not private" }.to_owned(),
        "fate" => contradiction::fate(&data::<FateFault>(value)?, &kind),
        "season" => contradiction::season(&data::<SeasonFault>(value)?, &kind),
        "gone" => data::<Vec<Gone>>(value)?.iter().map(gone).collect::<Vec<_>>().join("; "),
        "differences" => data::<Vec<Difference>>(value)?
            .iter()
            .map(|one| difference(one, &kind))
            .collect::<Vec<_>>()
            .join("; "),
        _ => return None,
    })
}

/// `rooted at the lift count`, in the words of the kind where the fault names it.
fn counted_as(kind: &KindWords, outcome: Outcome, stage: &str) -> Option<String> {
    let stage = word_of::<Stage>(stage)?;
    Some(format!("{} at {}", kind.success(outcome).oked, kind.at(stage)))
}

/// What has to be said of a phrase that leaves something open.
fn left_open(missing: Missing) -> &'static str {
    match missing {
        Missing::Which => "that can mean several things",
        Missing::Strength => "how strong is it?",
        Missing::DipOrSoak => "were they dipped, or did they soak?",
        Missing::Heat => "how warm was it below?",
        Missing::PerCent => "how many per cent?",
        Missing::Years => "how many years?",
        Missing::Nodes => "how many nodes were taken off?",
        Missing::Date => "that is no stage of growth",
    }
}

fn data<T: DeserializeOwned>(value: &str) -> Option<T> {
    serde_json::from_str(value).ok()
}

fn word<T: DeserializeOwned>(params: &Params, name: &str) -> Option<T> {
    word_of(params.get(name)?)
}

fn word_of<T: DeserializeOwned>(word: &str) -> Option<T> {
    serde_json::from_value(serde_json::Value::String(word.to_owned())).ok()
}

/// The kind that a fault names; without one its words hold for all.
fn kind(params: &Params) -> Kind {
    word(params, "kind").unwrap_or(Kind::Mixed)
}

fn of_kind(kind: &KindWords, how: &str, params: &Params) -> Option<String> {
    Some(match how {
        "said" => match command(kind, params) {
            command if command.is_empty() => command,
            command => format!("{command}: "),
        },
        "lead" | "with" => kind.lead.to_owned(),
        "started" => kind.started.to_owned(),
        "many" => kind.plural().to_owned(),
        "only" => kind.only().to_owned(),
        "start_command" => kind.start_command.to_owned(),
        "typed_waiting" => kind.typed_green().to_owned(),
        "cell" => contradiction::cell(kind),
        "stage_cell" => contradiction::cell_at_a_stage(kind),
        "states" => contradiction::states(kind),
        "marks" => contradiction::marks(&MARKS, kind).join(", "),
        _ => return None,
    })
}

/// What was being entered: the count by its name for the kind, or the command that is named.
fn command(kind: &KindWords, params: &Params) -> String {
    let named = params.get("command").cloned();
    let of_stage = || word::<Stage>(params, "stage").map_or("check", |stage| kind.name(stage)).to_owned();
    named.unwrap_or_else(of_stage)
}

fn places(lines: &str) -> String {
    let all: Vec<&str> = lines.lines().collect();
    let shown = all.iter().take(MOST_PLACES).copied().collect::<Vec<_>>().join(", ");
    if all.len() > MOST_PLACES { format!("{shown}, \u{2026} ({} in all)", all.len()) } else { shown }
}

/// `"a", "b"`.
fn quoted(names: &[String]) -> String {
    names.iter().map(|name| format!("\"{name}\"")).collect::<Vec<_>>().join(", ")
}

/// `10 alive + 2 lost`.
fn sum(params: &Params) -> String {
    let number = |name: &str| params.get(name).map(String::as_str).unwrap_or_default();
    let others = [("dead", "dead"), ("lost", "lost"), ("not_known", "not seen")];
    let others = others.into_iter().map(|(name, word)| (number(name), word));
    let others = others.filter(|(count, _)| !matches!(*count, "" | "0"));
    let all = std::iter::once((number("alive"), "alive")).chain(others);
    all.map(|(count, word)| format!("{count} {word}")).collect::<Vec<_>>().join(" + ")
}

/// Why a number put in cannot be; what reads the line says the rest itself.
fn put_in(why: &str) -> &str {
    match why {
        "not-in-range" => "it is not a whole number from 1 to 10,000",
        "no-such-place" => "the trial has no such pot or treatment",
        "counted-by-pots" => "this treatment is counted pot by pot",
        said => said,
    }
}

/// How it is entered that fewer pieces were put into a place than was said.
fn miscounted((place, fewer): &(String, u16)) -> String {
    pasteable(&format!("{place}:lost={fewer},cause=miscounted"))
}

/// Half or more of a pot went at once: is it so?
fn gone(gone: &Gone) -> String {
    let Gone { place, before, after, .. } = gone;
    let what = match (gone.died, gone.lost) {
        (died, 0) => format!("{died} died"),
        (0, lost) => format!("{lost} lost"),
        (died, lost) => format!("{died} died and {lost} lost"),
    };
    format!("{place} {before} \u{2192} {after}: {what} at once?")
}

/// `P2: 11 then, 10 now`.
fn difference(difference: &Difference, kind: &KindWords) -> String {
    match difference {
        Difference::Count { place, of, then, now } => {
            let word = match of {
                State::Alive => String::new(),
                State::Rooted => format!(" {}", kind.ok),
                State::Dead => " dead".to_owned(),
                State::Lost => " lost".to_owned(),
            };
            let told = |count: &Option<u16>, word: &str| {
                count.map_or("not counted".to_owned(), |count| format!("{count}{word}"))
            };
            format!(
                "{place}: {} then, {} now",
                told(then, &word),
                told(now, if then.is_none() { &word } else { "" })
            )
        }
        Difference::BesideNumbers { place } => format!("{place}: something beside the numbers differs"),
        Difference::Place { place } => format!("{place} differs"),
        Difference::NoFit => "the numbers do not fit what was left then".to_owned(),
        Difference::Spot { then, now } => {
            let told = |spot: &Option<String>| spot.clone().unwrap_or_else(|| "another bench".to_owned());
            format!("to {} then, to {} now", told(then), told(now))
        }
        Difference::Arms => "other treatments then".to_owned(),
        Difference::Facets => "something else differed from then on".to_owned(),
        Difference::Left { pieces_then, how_then, at_grade_then, pieces, how, at_grade } => {
            let grade = |at_grade: &bool| if *at_grade { "" } else { " unfinished" };
            format!(
                "{pieces_then} {how_then}{} then, {pieces} {how}{} now",
                grade(at_grade_then),
                grade(at_grade)
            )
        }
    }
}

/// `lift`, `the take count`, `check`.
fn stage_at(stage: &str, kind: &KindWords) -> Option<String> {
    if stage == "check" {
        return Some("check".to_owned());
    }
    let stage = word_of::<Stage>(stage)?;
    Some(kind.name(stage).to_owned())
}

/// `lines 5 and 6`, `line 4`, `lines 5, 6, 7 and 12 more`.
fn lines(numbers: &[u64]) -> String {
    let words: Vec<String> = numbers.iter().take(3).map(u64::to_string).collect();
    match (numbers.len(), words.split_last()) {
        (1, _) => format!("line {}", numbers[0]),
        (2 | 3, Some((last, first))) => format!("lines {} and {last}", first.join(", ")),
        (many, _) => format!("lines {} and {} more", words.join(", "), many.saturating_sub(3)),
    }
}

fn lines_and(numbers: &[u64], one: &str, many: &str) -> String {
    format!("{} {}", lines(numbers), if numbers.len() == 1 { one } else { many })
}

/// `23, 24 or 25`.
fn either(counts: &[u32]) -> String {
    let words: Vec<String> = counts.iter().map(u32::to_string).collect();
    match words.split_last() {
        Some((last, first)) if words.len() > 5 => format!("{} to {last}", first[0]),
        Some((last, first)) => format!("{} or {last}", first.join(", ")),
        None => String::new(),
    }
}

/// What a grower was about: a command, or what could not be done.
fn doing(doing: &str) -> Option<&'static str> {
    let doing = Doing::ALL.into_iter().find(|known| known.to_string() == doing)?;
    Some(match doing {
        Doing::SettingUp => "cannot set up the trial",
        Doing::PuttingIn => "cannot start the trial",
        Doing::Correcting => "correct",
        Doing::Moving => "move",
        Doing::Spot => "bench",
        Doing::Stock => "stock plant",
        Doing::Plant => "plant",
    })
}

/// What bears a name that a grower gives.
fn name_of(what: &str) -> Option<&'static str> {
    Some(match what {
        "place" => "a place",
        "grower" => "a grower",
        "stock-plant" => "a stock plant",
        "spot" => "a bench",
        _ => return None,
    })
}

/// What a needed column of trials says.
fn needed(column: &str) -> &'static str {
    match column {
        "trial" => "the code of the trial",
        "species" => "the plant",
        "started" => "the number started",
        _ => "the day on which it was started",
    }
}

/// Why care of a spot is not understood.
fn care(fault: &CareFault) -> String {
    match fault {
        CareFault::Empty => "nothing is written down of it".to_owned(),
        CareFault::KindUnknown => "there is nothing of that kind to log".to_owned(),
        CareFault::MistWithoutEvery => "it needs the word `every`".to_owned(),
        CareFault::FiringOutOfRange { seconds } => {
            format!("one mist cycle of {seconds} s; 0.5 to 120 s can be entered")
        }
        CareFault::IntervalOutOfRange { minutes } => {
            format!("every {minutes} min; 0.2 to 240 min can be entered")
        }
        CareFault::NotASpan { text } => format!("`{text}` is not a span of time"),
        CareFault::TimeUnitUnknown { unit } => format!("`{unit}` is not a unit of time; use s, min or h"),
        CareFault::NotHoursOfDay { text } => format!("`{text}` are not hours of the day such as 07:00-20:00"),
        CareFault::NotAShareOfLight { text } => {
            format!("`{text}` is not a share of light such as \"40% blocked\" or \"60% let through\"")
        }
        CareFault::BlockedOrLetThrough { share } => format!("{share}%: blocked, or let through?"),
        CareFault::NotATemperature { why } => why.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_many_places_twelve_are_named() {
        let lines = (1..=14).map(|n| format!("P{n}")).collect::<Vec<_>>().join("\n");
        assert!(places(&lines).ends_with("P12, \u{2026} (14 in all)"));
        assert_eq!(places("P1\nP2"), "P1, P2");
    }

    #[test]
    fn lines_and_numbers_are_listed_as_they_are_said() {
        assert_eq!(lines_and(&[4], "has", "have"), "line 4 has");
        assert_eq!(lines_and(&[5, 6], "has", "have"), "lines 5 and 6 have");
        assert_eq!(lines(&[5, 6, 7, 8]), "lines 5, 6, 7 and 1 more");
        assert_eq!(either(&[23, 24, 25]), "23, 24 or 25");
        assert_eq!(either(&[1, 2, 3, 4, 5, 6]), "1 to 6");
    }
}
