//! Spots: where lots stand, what the air and the light are like there, and the care given to all of them at once.

use std::collections::BTreeMap;
use std::fmt;

use propagule_protocol::{Facet, Facets};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::dates::When;

/// Details that a trial takes from the bench it stands on.
pub const OF_SPOT: [Facet; 5] =
    [Facet::Humidity, Facet::GrowingPlace, Facet::Light, Facet::BottomHeat, Facet::Watering];

/// A bench, bed, frame or house. Private: only the details of trials that stand on it are ever published.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Spot {
    /// The grower's own name.
    pub name: String,
    /// Detail name → words, those of [`OF_SPOT`] only.
    #[serde(default)]
    pub facets: BTreeMap<String, String>,
}

/// Mist, shade, heat, feed or water of a bench, entered once for everything on it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "care", rename_all = "snake_case")]
pub enum Care {
    /// Mist on a timer.
    Mist(Mist),
    /// Light let through, per cent.
    Light {
        /// 0 to 100.
        let_through: u8,
    },
    /// Bottom heat.
    Heat {
        /// As set, °C.
        set: Option<i8>,
        /// As measured in the medium, °C.
        measured: Option<i8>,
    },
    /// Feed, in the grower's words.
    Feed {
        /// What was given.
        words: String,
    },
    /// A spray, in the grower's words.
    Spray {
        /// What was sprayed.
        words: String,
    },
    /// Vents, in the grower's words.
    Vents {
        /// How they stand.
        words: String,
    },
    /// Watering by hand, in the grower's words.
    Water {
        /// How often, or how much.
        words: String,
    },
    /// Mist, light, heat, … ended.
    Ended {
        /// What was entered: `mist`, `light`, `heat`, `feed`, `spray`, `vents` or `water`.
        what: String,
    },
}

impl Care {
    /// The word for this kind of entry.
    pub fn word(&self) -> &str {
        match self {
            Self::Mist(_) => "mist",
            Self::Light { .. } => "light",
            Self::Heat { .. } => "heat",
            Self::Feed { .. } => "feed",
            Self::Spray { .. } => "spray",
            Self::Vents { .. } => "vents",
            Self::Water { .. } => "water",
            Self::Ended { what } => what,
        }
    }

    /// What it says about a detail of everything on the bench.
    pub fn facet(&self) -> Option<(Facet, String)> {
        match self {
            Self::Mist(_) => Some((Facet::Humidity, "mist".to_owned())),
            Self::Light { let_through } => Some((Facet::Light, light_bin(*let_through))),
            Self::Heat { set, measured } => {
                measured.or(*set).map(|celsius| (Facet::BottomHeat, format!("{celsius} °C")))
            }
            _ => None,
        }
    }
}

/// The detail's word for a share of light.
fn light_bin(let_through: u8) -> String {
    let low = (let_through.min(99) / 20) * 20;
    format!("{low}-{} % let through", low + 20)
}

impl fmt::Display for Care {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Mist(mist) => write!(f, "mist {mist}"),
            Self::Light { let_through } => {
                write!(f, "{let_through}% of the light let through ({}% blocked)", 100 - let_through)
            }
            Self::Heat { set, measured } => {
                f.write_str("bottom heat")?;
                if let Some(set) = set {
                    write!(f, " set to {set} °C")?;
                }
                measured.map_or(Ok(()), |celsius| write!(f, " measured {celsius} °C in the medium"))
            }
            Self::Feed { words } => write!(f, "feed: {words}"),
            Self::Spray { words } => write!(f, "spray: {words}"),
            Self::Vents { words } => write!(f, "vents: {words}"),
            Self::Water { words } => write!(f, "watered: {words}"),
            Self::Ended { what } => write!(f, "{what} ended"),
        }
    }
}

