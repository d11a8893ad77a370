//! Headings of a grower's own table, and the columns they stand for.

use std::collections::{BTreeMap, BTreeSet};

use propagule_protocol::vocab::{Dialect, hear};
use propagule_protocol::{Facet, Facets};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::columns::{self, CHECK, UNUSED};
use super::sheet::Line;
use super::usual::{BARE_NUMBERS, by_name};
use propagule_bench::Stage;
use propagule_bench::dates;
use propagule_bench::dates::{DateQuestion, Reading};

/// How it is known what a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Told {
    /// By its heading.
    #[serde(rename = "by name")]
    Name,
    /// By what stands in it.
    #[serde(rename = "by content")]
    Content,
    /// The grower said so.
    #[serde(rename = "by you")]
    You,
    /// As for the last table with these headings.
    #[serde(rename = "as last time")]
    LastTime,
    /// It is not used.
    #[serde(rename = "unused")]
    Unused,
}

/// What a column was taken for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taken {
    /// As typed.
    pub heading: String,
    /// Its place, from 0.
    pub index: usize,
    /// The column that it stands for.
    pub name: String,
    /// How that is known.
    pub told: Told,
    /// The day that the heading names, as typed.
    pub day: Option<String>,
    /// Whether its numbers are shares of the propagules started.
    pub is_per_cent: bool,
}

/// What was said of headings: now, and for the last table that had the same.
#[derive(Clone, Copy, Debug)]
pub(super) struct Said<'a> {
    pub(super) now: &'a BTreeMap<String, String>,
    pub(super) before: &'a BTreeMap<String, String>,
    pub(super) constants: &'a BTreeMap<String, String>,
    pub(super) one_piece: bool,
}

/// The line of headings, by its place: the first that looks like one.
pub(super) fn line_of(lines: &[Line], said: Said<'_>) -> usize {
    let filled = |line: &Line| line.cells.iter().filter(|cell| !cell.is_blank()).count();
    let known = |line: &Line| {
        let is_known = |text: &str| said_of(text, said).is_some() || by_name(text).is_some();
        line.cells.iter().filter(|cell| !cell.is_blank() && is_known(&cell.text)).count()
    };
    let first = lines.iter().position(|line| !line.is_blank()).unwrap_or(0);
    let near = || lines.iter().enumerate().skip(first).take(30);
    let like = near().find(|(_, line)| filled(line) >= 2).map_or(first, |(at, _)| at);
    if known(&lines[like]) > 0 || known(&lines[first]) > 0 {
        return if known(&lines[first]) > 0 { first } else { like };
    }
    near().find(|(_, line)| known(line) >= 2).map_or(like, |(at, _)| at)
}

/// What each column is taken for.
pub(super) fn columns(heading: &Line, rows: &[Line], said: Said<'_>) -> Vec<Taken> {
    let mut taken: Vec<Taken> = heading
        .cells
        .iter()
        .enumerate()
        .map(|(index, cell)| read(&cell.text, index, &Values { rows, index }, said))
        .collect();
    settle_bare_numbers(&mut taken, rows);
    settle_claims(&mut taken);
    for column in &mut taken {
        if column.told == Told::Unused && !column.heading.is_empty() {
            let values = Values { rows, index: column.index };
            if let Some(facet) = values.facet() {
                (column.name, column.told) = (facet.name().to_owned(), Told::Content);
            }
        }
    }
    settle_claims(&mut taken);
    taken
}

/// A bare `No.` is the number started, unless another column says that or it holds other than numbers: then it tells the
/// trials apart, or where another column does that, it counts the rows.
fn settle_bare_numbers(taken: &mut [Taken], rows: &[Line]) {
    let is_bare = |column: &Taken| {
        column.told == Told::Name
            && column.name == "started"
            && BARE_NUMBERS.contains(&plain(&column.heading).as_str())
    };
    for at in 0..taken.len() {
        let says = |name: &str| {
            let mut others = taken.iter().enumerate().filter(|(other, _)| *other != at);
            others.any(|(_, column)| column.name == name)
        };
        let values = Values { rows, index: taken[at].index };
        if !is_bare(&taken[at]) || !(says("started") || values.are_no_numbers()) {
            continue;
        }
        let (name, told) = if says("trial") { (UNUSED, Told::Unused) } else { ("trial", Told::Name) };
        (taken[at].name, taken[at].told) = (name.to_owned(), told);
    }
}

