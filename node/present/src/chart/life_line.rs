//! The life of a trial on one line: what was done and counted, when somebody looked, today, and what is still ahead.

use maud::{Markup, html};
use serde::{Deserialize, Serialize};

use super::{Behind, Draw};
use crate::svg::tenths;
use crate::table::{Column, Table};

/// Width of the picture, and room at both ends for half a stake.
const WIDE: f64 = 340.0;
const SIDE: f64 = 12.0;
/// Where the line runs, and where words stand above and below it.
const LINE: f64 = 50.0;
const ABOVE: f64 = 14.0;
const BELOW: f64 = 82.0;
const TODAY: f64 = 110.0;
const HIGH: f64 = 116.0;
/// Width of a character of the words, on average, and the least between two words.
const CHARACTER: f64 = 6.4;
const GAP: f64 = 8.0;

/// A life.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LifeLine {
    /// The picture in words.
    pub said: String,
    /// What was done or counted, and what is planned, in the order of their days.
    pub stops: Vec<Stop>,
    /// Days on which somebody looked and counted no stage.
    pub looks: Vec<i32>,
    /// Today.
    pub today: i32,
    /// What today is called.
    pub today_is: String,
    /// Headings of the table: what, when.
    pub heads: [String; 2],
    /// Words of the table.
    pub behind: Behind,
}

/// Something on the line; days are counted from the first.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stop {
    /// What.
    pub words: String,
    /// The day as it is read.
    pub on: String,
    /// Days from the beginning.
    pub day: i32,
    /// Whether it is behind.
    pub is_done: bool,
}

/// Words of a stop as they are placed.
struct Placed<'a> {
    stop: &'a Stop,
    x: f64,
    anchor: &'static str,
    is_below: bool,
}

impl LifeLine {
    fn last(&self) -> i32 {
        let stops = self.stops.iter().map(|stop| stop.day);
        stops.chain(self.looks.iter().copied()).chain([self.today]).max().unwrap_or(1).max(1)
    }

    fn x(&self, day: i32) -> f64 {
        let share = f64::from(day.clamp(0, self.last())) / f64::from(self.last());
        SIDE + (WIDE - 2.0 * SIDE) * share
    }

    /// Words above the line where there is room, else below it.
    fn placed(&self) -> Vec<Placed<'_>> {
        let (mut above, mut below) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
        let mut placed = Vec::new();
        for stop in &self.stops {
            let wide = stop.words.chars().count().max(stop.on.chars().count()) as f64 * CHARACTER;
            let at = self.x(stop.day);
            let (x, anchor, begins) = if at - wide / 2.0 < 0.0 {
                (0.0, "start", 0.0)
            } else if at + wide / 2.0 > WIDE {
                (WIDE, "end", WIDE - wide)
            } else {
                (at, "middle", at - wide / 2.0)
            };
            let is_below = begins < above + GAP && (begins >= below + GAP || below < above);
            let row = if is_below { &mut below } else { &mut above };
            *row = row.max(begins + wide);
            placed.push(Placed { stop, x, anchor, is_below });
        }
        placed
    }

    fn words(&self) -> Markup {
        html! {
            @for Placed { stop, x, anchor, is_below } in self.placed() {
                @let y = if is_below { BELOW } else { ABOVE };
                text x=(tenths(x)) y=(y) text-anchor=(anchor) font-size="12" font-weight="700" { (stop.words) }
                text class="second" x=(tenths(x)) y=(y + 14.0) text-anchor=(anchor) font-size="12" { (stop.on) }
            }
        }
    }
}

impl Draw for LifeLine {
    fn picture(&self) -> Markup {
        let (now, end) = (self.x(self.today), self.x(self.last()));
        let low_words = self.placed().iter().any(|placed| placed.is_below);
        let today_at = if low_words { TODAY } else { BELOW };
        let high = if low_words { HIGH } else { BELOW + 6.0 };
        let anchor = if now < 40.0 {
            "start"
        } else if now > WIDE - 40.0 {
            "end"
        } else {
            "middle"
        };
        html! {
            svg viewBox={ "0 0 " (WIDE) " " (high) } width=(WIDE) height=(high) role="img" aria-label=(self.said) {
                path class="life" d=(format!("M{SIDE} {LINE}H{now:.1}")) {}
                @if end > now { path class="life ahead" d=(format!("M{now:.1} {LINE}H{end:.1}")) {} }
                @for day in &self.looks { circle class="look" cx=(tenths(self.x(*day))) cy=(LINE) r="3.6" {} }
                path class="now" d=(format!("M{now:.1} 34V{:.1}", today_at - 12.0)) {}
                text class="now" x=(tenths(now)) y=(today_at) text-anchor=(anchor) font-size="12" font-weight="700" { (self.today_is) }
                @for stop in &self.stops {
                    path class=(if stop.is_done { "stop done" } else { "stop" }) d=(format!("M{:.1} 40h14v13l-7 8l-7-8z", self.x(stop.day) - 7.0)) {}
                }
                (self.words())
            }
        }
    }

    fn table(&self) -> Table {
        let row = |stop: &Stop| vec![stop.words.as_str().into(), stop.on.as_str().into()];
        Table::new(self.behind.caption.clone(), self.heads.iter().map(Column::words))
            .rows(self.stops.iter().map(row))
    }

    fn behind(&self) -> Option<&str> {
        Some(&self.behind.summary)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(days: &[i32], today: i32) -> LifeLine {
        let stop = |day: &i32| Stop {
            words: "spring count".to_owned(),
            on: format!("day {day}"),
            day: *day,
            is_done: *day <= today,
        };
        LifeLine {
            said: String::new(),
            stops: days.iter().map(stop).collect(),
            looks: vec![1],
            today,
            today_is: "today".to_owned(),
            heads: Default::default(),
            behind: Behind::new(""),
        }
    }

    #[test]
    fn what_is_behind_is_filled_and_words_do_not_run_into_each_other() {
        let life = line(&[0, 150, 160, 300], 155);
        let drawn = life.picture().into_string();
        assert_eq!((drawn.matches("\"stop done\"").count(), drawn.matches("\"stop\"").count()), (2, 2));
        let below: Vec<bool> = life.placed().iter().map(|placed| placed.is_below).collect();
        assert_eq!(below, [false, false, true, false]);
    }

    #[test]
    fn one_day_alone_is_a_line_too() {
        let life = line(&[0], 0);
        assert!(life.x(0) < life.x(1) && life.picture().into_string().contains("M12 50H12.0"));
    }
}
