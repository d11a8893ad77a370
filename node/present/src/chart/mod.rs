//! Typed charts: each is one file that holds its data and renders it as a picture, as characters and as a table. What is
//! said of the data is handed in by whoever composes: a chart knows no use case.
//!
//! A new chart is a file with `impl Draw`, and its line in the list below.

mod alive;
mod axis;
mod bars;
mod bench;
mod chances;
pub mod changing;
mod dots;
mod fates;
mod forest;
mod funnel;
mod life_line;
mod months;
mod outcomes;
mod pot_trays;
mod share;
mod strip;

use maud::{Markup, PreEscaped};
use serde::{Deserialize, Serialize};

pub use alive::{Alive, AliveLine};
pub use bench::{BenchMap, BenchPlace};
pub use chances::Chances;
pub use dots::{Dots, Mark, Pieces};
pub use forest::{Forest, ForestBlock, ForestRow, Key, KeyMark, Reading};
pub use funnel::{Funnel, Step};
pub use life_line::{LifeLine, Stop};
pub use months::{Band, Months};
pub use outcomes::Outcomes;
pub use pot_trays::{PotTray, PotTrays};
pub use share::Share;
pub use strip::{Measure, Neighbor, Strip};

use crate::clean::clean;
use crate::lines::Lines;
use crate::phrase::Phrase;
use crate::table::Table;

/// Words of the table that stands behind a picture.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Behind {
    /// What unfolds it.
    pub summary: String,
    /// What it is of.
    pub caption: Phrase,
}

impl Behind {
    /// With the usual words to unfold it.
    pub fn new(caption: impl Into<Phrase>) -> Self {
        Self::named("As a table", caption)
    }

    /// With words of its own to unfold it.
    pub fn named(summary: impl Into<String>, caption: impl Into<Phrase>) -> Self {
        Self { summary: summary.into(), caption: caption.into() }
    }
}

/// What a chart can do.
pub(crate) trait Draw {
    /// Its SVG, with a legend where it has one.
    fn picture(&self) -> Markup;

    /// The same numbers as a table.
    fn table(&self) -> Table;

    /// The same in characters; a chart that has no such picture is its table.
    fn text(&self, lines: &mut Lines) {
        crate::lines::table(lines, &self.table());
    }

    /// What unfolds the table on a page; none where the picture says all numbers itself.
    fn behind(&self) -> Option<&str> {
        None
    }

    /// Class of what stands around it on a page; none where it stands within other things.
    fn class(&self) -> Option<&'static str> {
        Some("figure")
    }
}

/// Makes the charts, all of them, from one list.
macro_rules! charts {
    ($($(#[$doc:meta])* $chart:ident,)*) => {
        /// A picture of numbers.
        #[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        pub enum Chart {
            $($(#[$doc])* $chart($chart),)*
        }

        $(impl From<$chart> for Chart {
            fn from(chart: $chart) -> Self {
                Self::$chart(chart)
            }
        })*

        impl Chart {
            fn draw(&self) -> &dyn Draw {
                match self {
                    $(Self::$chart(chart) => chart,)*
                }
            }
        }
    };
}

charts! {
    /// How often each count would come about.
    Chances,
    /// How many live, day by day.
    Alive,
    /// A mark for each piece.
    Dots,
    /// Rates with what is known of them.
    Forest,
    /// How many came how far.
    Funnel,
    /// What was done and counted, and what is ahead.
    LifeLine,
    /// Twelve months beside those of others.
    Months,
    /// Equally likely outcomes.
    Outcomes,
    /// A small tray for each pot.
    PotTrays,
    /// One share as a bar.
    Share,
    /// Own measures over those of others.
    Strip,
    /// A bench with each pot where it stands.
    BenchMap,
}

impl Chart {
    /// The same numbers as a table.
    pub fn table(&self) -> Table {
        self.draw().table()
    }

    /// Its SVG with the legend, without what a page puts around it; characters that would steer a screen are replaced.
    pub fn svg(&self) -> Markup {
        PreEscaped(clean(&self.picture().into_string()).into_owned())
    }

    pub(crate) fn picture(&self) -> Markup {
        self.draw().picture()
    }

    pub(crate) fn text(&self, lines: &mut Lines) {
        self.draw().text(lines);
    }

    pub(crate) fn behind(&self) -> Option<&str> {
        self.draw().behind()
    }

    pub(crate) fn class(&self) -> Option<&'static str> {
        self.draw().class()
    }
}