/// No column is claimed twice: what the grower said goes first, then a column's own name, then the first.
fn settle_claims(taken: &mut [Taken]) {
    let known: BTreeSet<String> = columns::known().into_iter().collect();
    let rank = |column: &Taken| match column.told {
        Told::You => 0,
        Told::LastTime => 1,
        Told::Name if known.contains(&plain(&column.heading)) => 2,
        Told::Name => 3,
        Told::Content => 4,
        Told::Unused => 5,
    };
    let mut order: Vec<usize> = (0..taken.len()).collect();
    order.sort_by_key(|at| rank(&taken[*at]));
    let mut claimed = BTreeSet::new();
    for at in order {
        let column = &mut taken[at];
        // Two columns of a column's own name are a slip of the table, which is told apart.
        let is_double =
            !column.name.starts_with(CHECK) && column.name != UNUSED && !claimed.insert(column.name.clone());
        let is_guess = matches!(rank(column), 3 | 4);
        if is_double && is_guess {
            if count_with_day(column) {
                let what = column.name.rsplit('_').next().unwrap_or_default();
                column.name = format!("{CHECK}_{what}");
            } else {
                (column.name, column.told) = (UNUSED.to_owned(), Told::Unused);
            }
        }
    }
}

fn count_with_day(column: &Taken) -> bool {
    column.day.is_some()
        && columns::count_of(&column.name)
            .is_some_and(|(_, what)| matches!(what, "rooted" | "alive" | "dead" | "lost"))
}

fn read(heading: &str, index: usize, values: &Values<'_>, said: Said<'_>) -> Taken {
    let (bare, is_per_cent) = without_per_cent(heading);
    let dated = day_in(&bare);
    let day = dated.as_ref().map(|(_, day)| day.clone());
    let taken = |name: &str, told: Told| Taken {
        heading: heading.to_owned(),
        index,
        name: name.to_owned(),
        told,
        day: day.clone(),
        is_per_cent,
    };
    if let Some((name, told)) = said_of(heading, said) {
        return taken(&name, if name == UNUSED { Told::Unused } else { told });
    }
    if heading.is_empty() {
        return taken(UNUSED, Told::Unused);
    }
    if plain(&bare) == "stock" {
        return taken(if said.one_piece { "piece" } else { "stock_plant" }, Told::Name);
    }
    if let Some(name) = by_name(&bare) {
        return taken(&by_content(&name, values), Told::Name);
    }
    // Growers' names of details are common words, so what stands below has to be of that detail.
    if let Some(facet) = Facet::called(&bare).filter(|facet| values.are_of(*facet)) {
        return taken(facet.name(), Told::Name);
    }
    let Some((word, _)) = dated else { return taken(UNUSED, Told::Unused) };
    let outcome = by_name(&word).filter(|name| columns::count_of(name).is_some());
    match outcome {
        // Alive, dead and lost on a day are a check; an outcome on a day is the stage that has it.
        Some(name) if ["alive", "dead", "lost"].iter().any(|what| name == format!("lift_{what}")) => {
            taken(&name.replace("lift_", "check_"), Told::Name)
        }
        Some(name) => taken(&name, Told::Name),
        None if word.is_empty() => {
            let stage = day.as_deref().and_then(|day| stage_on(day, said.constants));
            stage.map_or_else(|| taken(CHECK, Told::Name), |stage| taken(lead(stage), Told::Name))
        }
        None => taken(UNUSED, Told::Unused),
    }
}

/// The column of a stage's lead outcome.
pub(super) fn lead(stage: Stage) -> &'static str {
    match stage {
        Stage::Lift => "lift_rooted",
        Stage::Season => "season_rooted",
        Stage::Spring => "spring_rooted",
        Stage::Final => "final_finished",
    }
}

/// The stage whose day was set to one that this heading holds.
fn stage_on(heading: &str, constants: &BTreeMap<String, String>) -> Option<Stage> {
    Stage::ALL.into_iter().find(|stage| {
        let Some(day) = constants.get(&columns::of_stage(*stage, "on")) else { return false };
        let Ok(day) = dates::read(day, Reading::default()) else { return false };
        let year = Some(day.first.year());
        let holds = |order| {
            dates::read(heading, Reading { order, year })
                .is_ok_and(|when| when.first <= day.first && day.last <= when.last)
        };
        holds(None)
    })
}

