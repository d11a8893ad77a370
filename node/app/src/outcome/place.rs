//! Places.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A place was described.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlaceSaved {
    /// What it is.
    #[serde(flatten)]
    pub place: PlaceFacts,
    /// How long the day is there, where a latitude was given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub day_length_hours: Option<DayLength>,
}

/// The places of the grower.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Places {
    /// By name.
    pub places: Vec<PlaceFacts>,
}

/// What is known of a place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlaceFacts {
    /// The grower's name for it.
    pub name: String,
    /// What the numbers of its climate come to.
    pub climate: Option<ClimateFacts>,
    /// Hardiness half-zone.
    pub half_zone: Option<String>,
    /// Months by which its seasons are moved: 0 or 6.
    pub season_shift_months: u8,
    /// All that would ever be published of it.
    #[serde(with = "super::in_order")]
    #[schemars(with = "std::collections::BTreeMap<String, String>")]
    pub published_region: Vec<(String, String)>,
}

/// What the numbers of a climate come to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ClimateFacts {
    /// Köppen–Geiger class.
    pub koppen: String,
    /// Mean of the coldest month in °C.
    pub coldest_month: f64,
    /// Mean of the hottest month in °C.
    pub hottest_month: f64,
    /// Rain of a year in mm.
    pub yearly_rain: f64,
    /// How many numbers it was worked out from: 12 months or 6.
    pub numbers: u8,
}

/// How long the day is, in hours from sunrise to sunset.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DayLength {
    /// On 21 June.
    pub june: f64,
    /// On 21 December.
    pub december: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_would_be_published_keeps_its_order_on_the_way() {
        let pairs = [("zone", "8"), ("coldest", "0 to 4"), ("rule", "none")];
        let place = PlaceFacts {
            name: "home".to_owned(),
            climate: None,
            half_zone: None,
            season_shift_months: 0,
            published_region: pairs.map(|(what, value)| (what.to_owned(), value.to_owned())).to_vec(),
        };
        let sent = serde_json::to_string(&place).expect("plain data");
        assert_eq!(serde_json::from_str::<PlaceFacts>(&sent).expect("plain data"), place);
    }
}
