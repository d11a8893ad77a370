//! Shares of all over time; a change fell somewhere between two days, and is drawn as that stretch.

use maud::{Markup, html};
use serde::{Deserialize, Serialize};

use super::{Behind, Draw};
use crate::number;
use crate::svg::{WIDE, tenths};
use crate::table::{Column, Layout, Row, Table};

/// Height of the picture.
const HIGH: f64 = 160.0;
/// Room for the numbers beside it.
const SIDE: f64 = 40.0;
const FOOT: f64 = 24.0;

/// Shares over time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Curves {
    /// The picture in words.
    pub said: String,
    /// What was seen, day by day.
    pub days: Vec<CurveDay>,
    /// Headings of the table: the day, the share that ever reached it, alive, dead, gone.
    pub heads: [String; 5],
    /// Words of the table.
    pub behind: Behind,
}

/// How it stood after a day; shares are of all.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CurveDay {
    /// The day.
    pub on: String,
    /// Days since the beginning.
    pub days: i32,
    /// Share that ever reached what counts; none until it was looked for everywhere.
    pub ever: Option<f64>,
    /// Pieces that had reached it where it was looked for.
    pub at_least: u32,
    /// Pieces where it was looked for.
    pub looked_for: u32,
    /// Share alive.
    pub alive: f64,
    /// Share dead.
    pub dead: f64,
    /// Share lost or left.
    pub gone: f64,
}

/// A line of the picture: its class, where it begins, and its share on a day.
type Line = (&'static str, f64, fn(&CurveDay) -> Option<f64>);

const LINES: [Line; 4] = [
    ("rooted", 0.0, |day| day.ever),
    ("alive", 1.0, |day| Some(day.alive)),
    ("died", 0.0, |day| Some(day.dead)),
    ("gone", 0.0, |day| Some(day.gone)),
];

impl CurveDay {
    fn ever(&self) -> String {
        match (self.ever, self.looked_for) {
            (Some(ever), _) => percent(ever),
            (None, 0) => "not checked".to_owned(),
            (None, of) => format!("at least {} in {of}", self.at_least),
        }
    }
}

fn percent(share: f64) -> String {
    format!("{} %", number::percent(share))
}

fn x(days: i32, last: i32) -> f64 {
    SIDE + (WIDE - SIDE - 6.0) * f64::from(days.max(0)) / f64::from(last)
}

fn y(share: f64) -> f64 {
    (HIGH - FOOT) - (HIGH - FOOT - 8.0) * share
}

fn frame(last: i32) -> Markup {
    html! {
        @for share in [0.0, 0.5, 1.0] {
            line class="faint" x1=(SIDE) x2=(WIDE - 6.0) y1=(tenths(y(share))) y2=(tenths(y(share))) {}
            text x=(SIDE - 5.0) y=(tenths(y(share) + 4.0)) text-anchor="end" font-size="12" { ((share * 100.0) as u32) " %" }
        }
        text x=(SIDE) y=(HIGH - 6.0) font-size="12" { "day 0" }
        text x=(WIDE - 6.0) y=(HIGH - 6.0) text-anchor="end" font-size="12" { "day " (last) }
    }
}

/// A box over each stretch in which the share changed; blank where it is not known at either end.
fn stretches(days: &[CurveDay], last: i32, (class, first, share): Line) -> Markup {
    let mut before = (0, first);
    let mut boxes = Vec::new();
    for day in days {
        if let Some(now) = share(day) {
            boxes.push((before, (day.days, now)));
            before = (day.days, now);
        } else {
            before.0 = day.days;
        }
    }
    html! {
        @for ((day, from), (until, to)) in boxes {
            @let (low, high) = (from.min(to), from.max(to));
            rect class={ "stretch " (class) } x=(tenths(x(day, last))) y=(tenths(y(high))) width=(tenths(x(until, last) - x(day, last))) height=(tenths((y(low) - y(high)).max(1.2))) {}
        }
    }
}

impl Draw for Curves {
    fn picture(&self) -> Markup {
        let last = self.days.last().map_or(1, |day| day.days.max(1));
        html! {
            svg viewBox={ "0 0 " (WIDE) " " (HIGH) } width=(WIDE) height=(HIGH) role="img" aria-label=(self.said) {
                (frame(last))
                @for line in LINES { (stretches(&self.days, last, line)) }
            }
        }
    }

    fn table(&self) -> Table {
        let [day, shares @ ..] = &self.heads;
        let columns = [Column::words(day)].into_iter().chain(shares.iter().map(Column::numbers));
        let row = |day: &CurveDay| -> Row {
            let shares = [day.alive, day.dead, day.gone].map(|share| percent(share).into());
            let first = [format!("{} (day {})", day.on, day.days).into(), day.ever().into()];
            first.into_iter().chain(shares).collect()
        };
        Table::new(self.behind.caption.clone(), columns)
            .laid_out(Layout::Thirds)
            .rows(self.days.iter().map(row))
    }

    fn behind(&self) -> Option<&str> {
        Some(&self.behind.summary)
    }
}