fn said_of(heading: &str, said: Said<'_>) -> Option<(String, Told)> {
    let find = |map: &BTreeMap<String, String>| {
        map.iter().find(|(from, _)| plain(from) == plain(heading)).map(|(_, to)| to.clone())
    };
    find(said.now)
        .map(|name| (name, Told::You))
        .or_else(|| find(said.before).map(|name| (name, Told::LastTime)))
}

/// The same word names a number or a day: what stands below decides.
fn by_content(name: &str, values: &Values<'_>) -> String {
    let is_day = || values.are_days();
    match name {
        "started" if is_day() => "started_on".to_owned(),
        _ => match columns::count_of(name) {
            Some((stage, what)) if matches!(what, "rooted" | "finished") && is_day() => {
                columns::of_stage(stage, "on")
            }
            _ => name.to_owned(),
        },
    }
}

/// Without `%` or "per cent", and whether one stood there.
fn without_per_cent(heading: &str) -> (String, bool) {
    let lower = heading.to_lowercase();
    let mut bare = lower.clone();
    for sign in ["per cent", "percent", "pct", "%"] {
        bare = bare.replace(sign, " ");
    }
    let is_per_cent = bare != lower;
    let bare = bare.replace(['(', ')'], " ").split_whitespace().collect::<Vec<_>>().join(" ");
    if is_per_cent { (bare, true) } else { (heading.trim().to_owned(), false) }
}

/// The word and the day of a heading such as `Rooted 23-Aug`; no word where it is a day alone.
pub(super) fn day_in(heading: &str) -> Option<(String, String)> {
    if is_day(heading) {
        return Some((String::new(), heading.to_owned()));
    }
    let words: Vec<&str> = heading.split([' ', ':', '_']).filter(|word| !word.is_empty()).collect();
    (1..words.len()).find_map(|at| {
        let (word, day) = (words[..at].join(" "), words[at..].join(" "));
        let (day, word) = if is_day(&day) { (day, word) } else { (word, day) };
        let has_digit = |text: &str| text.bytes().any(|byte| byte.is_ascii_digit());
        (is_day(&day) && !has_digit(&word)).then_some((word, day))
    })
}

/// Whether a text is a day, perhaps without its year or in either order.
fn is_day(text: &str) -> bool {
    use DateQuestion::{NeedsOrderAndYear, NeedsYear, TwoReadings};
    match dates::read(text, Reading::default()) {
        Ok(_) => true,
        Err(question) => matches!(question, TwoReadings(..) | NeedsYear(_) | NeedsOrderAndYear(..)),
    }
}

/// A heading in the form used for matching.
pub(super) fn plain(heading: &str) -> String {
    heading.trim().to_lowercase().replace([' ', '-'], "_")
}

/// What stands in a column.
struct Values<'a> {
    rows: &'a [Line],
    index: usize,
}

impl Values<'_> {
    fn all(&self) -> impl Iterator<Item = &str> {
        let cells = self.rows.iter().filter_map(|line| line.cells.get(self.index));
        cells.map(|cell| cell.text.as_str()).filter(|text| !text.is_empty())
    }

    /// Whether the first of them are days and no numbers.
    fn are_days(&self) -> bool {
        let mut first = self.all().take(5).peekable();
        first.peek().is_some() && first.all(|text| text.parse::<f64>().is_err() && is_day(text))
    }

    /// Whether something stands there that is no number.
    fn are_no_numbers(&self) -> bool {
        self.all().take(30).any(|text| text.trim_end_matches('%').trim().parse::<f64>().is_err())
    }

    /// Whether something stands there, and all of it can be said of the detail.
    fn are_of(&self, facet: Facet) -> bool {
        let mut all = self.all().take(200).peekable();
        all.peek().is_some() && all.all(|text| hear(facet, text, Dialect::default()).is_ok())
    }

    /// The detail of whose words all of them are.
    fn facet(&self) -> Option<Facet> {
        let distinct: BTreeSet<&str> = self.all().take(200).collect();
        let is_word = |text: &&str| text.chars().all(|c| c.is_alphabetic() || c == ' ' || c == '-');
        if distinct.is_empty() || !distinct.iter().all(is_word) {
            return None;
        }
        let mut fitting = Facet::ALL
            .into_iter()
            .filter(|facet| distinct.iter().all(|text| Facets::default().set(*facet, text).is_ok()));
        let only = fitting.next()?;
        fitting.next().is_none().then_some(only)
    }
}
