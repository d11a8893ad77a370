//! Reads facets from what growers type.

use super::codes::{self, Entry, LIGHT, STOCK_AGE, STOCK_AGE_LAST_YEAR};
use super::quantity::leading_number;
use super::rootstock::by_clone;
use super::{Facet, auxin, list, medium};
use crate::limits;
use crate::record::{Code, Facets};
use crate::taxon::Taxon;
use crate::text_rules::is_name;

/// Why a text is not a value of a facet.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{field}: `{value}`: {why}{}", did_you_mean(.suggestions))]
pub struct FacetError {
    /// Name of the facet.
    pub field: &'static str,
    /// The text as typed.
    pub value: String,
    /// What is wrong with it.
    pub why: String,
    /// At most three texts that were perhaps meant.
    pub suggestions: Vec<String>,
}

fn did_you_mean(suggestions: &[String]) -> String {
    match suggestions {
        [] => String::new(),
        some => format!("; did you mean {}?", some.join(", ")),
    }
}

/// A refusal before it knows its field.
#[derive(Debug)]
pub(super) struct Refused {
    pub(super) why: String,
    pub(super) suggestions: Vec<String>,
}

impl Refused {
    /// As said of a facet.
    pub(super) fn of(self, facet: Facet, text: &str) -> FacetError {
        let Self { why, suggestions } = self;
        FacetError { field: facet.name(), value: text.to_owned(), why, suggestions }
    }

    pub(super) fn because(why: String) -> Self {
        Self { why, suggestions: Vec::new() }
    }

    pub(super) fn unlisted(list: &[Entry], word: &str) -> Self {
        let suggestions = list::suggestions(list, word);
        let why = if suggestions.is_empty() {
            let all: Vec<&str> = list.iter().map(|(word, _)| *word).collect();
            // Where nothing is left of what was typed, nothing of the list was named.
            let named = match word.trim() {
                "" => "none is named; it is one".to_owned(),
                word => format!("`{word}` is not one"),
            };
            format!("{named} of {}, other, unknown", all.join(", "))
        } else {
            format!("`{}` is not in the list", word.trim())
        };
        Self { why, suggestions }
    }
}

impl Facets {
    /// Sets a facet from text: what [`Facets::word`] prints, and the usual spellings.
    ///
    /// An empty text takes the facet back to not stated (the kind to unknown).
    pub fn set(&mut self, facet: Facet, text: &str) -> Result<(), FacetError> {
        let text = text.trim();
        if text.is_empty() {
            self.clear(facet);
            return Ok(());
        }
        self.read(facet, text).map_err(|refused| refused.of(facet, text))
    }

    fn clear(&mut self, facet: Facet) {
        match facet {
            Facet::Medium => self.medium = None,
            Facet::Auxin => self.auxin = None,
            Facet::BottomHeat => (self.bottom_heat, self.bottom_heat_state) = (None, None),
            Facet::Rootstock => self.rootstock = None,
            Facet::Stratification => self.stratification = None,
            Facet::Bbch => self.bbch = None,
            Facet::TipNodesRemoved => self.tip_nodes_removed = None,
            Facet::Cultivar => self.cultivar = None,
            Facet::Kind => self.kind = Code::UNKNOWN,
            coded => *self.coded_mut(coded).expect("every other facet holds one code") = None,
        }
    }

    fn read(&mut self, facet: Facet, text: &str) -> Result<(), Refused> {
        match facet {
            Facet::Medium => self.medium = Some(medium::read(text)?),
            Facet::Auxin => self.auxin = Some(auxin::read(text)?),
            Facet::BottomHeat => (self.bottom_heat, self.bottom_heat_state) = bottom_heat(text)?,
            Facet::Rootstock => self.rootstock = Some(rootstock(text)?),
            Facet::Stratification => self.stratification = Some(stratification(text)?),
            Facet::Bbch => self.bbch = Some(whole(text, limits::BBCH_MAX)?),
            Facet::TipNodesRemoved => self.tip_nodes_removed = Some(whole(text, limits::TIP_NODES_MAX)?),
            Facet::Cultivar => self.cultivar = Some(cultivar(text)?),
            Facet::Kind => self.kind = code(facet, text)?,
            coded => {
                *self.coded_mut(coded).expect("every other facet holds one code") = Some(code(facet, text)?);
            }
        }
        Ok(())
    }

    fn coded_mut(&mut self, facet: Facet) -> Option<&mut Option<Code>> {
        Some(match facet {
            Facet::Wood => &mut self.wood,
            Facet::Form => &mut self.form,
            Facet::Solvent => &mut self.solvent,
            Facet::Wound => &mut self.wound,
            Facet::Leaves => &mut self.leaves,
            Facet::Humidity => &mut self.humidity,
            Facet::Container => &mut self.container,
            Facet::GrowingPlace => &mut self.growing_place,
            Facet::StockOrigin => &mut self.stock_origin,
            Facet::StockAge => &mut self.stock_age,
            Facet::Watering => &mut self.watering,
            Facet::FlowerBuds => &mut self.flower_buds,
            Facet::Light => &mut self.light,
            Facet::Scarified => &mut self.scarified,
            _ => return None,
        })
    }
}

fn code(facet: Facet, text: &str) -> Result<Code, Refused> {
    let list = codes::of(facet).expect("only facets of one code come here");
    if let Some(code) = list::code(list, text) {
        return Ok(if facet == Facet::Form { codes::form_in_groups(code) } else { code });
    }
    match facet {
        Facet::Light => light(text),
        Facet::StockAge => stock_age(text),
        _ => Err(Refused::unlisted(list, text)),
    }
}

