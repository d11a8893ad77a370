//! What a phrase says.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::vocab::Facet;

/// What was heard.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Heard {
    /// It is clear.
    Understood(Said),
    /// It may mean several things, or something is missing that nobody can guess.
    Asked {
        /// What has to be said.
        missing: Missing,
        /// What may have been meant, the likeliest first; none where only the grower knows the number.
        choices: Vec<Said>,
    },
}

/// What a phrase leaves open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Missing {
    /// Which of several things is meant.
    Which,
    /// How strong a hormone is, as its label says.
    Strength,
    /// Whether the propagules were dipped or soaked.
    DipOrSoak,
    /// How warm it is below.
    Heat,
    /// How much light is let through, or kept out.
    PerCent,
    /// How many years old the stock plant is.
    Years,
    /// How many nodes were taken off.
    Nodes,
    /// The day, or the stage of growth.
    Date,
}

/// Details with their words, and what no record holds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Said {
    /// Details with words that they have, the one that was asked for first; empty words undo it.
    pub facets: Vec<(Facet, String)>,
    /// What stays in the grower's own book.
    pub at_home: Vec<AtHome>,
}

/// A detail that no record holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AtHome {
    /// Of what.
    pub detail: HomeDetail,
    /// A number, with its unit where the detail has several.
    pub text: String,
}

/// What is kept beside a method and never signed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum HomeDetail {
    /// Seconds in a dip.
    Seconds,
    /// Minutes in a dip or a soak.
    Minutes,
    /// Hours in a soak.
    Hours,
    /// Cells of a tray.
    Cells,
    /// Size of a pot, with its unit.
    Size,
    /// Leaves kept on a cutting.
    Leaves,
}

impl HomeDetail {
    /// The detail that it says more of.
    pub const fn facet(self) -> Facet {
        match self {
            Self::Size | Self::Cells => Facet::Container,
            Self::Leaves => Facet::Leaves,
            Self::Seconds | Self::Minutes | Self::Hours => Facet::Auxin,
        }
    }

    /// Whether there is such a detail of what these words of its detail say: no hormone takes no time, a pot has no cells.
    pub fn fits(self, words: &str) -> bool {
        let takes_time = !matches!(words, "none" | "carrier only") && !words.contains("powder");
        match self {
            Self::Size => !matches!(words, "cell tray" | "open bed" | "bare-root bundle"),
            Self::Cells => words == "cell tray",
            Self::Leaves => words != "none",
            Self::Seconds => takes_time && !words.contains("soak"),
            Self::Minutes => takes_time,
            Self::Hours => takes_time && !words.contains("dip"),
        }
    }
}

impl Said {
    pub(super) fn of(facet: Facet, words: impl Into<String>) -> Self {
        Self { facets: vec![(facet, words.into())], at_home: Vec::new() }
    }

    pub(super) fn all(facets: &[(Facet, &str)]) -> Self {
        let facets = facets.iter().map(|(facet, words)| (*facet, (*words).to_owned())).collect();
        Self { facets, at_home: Vec::new() }
    }

    pub(super) fn with(mut self, detail: HomeDetail, text: impl Into<String>) -> Self {
        self.at_home.push(AtHome { detail, text: text.into() });
        self
    }
}
