//! Köppen–Geiger classes in the form of Peel 2007 as used by Beck 2018 (0 °C isotherm between C and D).
//!
//! Sums and shares are taken in integers (hundredths of °C, tenths of mm), so that every limit is exact.

use std::fmt;

use super::Climate;
use crate::code::Code;

/// First letter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// Tropical.
    A,
    /// Arid.
    B,
    /// Temperate.
    C,
    /// Cold.
    D,
    /// Polar.
    E,
}

/// A class of up to three letters, such as `Cfb`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Class {
    /// First letter.
    pub group: Group,
    /// Second letter: rain, or T and F in group E.
    pub second: char,
    /// Third letter: heat, where the group has one and it is known.
    pub third: Option<char>,
}

impl fmt::Display for Class {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}{}", self.group, self.second)?;
        self.third.map_or(Ok(()), |third| write!(f, "{third}"))
    }
}

/// Published codes from 2 on; a list only ever grows at its end. Rare second letters are left out:
/// E has none and Ds is published as D.
pub(super) const PUBLISHED: [&str; 12] =
    ["Af", "Am", "Aw", "BW", "BS", "Cf", "Cs", "Cw", "Df", "Dw", "D", "E"];

impl Class {
    /// Group and second letter as a code, or the group alone for E and Ds.
    pub fn published(self) -> Code {
        let name = match (self.group, self.second) {
            (Group::E, _) => "E".to_owned(),
            (Group::D, 's') => "D".to_owned(),
            (group, second) => format!("{group:?}{second}"),
        };
        let at = PUBLISHED.iter().position(|listed| *listed == name);
        Code(at.expect("every class of the rule is listed") as u8 + 2)
    }
}

/// The figures that the rule asks for. Temperatures in hundredths of °C, rain in tenths of mm.
struct Figures {
    /// Twelve times the yearly mean.
    year_sum: i64,
    coldest: i64,
    hottest: i64,
    /// Months of at least 10 °C, where known.
    warm_months: Option<usize>,
    rain: i64,
    summer_rain: i64,
    summer: Extremes,
    winter: Extremes,
}

/// Driest and wettest month of a half-year.
struct Extremes {
    driest: i64,
    wettest: i64,
}

/// The class of twelve monthly means (°C) and rains (mm), January first.
pub fn koppen(temperature: &[f64; 12], rain: &[f64; 12]) -> Class {
    let temperature = temperature.map(|t| scaled(t, 100.0));
    let rain = rain.map(|r| scaled(r, 10.0));
    let april_to_september = |months: &[i64; 12]| months[3..9].to_vec();
    let october_to_march = |months: &[i64; 12]| [&months[..3], &months[9..]].concat();
    let sum = |months: Vec<i64>| months.iter().sum::<i64>();
    let april_is_summer = sum(april_to_september(&temperature)) >= sum(october_to_march(&temperature));
    let halves = [april_to_september(&rain), october_to_march(&rain)];
    let [summer, winter] = if april_is_summer {
        halves
    } else {
        let [a, b] = halves;
        [b, a]
    };
    Figures {
        year_sum: temperature.iter().sum(),
        coldest: temperature.into_iter().min().unwrap_or_default(),
        hottest: temperature.into_iter().max().unwrap_or_default(),
        warm_months: Some(temperature.iter().filter(|t| **t >= 1_000).count()),
        rain: rain.iter().sum(),
        summer_rain: summer.iter().sum(),
        summer: Extremes::of(&summer),
        winter: Extremes::of(&winter),
    }
    .class()
}

/// The class, without third letter, of the six numbers of [`Climate::Six`]; `None` for other climates.
///
/// The yearly mean is taken midway between coldest and hottest month (exact for a sine), and the wettest
/// month of a half as far above its mean as the driest is below.
pub fn koppen_of_six(climate: &Climate) -> Option<Class> {
    let Climate::Six { coldest, hottest, rain, summer_share, driest_summer, driest_winter } = climate else {
        return None;
    };
    let summer_rain = rain * summer_share;
    let figures = Figures {
        year_sum: 6 * (scaled(*coldest, 100.0) + scaled(*hottest, 100.0)),
        coldest: scaled(*coldest, 100.0),
        hottest: scaled(*hottest, 100.0),
        warm_months: None,
        rain: scaled(*rain, 10.0),
        summer_rain: scaled(summer_rain, 10.0),
        summer: Extremes::from_driest(*driest_summer, summer_rain),
        winter: Extremes::from_driest(*driest_winter, rain - summer_rain),
    };
    Some(figures.class())
}

fn scaled(value: f64, scale: f64) -> i64 {
    (value * scale).round() as i64
}

impl Extremes {
    fn of(months: &[i64]) -> Self {
        let driest = months.iter().copied().min().unwrap_or_default();
        Self { driest, wettest: months.iter().copied().max().unwrap_or_default() }
    }

    fn from_driest(driest: f64, half_year: f64) -> Self {
        let mean = half_year / 6.0;
        Self { driest: scaled(driest, 10.0), wettest: scaled((2.0 * mean - driest).max(mean), 10.0) }
    }
}

impl Figures {
    fn class(&self) -> Class {
        if let Some(second) = self.arid() {
            let third = if self.year_sum >= 12 * 1_800 { 'h' } else { 'k' };
            return Class { group: Group::B, second, third: Some(third) };
        }
        if self.coldest >= 1_800 {
            return Class { group: Group::A, second: self.tropical(), third: None };
        }
        if self.hottest <= 1_000 {
            let second = if self.hottest > 0 { 'T' } else { 'F' };
            return Class { group: Group::E, second, third: None };
        }
        let group = if self.coldest > 0 { Group::C } else { Group::D };
        Class { group, second: self.seasonal(), third: self.heat(group) }
    }

    /// W below half of the dryness limit, S below all of it: MAP < 5 or 10 · Pth, with Pth = 2 MAT, + 28
    /// when over 70 % of the rain falls in summer, + 0 when in winter, else + 14.
    fn arid(&self) -> Option<char> {
        let winter_rain = self.rain - self.summer_rain;
        let raised = if 10 * winter_rain > 7 * self.rain {
            0
        } else if 10 * self.summer_rain > 7 * self.rain {
            28
        } else {
            14
        };
        // 12 · 10 · Pth in tenths of mm.
        let limit = 2 * self.year_sum + 12 * 100 * raised;
        match 12 * self.rain {
            rain if 2 * rain < limit => Some('W'),
            rain if rain < limit => Some('S'),
            _ => None,
        }
    }

    fn tropical(&self) -> char {
        let driest = self.summer.driest.min(self.winter.driest);
        if driest >= 600 {
            'f'
        } else if 25 * driest >= 25 * 1_000 - self.rain {
            'm'
        } else {
            'w'
        }
    }

    fn seasonal(&self) -> char {
        let dry_summer = self.summer.driest < 400 && 3 * self.summer.driest < self.winter.wettest;
        let dry_winter = 10 * self.winter.driest < self.summer.wettest;
        match (dry_summer, dry_winter) {
            (true, true) if 2 * self.summer_rain < self.rain => 's',
            (_, true) => 'w',
            (true, false) => 's',
            (false, false) => 'f',
        }
    }

    fn heat(&self, group: Group) -> Option<char> {
        let warm_months = self.warm_months?;
        Some(match group {
            _ if self.hottest >= 2_200 => 'a',
            _ if warm_months >= 4 => 'b',
            Group::D if self.coldest < -3_800 => 'd',
            _ => 'c',
        })
    }
}
