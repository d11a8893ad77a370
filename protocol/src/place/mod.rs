//! A grower's place, and the coarse region that is published of it.

mod daylight;
mod koppen;
mod region;
mod zone;

pub use daylight::{DayEdge, day_length};
pub use koppen::{Class, Group, koppen, koppen_of_six};
pub use region::Midpoints;
pub use zone::{HalfZone, HalfZoneError};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::date::Date;
use crate::month::Month;

/// Where a grower is, in terms of climate. It stays at home; [`Place::region`] is what leaves.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Place {
    /// Sets the seasonal shift and nothing else.
    pub hemisphere: Hemisphere,
    /// As much of the climate as the grower knows.
    pub climate: Climate,
    /// Hardiness half-zone.
    pub zone: Option<HalfZone>,
}

/// Hemisphere.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Hemisphere {
    /// Seasons as they come.
    North,
    /// Seasons six months later.
    South,
}

/// What a grower knows of the climate. Temperatures are means of day and night in °C, rain is in mm.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Climate {
    /// Nothing: zone and hemisphere are enough to publish.
    None,
    /// Six numbers that a weather page or an almanac tells.
    Six {
        /// Mean of the coldest month.
        coldest: f64,
        /// Mean of the hottest month.
        hottest: f64,
        /// Rain of a year.
        rain: f64,
        /// Share of it that falls in the warm half of the year, 0 to 1.
        summer_share: f64,
        /// Rain of the driest month of the warm half.
        driest_summer: f64,
        /// Rain of the driest month of the cold half.
        driest_winter: f64,
    },
    /// Twelve monthly means, January first.
    Twelve {
        /// Mean temperature of each month.
        temperature: [f64; 12],
        /// Rain of each month.
        rain: [f64; 12],
    },
}

/// A number of a climate that no place on earth has.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{field} {value} is not from {low} to {high}")]
pub struct ClimateError {
    /// Which number.
    pub field: &'static str,
    /// As given.
    pub value: f64,
    /// Lowest that can be.
    pub low: f64,
    /// Highest that can be.
    pub high: f64,
}

impl Climate {
    /// Refuses numbers that no place on earth has, such as Fahrenheit taken for Celsius in summer.
    pub fn check(&self) -> Result<(), ClimateError> {
        match self {
            Self::None => Ok(()),
            Self::Six { coldest, hottest, rain, summer_share, driest_summer, driest_winter } => {
                within("coldest month", *coldest, -60.0, 45.0)?;
                within("hottest month", *hottest, *coldest, 45.0)?;
                within("yearly rain", *rain, 0.0, 13_000.0)?;
                within("share of rain in the warm half", *summer_share, 0.0, 1.0)?;
                within(
                    "driest month of the warm half",
                    *driest_summer,
                    0.0,
                    rain * summer_share / 6.0 + 0.1,
                )?;
                within(
                    "driest month of the cold half",
                    *driest_winter,
                    0.0,
                    rain * (1.0 - summer_share) / 6.0 + 0.1,
                )
            }
            Self::Twelve { temperature, rain } => {
                temperature.iter().try_for_each(|t| within("a month's temperature", *t, -60.0, 45.0))?;
                rain.iter().try_for_each(|r| within("a month's rain", *r, 0.0, 4_000.0))
            }
        }
    }
}

fn within(field: &'static str, value: f64, low: f64, high: f64) -> Result<(), ClimateError> {
    if (low..=high).contains(&value) { Ok(()) } else { Err(ClimateError { field, value, low, high }) }
}

/// The month of a day as the northern hemisphere has it: six months later in the south.
pub fn season(date: Date, hemisphere: Hemisphere) -> Month {
    let month = Month::from(date);
    match hemisphere {
        Hemisphere::North => month,
        Hemisphere::South => month.plus(6),
    }
}
