//! How many live, day by day: steps on the days on which somebody looked, from nothing to all that were started.

use std::fmt::Write;

use maud::{Markup, html};
use serde::{Deserialize, Serialize};

use super::{Behind, Draw};
use crate::svg::tenths;
use crate::table::{Column, Table};

/// Size of the picture, with room for the numbers left, the names right and the days below.
const WIDE: f64 = 340.0;
const HIGH: f64 = 168.0;
const LEFT: f64 = 30.0;
const RIGHT: f64 = 96.0;
const TOP: f64 = 10.0;
const FOOT: f64 = 24.0;
/// Least distance of two names.
const NAME: f64 = 14.0;
/// Characters of a name that have room.
const CHARACTERS: usize = 14;

/// Lines over the same days.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Alive {
    /// The picture in words.
    pub said: String,
    /// At most four lines, which stay apart by dash and marker.
    pub lines: Vec<AliveLine>,
    /// The word before the number of a day.
    pub day: String,
    /// What is said below it.
    pub note: String,
    /// Words of the table.
    pub behind: Behind,
}

/// One line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct AliveLine {
    /// Its name.
    pub name: String,
    /// How many were started.
    pub started: u32,
    /// Days since then, and how many lived.
    pub points: Vec<(i32, u32)>,
}

impl AliveLine {
    /// From all on the first day.
    fn whole(&self) -> Vec<(i32, u32)> {
        std::iter::once((0, self.started)).chain(self.points.iter().copied()).collect()
    }

    fn now(&self) -> u32 {
        self.points.last().map_or(self.started, |(_, alive)| *alive)
    }
}

impl Alive {
    fn most(&self) -> u32 {
        self.lines.iter().map(|line| line.started).max().unwrap_or(1).max(1)
    }

    fn last(&self) -> i32 {
        self.lines.iter().flat_map(|line| &line.points).map(|(day, _)| *day).max().unwrap_or(1).max(1)
    }

    fn x(&self, day: i32) -> f64 {
        LEFT + (WIDE - LEFT - RIGHT) * f64::from(day.clamp(0, self.last())) / f64::from(self.last())
    }

    fn y(&self, alive: u32) -> f64 {
        (HIGH - FOOT) - (HIGH - FOOT - TOP) * f64::from(alive) / f64::from(self.most())
    }

    fn frame(&self) -> Markup {
        let most = self.most();
        let ticks = if most > 1 { vec![0, most / 2, most] } else { vec![0, most] };
        html! {
            @for tick in ticks {
                path class="grid" d=(format!("M{LEFT} {:.1}H{:.1}", self.y(tick), WIDE - RIGHT)) {}
                text class="second" x=(LEFT - 6.0) y=(tenths(self.y(tick) + 4.0)) text-anchor="end" font-size="12" { (tick) }
            }
            text class="second" x=(LEFT) y=(HIGH - 6.0) font-size="12" { (self.day) " 0" }
            text class="second" x=(WIDE - RIGHT) y=(HIGH - 6.0) text-anchor="end" font-size="12" { (self.last()) }
        }
    }

    /// Steps, and a marker on each day on which somebody looked.
    fn line(&self, index: usize, line: &AliveLine) -> Markup {
        let (mut steps, mut markers) = (String::new(), String::new());
        for (at, (day, alive)) in line.whole().into_iter().enumerate() {
            let (x, y) = (self.x(day), self.y(alive));
            let _ = if at == 0 { write!(steps, "M{x:.1} {y:.1}") } else { write!(steps, "H{x:.1}V{y:.1}") };
            let _ = write!(markers, "M{x:.1} {y:.1}{}", marker(index));
        }
        html! { g class={ "series s" (index % 4 + 1) } { path class="steps" d=(steps) {} path class="markers" d=(markers) {} } }
    }

    /// Names at the ends of their lines, pushed apart.
    fn names(&self) -> Markup {
        let mut at: Vec<(usize, f64)> =
            self.lines.iter().map(|line| self.y(line.now()) + 4.0).enumerate().collect();
        at.sort_by(|a, b| a.1.total_cmp(&b.1));
        for index in 1..at.len() {
            at[index].1 = at[index].1.max(at[index - 1].1 + NAME);
        }
        html! {
            @for (index, y) in at {
                @let line = &self.lines[index];
                text class={ "name s" (index % 4 + 1) } x=(WIDE - RIGHT + 10.0) y=(tenths(y)) font-size="12" font-weight="700" { (short(&line.name)) " " (line.now()) }
            }
        }
    }
}

/// Markers that differ without colour: a disc, a square, a triangle, a diamond.
fn marker(index: usize) -> &'static str {
    ["m-3 0a3 3 0 1 0 6 0a3 3 0 1 0-6 0", "m-3-3h6v6h-6z", "m-3.5 3h7l-3.5-6.5z", "m-4 0l4-4l4 4l-4 4z"]
        [index % 4]
}

fn short(name: &str) -> String {
    if name.chars().count() <= CHARACTERS - 2 {
        return name.to_owned();
    }
    name.chars().take(CHARACTERS - 3).chain(['…']).collect()
}

impl Draw for Alive {
    fn picture(&self) -> Markup {
        html! {
            svg viewBox={ "0 0 " (WIDE) " " (HIGH) } width=(WIDE) height=(HIGH) role="img" aria-label=(self.said) {
                (self.frame())
                @for (index, line) in self.lines.iter().enumerate() { (self.line(index, line)) }
                (self.names())
            }
            p class="legend" { (self.note) }
        }
    }

    fn table(&self) -> Table {
        let mut days: Vec<i32> = self.lines.iter().flat_map(AliveLine::whole).map(|(day, _)| day).collect();
        days.sort_unstable();
        days.dedup();
        let columns = std::iter::once(Column::numbers(&self.day));
        let columns = columns.chain(self.lines.iter().map(|line| Column::numbers(&line.name)));
        let seen = |line: &AliveLine, day: i32| {
            let on = line.whole().into_iter().rev().find(|(on, _)| *on == day);
            on.map(|(_, alive)| alive.to_string()).unwrap_or_default().into()
        };
        let row = |day: &i32| {
            let lines = self.lines.iter().map(|line| seen(line, *day));
            std::iter::once(day.to_string().into()).chain(lines).collect::<Vec<_>>()
        };
        Table::new(self.behind.caption.clone(), columns).rows(days.iter().map(row))
    }

    fn behind(&self) -> Option<&str> {
        Some(&self.behind.summary)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_begin_with_all_and_names_stay_apart() {
        let line = |name: &str, points| AliveLine { name: name.to_owned(), started: 24, points };
        let lines = vec![line("dip", vec![(28, 23), (103, 22)]), line("none", vec![(28, 23), (103, 22)])];
        let (said, day, note) = (String::new(), "day".to_owned(), String::new());
        let chart = Alive { said, lines, day, note, behind: Behind::new("") };
        let drawn = chart.picture().into_string();
        assert!(drawn.contains("d=\"M30.0 10.0H88.2V15.6H244.0V21.2\""), "{drawn}");
        assert!(drawn.contains("y=\"25.2\"") && drawn.contains("y=\"39.2\""), "{drawn}");
        assert_eq!(chart.table().rows.len(), 3);
    }
}