/// Why an entry of the log that was typed is not understood.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "care", rename_all = "snake_case")]
pub enum CareFault {
    /// Nothing is written down of it.
    Empty,
    /// The log has no entry of that kind.
    KindUnknown,
    /// Mist that does not say how often.
    MistWithoutEvery,
    /// A mist cycle that is too short or too long.
    FiringOutOfRange {
        /// How long.
        seconds: f64,
    },
    /// Mist cycles too close to one another, or too far apart.
    IntervalOutOfRange {
        /// How far.
        minutes: f64,
    },
    /// No span of time.
    NotASpan {
        /// As typed.
        text: String,
    },
    /// A number of what is no unit of time.
    TimeUnitUnknown {
        /// As typed.
        unit: String,
    },
    /// No hours of the day.
    NotHoursOfDay {
        /// As typed.
        text: String,
    },
    /// No share of light.
    NotAShareOfLight {
        /// As typed.
        text: String,
    },
    /// A share of light that is either blocked or let through.
    BlockedOrLetThrough {
        /// In per cent.
        share: u8,
    },
    /// No temperature.
    NotATemperature {
        /// Why, as the rules of records say it.
        why: String,
    },
}

/// Mist on a timer.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Mist {
    /// Seconds that one mist cycle lasts.
    pub on_seconds: f64,
    /// Minutes from one mist cycle to the next.
    pub every_minutes: f64,
    /// Minute of the day of the first mist cycle.
    pub from: u16,
    /// Minute of the day at which it stops.
    pub to: u16,
}

impl Mist {
    /// Mist cycles a day.
    pub fn firings(self) -> u32 {
        let span = f64::from(self.to.saturating_sub(self.from));
        (span / self.every_minutes).floor() as u32
    }

    /// Minutes of mist a day.
    pub fn minutes(self) -> f64 {
        f64::from(self.firings()) * self.on_seconds / 60.0
    }

    /// Reads `8 s every 4 min 07:00-20:00`; without hours it is the whole day.
    ///
    /// # Errors
    /// What is not understood.
    pub fn read(text: &str) -> Result<Self, CareFault> {
        let text = text.replace(['\u{2013}', '\u{2014}'], "-");
        let (on, rest) = text.split_once("every").ok_or(CareFault::MistWithoutEvery)?;
        let rest = rest.trim();
        let (every, hours) = match rest.rfind(' ').filter(|at| rest[*at..].contains(':')) {
            Some(at) => (rest[..at].trim(), Some(rest[at..].trim())),
            None => (rest, None),
        };
        let on_seconds = seconds(on.trim())?;
        let every_minutes = seconds(every)? / 60.0;
        if !(0.5..=120.0).contains(&on_seconds) {
            return Err(CareFault::FiringOutOfRange { seconds: on_seconds });
        }
        if !(0.2..=240.0).contains(&every_minutes) {
            return Err(CareFault::IntervalOutOfRange { minutes: every_minutes });
        }
        let (from, to) = hours.map_or(Ok((0, 24 * 60)), hours_of_day)?;
        Ok(Self { on_seconds, every_minutes, from, to })
    }
}

/// A span of time with its unit, in seconds.
fn seconds(text: &str) -> Result<f64, CareFault> {
    let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(text.len());
    let no_span = || CareFault::NotASpan { text: text.to_owned() };
    let number: f64 = text[..end].parse().map_err(|_| no_span())?;
    match text[end..].trim() {
        "s" | "sec" | "seconds" => Ok(number),
        "min" | "minutes" | "minute" => Ok(number * 60.0),
        "h" | "hours" | "hour" => Ok(number * 3600.0),
        unit => Err(CareFault::TimeUnitUnknown { unit: unit.to_owned() }),
    }
}

