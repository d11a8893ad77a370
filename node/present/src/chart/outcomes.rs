//! What a number of pieces may bring: equally likely outcomes as dots, those that reach the aim filled.

use std::collections::BTreeMap;

use maud::{Markup, html};
use serde::{Deserialize, Serialize};

use super::{Behind, Draw};
use crate::lines::Lines;
use crate::svg::{WIDE, tenths};
use crate::table::{Column, Table};

/// Distance of dots above each other, and their radius.
const STEP: f64 = 12.0;
const RADIUS: f64 = 4.5;
const SIDE: f64 = 14.0;
const FOOT: f64 = 22.0;

/// Equally likely numbers of successes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Outcomes {
    /// The picture in words.
    pub said: String,
    /// The outcomes.
    pub outcomes: Vec<u32>,
    /// The number that is wanted.
    pub want: u32,
    /// What is counted.
    pub counted: String,
    /// Those that do not reach the number wanted, and those that do, as the table names them.
    pub groups: [String; 2],
    /// Heading of these in the table.
    pub head: String,
    /// Words of the table.
    pub behind: Behind,
}

/// Where numbers stand; neighbouring ones share a column, since dots next to each other must not touch.
#[derive(Clone, Copy)]
struct Places {
    wide: u32,
    last: u32,
}

impl Places {
    fn up_to(most: u32) -> Self {
        let columns = ((WIDE - 2.0 * SIDE) / (2.0 * RADIUS + 1.0)).floor() as u32;
        let wide = most.saturating_add(1).div_ceil(columns).max(1);
        Self { wide, last: (most / wide).max(1) }
    }

    fn column(self, number: u32) -> u32 {
        number / self.wide
    }

    fn x(self, number: u32) -> f64 {
        SIDE + (WIDE - 2.0 * SIDE) * f64::from(self.column(number)) / f64::from(self.last)
    }
}

impl Outcomes {
    fn most(&self) -> u32 {
        self.outcomes.iter().copied().max().unwrap_or(0).max(self.want).max(1)
    }

    /// The dots over the columns where they stand.
    fn dots(&self, places: Places, base: f64, stacks: &BTreeMap<u32, Vec<u32>>) -> Markup {
        html! {
            @for stack in stacks.values() { @for (index, number) in stack.iter().enumerate() {
                circle class=(if *number >= self.want { "full" } else { "ring thin" }) cx=(tenths(places.x(*number))) cy=(base - STEP * (index as f64 + 0.5)) r=(RADIUS) {}
            } }
        }
    }
}

impl Draw for Outcomes {
    fn picture(&self) -> Markup {
        let (most, want) = (self.most(), self.want);
        let places = Places::up_to(most);
        let mut stacks: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
        for number in &self.outcomes {
            stacks.entry(places.column(*number)).or_default().push(*number);
        }
        let base = stacks.values().map(Vec::len).max().unwrap_or(1) as f64 * STEP + 6.0;
        let high = base + FOOT;
        let middle = places.x(want);
        let aim = middle - RADIUS - 1.5;
        html! {
            svg viewBox={ "0 0 " (WIDE) " " (high) } width=(WIDE) height=(high) role="img" aria-label=(self.said) {
                path class="line" d={ "M" (SIDE - 8.0) " " (base) "H" (WIDE - SIDE + 8.0) } {}
                path class="grid" d={ (format!("M{aim:.1} 0V{base}")) } {}
                (self.dots(places, base, &stacks))
                text x=(SIDE - 8.0) y=(high - 6.0) font-size="12" { "0" }
                @if want > 0 && middle > SIDE + 24.0 && middle < WIDE - 70.0 { text x=(tenths(middle)) y=(high - 6.0) text-anchor="middle" font-size="12" { (want) } }
                text x=(WIDE - SIDE + 8.0) y=(high - 6.0) text-anchor="end" font-size="12" { (most) " " (self.counted) }
            }
        }
    }

    /// The outcomes themselves, rising, those that reach the aim apart.
    fn table(&self) -> Table {
        let mut sorted = self.outcomes.clone();
        sorted.sort_unstable();
        let (short, reached) = sorted.split_at(sorted.partition_point(|number| *number < self.want));
        let row = |(words, numbers): (&String, &[u32])| {
            let numbers: Vec<String> = numbers.iter().map(u32::to_string).collect();
            vec![words.into(), numbers.join(", ").into()]
        };
        let rows = self.groups.iter().zip([short, reached]).filter(|(_, numbers)| !numbers.is_empty());
        Table::new(self.behind.caption.clone(), [Column::words(&self.head), Column::words(&self.counted)])
            .rows(rows.map(row))
    }

    /// From few to many: `O` reaches the aim, `.` does not.
    fn text(&self, lines: &mut Lines) {
        let mut sorted = self.outcomes.clone();
        sorted.sort_unstable();
        let marks: Vec<char> =
            sorted.iter().map(|number| if *number >= self.want { 'O' } else { '.' }).collect();
        for line in marks.chunks(lines.room().max(1)) {
            lines.push(&line.iter().collect::<String>());
        }
        lines.wrap_text(&self.said);
    }

    fn behind(&self) -> Option<&str> {
        Some(&self.behind.summary)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn outcomes(want: u32, outcomes: &[u32]) -> Outcomes {
        let (said, head, groups) = (String::new(), String::new(), Default::default());
        let counted = "rooted".to_owned();
        Outcomes { said, outcomes: outcomes.to_vec(), want, counted, groups, head, behind: Behind::new("") }
    }

    #[test]
    fn dots_that_reach_the_aim_are_filled() {
        let drawn = outcomes(2, &[0, 1, 2, 2, 5]).picture().into_string();
        assert_eq!(
            (drawn.matches("class=\"full\"").count(), drawn.matches("class=\"ring thin\"").count()),
            (3, 2)
        );
        // The two dots of the same number stand above each other.
        assert!(
            drawn.contains("cx=\"130.8\" cy=\"24\"") && drawn.contains("cx=\"130.8\" cy=\"12\""),
            "{drawn}"
        );
    }

    #[test]
    fn large_numbers_share_columns_within_the_picture() {
        for most in [1_500, u32::MAX] {
            let drawn = outcomes(900, &[100, 900, 901, most]).picture().into_string();
            let at: Vec<f64> = drawn
                .split("cx=\"")
                .skip(1)
                .filter_map(|rest| rest.split('"').next()?.parse().ok())
                .collect();
            assert_eq!(at.len(), 4);
            assert!(at.iter().all(|x| (SIDE..=WIDE - SIDE).contains(x)), "{at:?}");
        }
    }
}
