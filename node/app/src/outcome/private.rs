//! What stays at home.

use propagule_bench::locale::{DateStyle, Dialect, Units};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A trial stays at home from now on, or may be published again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PrivacySet {
    /// Its code.
    pub trial: String,
    /// Whether it stays at home.
    pub private: bool,
    /// The update that is published already.
    pub published_revision: Option<u8>,
}

/// Whether results of this home are to be published.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct HomeSettings {
    /// What was chosen; none where nothing was.
    pub publishing: Option<bool>,
    /// Whether what is due names results that were not published.
    pub asks_to_publish: bool,
    /// Whether it was chosen now.
    #[serde(default)]
    pub is_chosen_now: bool,
    /// Whether trials are announced on the day they are started; none where nothing was chosen.
    pub announce: Option<bool>,
    /// Trade words and spelling: us, uk or au.
    pub dialect: Dialect,
    /// Units of what is shown.
    pub units: Units,
    /// Order of the parts of a day.
    pub date_order: DateStyle,
    /// Country by its two letters; none where none is known.
    pub country: Option<String>,
    /// The day on which the grower said that the clock was right; none where that was not asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clock_right: Option<String>,
    /// What was chosen now.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chosen: Option<SettingChoice>,
}

/// Something that a grower chooses for a home.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "setting", content = "value", rename_all = "snake_case")]
pub enum SettingChoice {
    /// Trade words and spelling.
    Dialect(Dialect),
    /// Units of what is shown.
    Units(Units),
    /// Country by its two letters.
    Country(String),
    /// Order of the parts of a day.
    DateOrder(DateStyle),
    /// Whether trials are announced on the day they are started.
    Announce(bool),
    /// Whether results are to be published.
    Publishing(bool),
    /// Whether the clock of this computer is right, however far ahead it is.
    ClockRight(bool),
}