fn hours_of_day(text: &str) -> Result<(u16, u16), CareFault> {
    let wrong = || CareFault::NotHoursOfDay { text: text.to_owned() };
    let (from, to) = text.split_once('-').ok_or_else(wrong)?;
    let minute = |text: &str| -> Option<u16> {
        let (hour, minute) = text.trim().split_once(':')?;
        let (hour, minute): (u16, u16) = (hour.parse().ok()?, minute.parse().ok()?);
        (hour <= 24 && minute < 60 && hour * 60 + minute <= 24 * 60).then_some(hour * 60 + minute)
    };
    match (minute(from), minute(to)) {
        (Some(from), Some(to)) if from < to => Ok((from, to)),
        _ => Err(wrong()),
    }
}

impl fmt::Display for Mist {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let clock = |minute: u16| format!("{:02}:{:02}", minute / 60, minute % 60);
        let firings = self.firings();
        write!(
            f,
            "{} s every {} min {}\u{2013}{}: {firings} mist {}, {:.0} min a day",
            self.on_seconds,
            self.every_minutes,
            clock(self.from),
            clock(self.to),
            if firings == 1 { "cycle" } else { "cycles" },
            self.minutes()
        )
    }
}

/// One entry with the days it holds for.
#[derive(Clone, Debug, PartialEq)]
pub struct CareSpan {
    /// Number of the event.
    pub event: u64,
    /// What.
    pub care: Care,
    /// From then on.
    pub from: When,
    /// The last day, when it was given.
    pub until: Option<When>,
}

/// Reads light: `40 % blocked` or `60 % let through`; a bare share is asked about.
///
/// # Errors
/// What is not understood, in words.
pub fn read_light(text: &str) -> Result<u8, CareFault> {
    let lower = text.to_lowercase();
    let end = lower.find(|c: char| !c.is_ascii_digit()).unwrap_or(lower.len());
    let share: u8 = lower[..end]
        .parse()
        .ok()
        .filter(|share| *share <= 100)
        .ok_or_else(|| CareFault::NotAShareOfLight { text: text.to_owned() })?;
    let rest = lower[end..].replace('%', "");
    match rest.trim() {
        "blocked" | "shade" | "shaded" => Ok(100 - share),
        "let through" | "through" | "light" => Ok(share),
        _ => Err(CareFault::BlockedOrLetThrough { share }),
    }
}

/// Details of a bench in codes, for a check of the words.
pub fn checked(facets: &BTreeMap<String, String>) -> Result<Facets, propagule_protocol::FacetError> {
    let mut checked = Facets::default();
    for (name, words) in facets {
        if let Some(facet) = Facet::from_name(name) {
            checked.set(facet, words)?;
        }
    }
    Ok(checked)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mist_is_worked_out_to_firings_and_minutes() {
        // 13 hours are 780 minutes: 780 / 4 = 195 firings of 8 s = 1,560 s = 26 min.
        let mist = Mist::read("8 s every 4 min 07:00\u{2013}20:00").expect("readable");
        assert_eq!((mist.firings(), mist.minutes()), (195, 26.0));
        let all_day = Mist::read("5 s every 10 min").expect("readable");
        assert_eq!((all_day.firings(), all_day.minutes()), (144, 12.0));
    }

    #[test]
    fn a_timer_that_cannot_be_is_refused() {
        for wrong in [
            "8 s",
            "8 every 4 min",
            "8 s every 4",
            "300 s every 4 min",
            "8 s every 9 h",
            "8 s every 4 min 20:00-07:00",
            "8 s every 4 min 07:00-25:00",
        ] {
            assert!(Mist::read(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn shade_is_read_both_ways_and_a_bare_share_is_asked_about() {
        assert_eq!(read_light("40 % blocked"), Ok(60));
        assert_eq!(read_light("60 % let through"), Ok(60));
        assert_eq!(read_light("4 %"), Err(CareFault::BlockedOrLetThrough { share: 4 }));
        assert!(read_light("much").is_err() && read_light("140 % blocked").is_err());
        assert_eq!(Care::Light { let_through: 96 }.facet().expect("a facet").1, "80-100 % let through");
        assert_eq!(Care::Light { let_through: 60 }.facet().expect("a facet").1, "60-80 % let through");
    }
}
