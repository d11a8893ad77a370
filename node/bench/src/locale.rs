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

/// How a grower reads.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Locale {
    /// Trade words and spelling.
    pub dialect: Dialect,
    /// Units of what is shown.
    pub units: Units,
    /// Order of the parts of a day.
    pub date_style: DateStyle,
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
        Self { dialect, units, date_style: DateStyle::of(dialect) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_and_days_go_with_the_dialect() {
        let us = Locale { dialect: Dialect::Us, units: Units::Us, date_style: DateStyle::MonthFirst };
        assert_eq!(Locale::of(Dialect::Us), us);
        for dialect in [Dialect::Uk, Dialect::Au] {
            let of = Locale::of(dialect);
            assert_eq!((of.units, of.date_style), (Units::Metric, DateStyle::DayFirst));
        }
    }
}
