//! How a grower reads: whose trade words and spelling, which units, and in which order the parts of a day stand.
//!
//! What is stored does not depend on it: days are ISO 8601, amounts metric.

pub use propagule_protocol::vocab::Dialect;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// In which units amounts are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Units {
    /// As they are stored: °C, mm, mg/L.
    #[default]
    Metric,
    /// °F, inches, ppm.
    Us,
}

/// In which order the parts of a day stand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum DateStyle {
    /// Jun 5, 2026.
    #[default]
    MonthFirst,
    /// 5 Jun 2026.
    DayFirst,
}

/// The country whose authorities are named, and whose law.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Country {
    /// United States.
    Us,
    /// United Kingdom.
    Uk,
    /// Ireland.
    Ie,
    /// Another country of the European Union.
    Eu,
    /// Australia.
    Au,
    /// New Zealand.
    Nz,
    /// Canada.
    Ca,
    /// Any other, or none that is known.
    #[default]
    Other,
}

/// Members of the European Union beside Ireland, by their two letters (ISO 3166-1).
const EU: [&str; 26] = [
    "AT", "BE", "BG", "HR", "CY", "CZ", "DK", "EE", "FI", "FR", "DE", "GR", "HU", "IT", "LV", "LT", "LU",
    "MT", "NL", "PL", "PT", "RO", "SK", "SI", "ES", "SE",
];

impl Country {
    /// Every one.
    pub const ALL: [Self; 8] =
        [Self::Us, Self::Uk, Self::Ie, Self::Eu, Self::Au, Self::Nz, Self::Ca, Self::Other];

    /// Of two letters in capitals.
    pub fn of_code(code: &str) -> Self {
        match code {
            "US" => Self::Us,
            "GB" | "UK" => Self::Uk,
            "IE" => Self::Ie,
            "AU" => Self::Au,
            "NZ" => Self::Nz,
            "CA" => Self::Ca,
            code if EU.contains(&code) => Self::Eu,
            _ => Self::Other,
        }
    }
}

/// How a grower reads.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Locale {
    /// Trade words and spelling.
    pub dialect: Dialect,
    /// Units of what is shown.
    pub units: Units,
    /// Order of the parts of a day.
    pub date_style: DateStyle,
    /// Whose authorities are named.
    pub country: Country,
}

impl DateStyle {
    /// How readers of a dialect write a day.
    pub const fn of(dialect: Dialect) -> Self {
        match dialect {
            Dialect::Us => Self::MonthFirst,
            Dialect::Uk | Dialect::Au => Self::DayFirst,
        }
    }
}

impl Locale {
    /// What goes with a dialect where nothing else was chosen.
    pub const fn of(dialect: Dialect) -> Self {
        let units = match dialect {
            Dialect::Us => Units::Us,
            Dialect::Uk | Dialect::Au => Units::Metric,
        };
        Self { dialect, units, date_style: DateStyle::of(dialect), country: Country::Other }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_and_days_go_with_the_dialect() {
        let us = Locale::of(Dialect::Us);
        assert_eq!((us.units, us.date_style), (Units::Us, DateStyle::MonthFirst));
        for dialect in [Dialect::Uk, Dialect::Au] {
            let of = Locale::of(dialect);
            assert_eq!((of.units, of.date_style), (Units::Metric, DateStyle::DayFirst));
        }
    }

    #[test]
    fn a_country_is_known_by_its_two_letters() {
        let of = Country::of_code;
        assert_eq!(
            [of("GB"), of("UK"), of("US"), of("NZ")],
            [Country::Uk, Country::Uk, Country::Us, Country::Nz]
        );
        assert_eq!(
            [of("IE"), of("DE"), of("CH"), of("")],
            [Country::Ie, Country::Eu, Country::Other, Country::Other]
        );
    }
}
