//! Region: what is published of a place, by one rule for everybody.

use super::koppen::{Class, PUBLISHED, koppen, koppen_of_six};
use super::zone::{HalfZone, middle_of_whole};
use super::{Climate, Place};
use crate::limits::{COLDEST, HOTTEST, RAIN_MAX};
use crate::record::{Code, Extensions, Region};

/// Rule of a region made from twelve monthly means.
const RULE_TWELVE: Code = Code(2);
/// Rule of a region made from six numbers.
const RULE_SIX: Code = Code(3);
/// Width of the temperature bins in °C.
const BIN: f64 = 4.0;
/// Lower end of the first rain bin in mm.
const RAIN_START: f64 = 100.0;
/// Ratio of neighbouring rain bins.
const RAIN_RATIO: f64 = 1.5;

/// Middles of a region's bins, for comparing regions.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Midpoints {
    /// Mean of the coldest month in °C.
    pub coldest: Option<f64>,
    /// Mean of the hottest month in °C.
    pub hottest: Option<f64>,
    /// Natural logarithm of yearly rain in mm.
    pub ln_rain: Option<f64>,
    /// Middle of the whole hardiness zone in °C of mean yearly minimum.
    pub zone: Option<f64>,
}

impl Place {
    /// What may be published: Köppen group and second letter (E and Ds: group only), whole hardiness zone,
    /// coldest and hottest month in bins of 4 °C, yearly rain in bins of ratio 1.5, and the rule that made
    /// them. No hemisphere.
    pub fn region(&self) -> Region {
        let zone = self.zone.map(HalfZone::whole);
        let bare = Region {
            rule: Code::UNKNOWN,
            koppen: None,
            zone,
            coldest: None,
            hottest: None,
            rain: None,
            extensions: Extensions::new(),
        };
        match &self.climate {
            Climate::None => bare,
            six @ Climate::Six { coldest, hottest, rain, .. } => {
                let class = koppen_of_six(six).expect("six numbers are given");
                with_climate(bare, RULE_SIX, class, *coldest, *hottest, *rain)
            }
            Climate::Twelve { temperature, rain } => {
                let coldest = temperature.iter().copied().fold(f64::INFINITY, f64::min);
                let hottest = temperature.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                with_climate(
                    bare,
                    RULE_TWELVE,
                    koppen(temperature, rain),
                    coldest,
                    hottest,
                    rain.iter().sum(),
                )
            }
        }
    }
}

fn with_climate(bare: Region, rule: Code, class: Class, coldest: f64, hottest: f64, rain: f64) -> Region {
    Region {
        rule,
        koppen: Some(class.published()),
        coldest: Some(temperature_bin(coldest, COLDEST)),
        hottest: Some(temperature_bin(hottest, HOTTEST)),
        rain: Some(rain_bin(rain)),
        ..bare
    }
}

fn temperature_bin(celsius: f64, (low, high): (i8, i8)) -> i8 {
    (celsius / BIN).floor().clamp(f64::from(low), f64::from(high)) as i8
}

/// Rain is taken in tenths of mm, and counted up the bin limits, so that a limit is never missed by a
/// rounding of logarithms. Less than 1 mm counts as 1 mm.
fn rain_bin(mm: f64) -> u8 {
    let mm = (mm * 10.0).round().max(10.0) / 10.0;
    (0..RAIN_MAX).take_while(|bin| rain_limit(bin + 1) <= mm).count() as u8
}

/// Lower end of a rain bin in mm.
fn rain_limit(bin: u8) -> f64 {
    RAIN_START * RAIN_RATIO.powi(i32::from(bin))
}

impl Region {
    /// Köppen letters as published, such as `Cf`; `code 17` for one of a newer version.
    pub fn koppen_word(&self) -> Option<String> {
        self.koppen.map(|code| match code {
            Code::UNKNOWN => "unknown".to_owned(),
            Code::OTHER => "other".to_owned(),
            Code(n) => {
                PUBLISHED.get(usize::from(n) - 2).map_or_else(|| code.to_string(), |word| (*word).to_owned())
            }
        })
    }

    /// Every stated part in words, for previews.
    pub fn words(&self) -> Vec<(&'static str, String)> {
        let bin = |bin: i8| format!("{} to {} °C", i32::from(bin) * 4, i32::from(bin) * 4 + 4);
        let parts = [
            ("climate group", self.koppen_word()),
            ("hardiness zone", self.zone.map(|zone| zone.to_string())),
            ("coldest month", self.coldest.map(bin)),
            ("hottest month", self.hottest.map(bin)),
            ("yearly rain", self.rain.map(rain_words)),
            ("rule of the region", Some(rule_word(self.rule))),
        ];
        parts.into_iter().filter_map(|(what, value)| value.map(|value| (what, value))).collect()
    }

    /// Middles of the bins.
    pub fn midpoints(&self) -> Midpoints {
        let middle = |bin: i8| BIN * (f64::from(bin) + 0.5);
        Midpoints {
            coldest: self.coldest.map(middle),
            hottest: self.hottest.map(middle),
            ln_rain: self.rain.map(|bin| RAIN_START.ln() + (f64::from(bin) + 0.5) * RAIN_RATIO.ln()),
            zone: self.zone.map(middle_of_whole),
        }
    }
}

fn rain_words(bin: u8) -> String {
    let (low, high) = (rain_limit(bin).round(), rain_limit(bin + 1).round());
    match bin {
        0 => format!("under {high} mm"),
        RAIN_MAX => format!("over {low} mm"),
        _ => format!("{low} to {high} mm"),
    }
}

fn rule_word(rule: Code) -> String {
    match rule {
        Code::UNKNOWN => "no climate given".to_owned(),
        RULE_TWELVE => "twelve monthly means, 0 °C between C and D".to_owned(),
        RULE_SIX => "six numbers, 0 °C between C and D".to_owned(),
        other => other.to_string(),
    }
}