/// `60 % let through` or `40 % shade`; a bare per cent could mean either.
fn light(text: &str) -> Result<Code, Refused> {
    let lower = text.to_lowercase();
    let blocks = ["shade", "block"].iter().any(|word| lower.contains(word));
    let passes = ["through", "light", "transmi"].iter().any(|word| lower.contains(word));
    let digits = lower.trim_start_matches(|c: char| !c.is_ascii_digit());
    let (percent, _) = leading_number(digits).ok_or_else(|| Refused::unlisted(LIGHT, text))?;
    if !(0.0..=100.0).contains(&percent) {
        return Err(Refused::because("not from 0 to 100 %".to_owned()));
    }
    if blocks == passes {
        let suggestions = vec![format!("{percent} % shade"), format!("{percent} % let through")];
        return Err(Refused { why: "blocked, or let through?".to_owned(), suggestions });
    }
    let through = if blocks { 100.0 - percent } else { percent };
    Ok(Code(2 + ((through / 20.0) as u8).min(4)))
}

const YEARS: [&str; 6] = ["", "y", "yr", "yrs", "year", "years"];

/// A number of years falls into its band.
fn stock_age(text: &str) -> Result<Code, Refused> {
    let years =
        leading_number(text).filter(|(_, rest)| YEARS.contains(&rest.trim_end_matches("old").trim_end()));
    let (years, _) = years.ok_or_else(|| Refused::unlisted(STOCK_AGE, text))?;
    if !(0.0..=1000.0).contains(&years) {
        return Err(Refused::because("not from 0 to 1000 years".to_owned()));
    }
    let band = STOCK_AGE_LAST_YEAR.iter().position(|last| years < f64::from(*last) + 1.0);
    Ok(Code(2 + band.unwrap_or(STOCK_AGE_LAST_YEAR.len()) as u8))
}

/// A temperature, or a word for none or for heat that was not measured.
fn bottom_heat(text: &str) -> Result<(Option<i8>, Option<Code>), Refused> {
    match list::code(codes::BOTTOM_HEAT, text) {
        Some(state) => Ok((None, Some(state))),
        None => celsius(text).map(|celsius| (Some(celsius), None)),
    }
}

fn celsius(text: &str) -> Result<i8, Refused> {
    let (number, unit) = leading_number(text).ok_or_else(|| {
        let suggestions = vec!["none".to_owned(), "on".to_owned()];
        Refused { why: "not a temperature, none, or on".to_owned(), suggestions }
    })?;
    let celsius = match unit.trim_start_matches(['°', 'º']).trim().to_lowercase().as_str() {
        "" | "c" => number,
        "f" => (number - 32.0) / 1.8,
        _ => return Err(Refused::because(format!("unknown unit `{unit}`, use °C or °F"))),
    };
    let (low, high) = limits::BOTTOM_HEAT;
    if (f64::from(low)..=f64::from(high)).contains(&celsius) {
        return Ok(celsius.round() as i8);
    }
    let in_fahrenheit = (number - 32.0) / 1.8;
    let fits = unit.is_empty() && (f64::from(low)..=f64::from(high)).contains(&in_fahrenheit);
    let suggestions = if fits { vec![format!("{number} °F")] } else { Vec::new() };
    Err(Refused { why: format!("not from {low} to {high} °C"), suggestions })
}

fn rootstock(text: &str) -> Result<Taxon, Refused> {
    let by_clone = by_clone(text);
    Taxon::parse(by_clone.as_deref().unwrap_or(text))
        .map_err(|error| Refused { why: error.to_string(), suggestions: error.suggestions().to_vec() })
}

fn whole(text: &str, high: u8) -> Result<u8, Refused> {
    text.parse()
        .ok()
        .filter(|n| *n <= high)
        .ok_or_else(|| Refused::because(format!("not a whole number from 0 to {high}")))
}

fn cultivar(text: &str) -> Result<String, Refused> {
    let is_quote = |c| matches!(c, '\'' | '"' | '\u{2018}' | '\u{2019}' | '\u{201c}' | '\u{201d}');
    let bare = text.trim_matches(|c: char| is_quote(c) || c.is_whitespace());
    if is_name(bare) {
        Ok(bare.to_owned())
    } else {
        Err(Refused::because(format!("not a plain name of at most {} bytes", limits::NAME_BYTES)))
    }
}

/// `none`, `cold 12 weeks`, `warm 8 + cold 12`, or `8/12` for warm and cold.
fn stratification(text: &str) -> Result<(u8, u8), Refused> {
    let lower = text.to_lowercase();
    if lower == "none" {
        return Ok((0, 0));
    }
    if let Some((warm, cold)) = lower.split_once('/') {
        return Ok((
            whole(warm.trim(), limits::STRATIFICATION_MAX)?,
            whole(cold.trim(), limits::STRATIFICATION_MAX)?,
        ));
    }
    let spaced = lower.replace(['+', ',', ';'], " ");
    let words: Vec<&str> = spaced.split_whitespace().filter(|w| !UNIT_WORDS.contains(w)).collect();
    let (mut warm, mut cold) = (0, 0);
    if words.is_empty() {
        return Err(Refused::because("not weeks of warm and cold".to_owned()));
    }
    for pair in words.chunks(2) {
        let ([name @ ("warm" | "cold"), weeks] | [weeks, name @ ("warm" | "cold")]) = *pair else {
            let suggestions = vec!["warm 8 + cold 12 weeks".to_owned()];
            return Err(Refused { why: "not weeks of warm and cold".to_owned(), suggestions });
        };
        let weeks = whole(weeks, limits::STRATIFICATION_MAX)?;
        if name == "warm" { warm = weeks } else { cold = weeks }
    }
    Ok((warm, cold))
}

const UNIT_WORDS: [&str; 6] = ["week", "weeks", "wk", "wks", "then", "w"];
