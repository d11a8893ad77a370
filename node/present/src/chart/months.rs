//! Twelve months as a line, over the bands in which others have their coldest and their hottest.

use maud::{Markup, html};
use serde::{Deserialize, Serialize};

use propagule_bench::dates::MONTHS;

use super::{Behind, Draw};
use crate::svg::{WIDE, tenths};
use crate::table::{Column, Table};

const SIDE: f64 = 34.0;
/// Height of the picture.
const HIGH: f64 = 120.0;

/// Twelve months, degrees Celsius.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Months {
    /// The picture in words.
    pub said: String,
    /// The own months.
    pub own: [f64; 12],
    /// The coldest months of others.
    pub coldest: Option<Band>,
    /// Their hottest months.
    pub hottest: Option<Band>,
    /// Headings of the table: the month, its degrees.
    pub heads: [String; 2],
    /// Words of the table.
    pub behind: Behind,
}

/// From one temperature to another.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Band {
    /// What it is of.
    pub words: String,
    /// Its lower end.
    pub from: f64,
    /// Its upper end.
    pub to: f64,
}

impl Months {
    fn bands(&self) -> impl Iterator<Item = &Band> {
        self.coldest.iter().chain(&self.hottest)
    }

    /// The ends of the scale, whole steps of five.
    fn ends(&self) -> (f64, f64) {
        let ends = self.bands().flat_map(|band| [band.from, band.to]).chain(self.own);
        let (low, high) = ends
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
        ((low / 5.0).floor() * 5.0, (high / 5.0).ceil() * 5.0)
    }
}

fn x(month: usize) -> f64 {
    SIDE + (WIDE - SIDE - 12.0) * (month as f64 + 0.5) / 12.0
}

impl Draw for Months {
    fn picture(&self) -> Markup {
        let (low, high) = self.ends();
        let base = HIGH - 20.0;
        let y = |value: f64| 6.0 + (base - 6.0) * (high - value) / (high - low).max(1.0);
        let point = |(month, value): (usize, &f64)| {
            format!("{}{:.1} {:.1}", if month == 0 { "M" } else { "L" }, x(month), y(*value))
        };
        let line: String = self.own.iter().enumerate().map(point).collect();
        html! {
            svg viewBox={ "0 0 " (WIDE) " " (HIGH) } width=(WIDE) height=(HIGH) role="img" aria-label=(self.said) {
                @for band in self.bands() { rect class="open thin" x=(SIDE) y=(tenths(y(band.to))) width=(WIDE - SIDE - 12.0) height=(tenths((y(band.from) - y(band.to)).max(2.0))) {} }
                path class="line" d=(line) {}
                @for (month, name) in MONTHS.iter().enumerate() { text x=(tenths(x(month))) y=(HIGH - 6.0) text-anchor="middle" font-size="12" { (&name[..1]) } }
                @for value in [low, high] { text x=(SIDE - 5.0) y=(tenths(y(value) + 4.0)) text-anchor="end" font-size="12" { (format!("{value:.0}\u{b0}")) } }
            }
        }
    }

    fn table(&self) -> Table {
        let months = MONTHS.iter().zip(&self.own);
        let months = months.map(|(name, degrees)| vec![(*name).into(), tenths(*degrees).into()]);
        let bands = self.bands().map(|band| {
            vec![band.words.as_str().into(), format!("{} to {}", tenths(band.from), tenths(band.to)).into()]
        });
        let [month, degrees] = &self.heads;
        Table::new(self.behind.caption.clone(), [Column::words(month), Column::numbers(degrees)])
            .rows(months.chain(bands))
    }

    fn behind(&self) -> Option<&str> {
        Some(&self.behind.summary)
    }
}
