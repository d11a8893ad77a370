//! How often each count would come about, with the own count marked.

use std::fmt::Write;

use maud::{Markup, html};
use serde::{Deserialize, Serialize};

use super::{Behind, Draw, bars};
use crate::lines::Lines;
use crate::number::in_hundred;
use crate::svg::{WIDE, tenths};
use crate::table::{Column, Table};

/// Most bars; above that a bar stands for several counts.
const BARS: usize = 41;
/// Most lines of the table.
const LINES: usize = 21;
/// Height of the highest bar, and of the room above and below.
const HIGH: f64 = 90.0;
const ABOVE: f64 = 16.0;
const FOOT: f64 = 20.0;
const SIDE: f64 = 8.0;

/// The chance of each count.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Chances {
    /// The picture in words.
    pub said: String,
    /// The chance of 0, 1, 2 and so on.
    pub law: Vec<f64>,
    /// The own count.
    pub own: usize,
    /// What is counted.
    pub counted: String,
    /// What the own count is called.
    pub yours: String,
    /// Heading of the chances in the table.
    pub times: String,
    /// Words of the table.
    pub behind: Behind,
}

/// Counts from `first` to `last` with their chance together.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Bin {
    first: usize,
    last: usize,
    chance: f64,
}

impl Bin {
    fn holds(self, count: usize) -> bool {
        (self.first..=self.last).contains(&count)
    }
}

/// Neighbouring counts put together until there are at most `most` bins.
fn bins(law: &[f64], most: usize) -> Vec<Bin> {
    let wide = law.len().div_ceil(most.max(1)).max(1);
    let chunks = law.chunks(wide).enumerate();
    let bin = |(index, chances): (usize, &[f64])| Bin {
        first: index * wide,
        last: index * wide + chances.len() - 1,
        chance: chances.iter().sum(),
    };
    chunks.map(bin).collect()
}

impl Chances {
    /// `3`, `4 to 6`, `7 (yours: 7)`.
    fn counts(&self, bin: Bin) -> String {
        let to = if bin.last > bin.first { format!(" to {}", bin.last) } else { String::new() };
        let own =
            if bin.holds(self.own) { format!(" ({}: {})", self.yours, self.own) } else { String::new() };
        format!("{}{to}{own}", bin.first)
    }

    /// Bars of the others, of the own count, and where its middle is.
    fn bars(&self) -> (String, String, f64) {
        let bins = bins(&self.law, BARS);
        let highest = bins.iter().map(|bin| bin.chance).fold(f64::MIN_POSITIVE, f64::max);
        let step = (WIDE - 2.0 * SIDE) / bins.len().max(1) as f64;
        let base = ABOVE + HIGH;
        let (mut others, mut mine, mut middle) = (String::new(), String::new(), SIDE);
        for (index, bin) in bins.iter().enumerate() {
            let (x, high) = (SIDE + step * index as f64, HIGH * bin.chance / highest);
            let is_own = bin.holds(self.own);
            let bar = if is_own { &mut mine } else { &mut others };
            let _ = write!(bar, "M{:.1} {base}v{:.1}h{:.1}v{:.1}z", x + step * 0.1, -high, step * 0.8, high);
            if is_own {
                middle = x + step / 2.0;
            }
        }
        (others, mine, middle)
    }
}

/// Words over a place stay within the picture.
fn anchor(middle: f64) -> &'static str {
    if middle < 40.0 {
        "start"
    } else if middle > WIDE - 40.0 {
        "end"
    } else {
        "middle"
    }
}

impl Draw for Chances {
    fn picture(&self) -> Markup {
        let (others, mine, middle) = self.bars();
        let (base, last) = (ABOVE + HIGH, self.law.len().saturating_sub(1));
        let high = base + FOOT;
        html! {
            svg viewBox={ "0 0 " (WIDE) " " (high) } width=(WIDE) height=(high) role="img" aria-label=(self.said) {
                path class="open" d=(others) {}
                path class="full" d=(mine) {}
                path class="line" d={ "M" (SIDE) " " (base) "H" (WIDE - SIDE) } {}
                text x=(tenths(middle)) y="11" text-anchor=(anchor(middle)) font-size="12" { (self.yours) ": " (self.own) }
                text x=(SIDE) y=(high - 5.0) font-size="12" { "0" }
                text x=(WIDE - SIDE) y=(high - 5.0) text-anchor="end" font-size="12" { (last) " " (self.counted) }
            }
        }
    }

    fn table(&self) -> Table {
        let columns = [Column::words(&self.counted), Column::numbers(&self.times)];
        let row = |bin: Bin| vec![self.counts(bin).into(), in_hundred(bin.chance).into()];
        Table::new(self.behind.caption.clone(), columns).rows(bins(&self.law, LINES).into_iter().map(row))
    }

    fn text(&self, lines: &mut Lines) {
        let bins = bins(&self.law, LINES);
        let highest = bins.iter().map(|bin| bin.chance).fold(f64::MIN_POSITIVE, f64::max);
        let rows: Vec<(String, String)> =
            bins.iter().map(|bin| (self.counts(*bin), in_hundred(bin.chance))).collect();
        lines.wrap_text(&format!("{}: {}", self.counted, self.times));
        bars::write(lines, &rows, |place, room| {
            let cells = (bins[place].chance / highest * room as f64).round().clamp(0.0, room as f64);
            if bins[place].holds(self.own) { "O" } else { "#" }.repeat(cells as usize)
        });
    }

    fn behind(&self) -> Option<&str> {
        Some(&self.behind.summary)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_counts_share_bars_and_keep_their_chance() {
        let law = vec![0.01; 100];
        let bins = bins(&law, BARS);
        assert_eq!(
            (bins.len(), bins[0].first, bins[0].last, bins[33].first, bins[33].last),
            (34, 0, 2, 99, 99)
        );
        assert!((bins.iter().map(|bin| bin.chance).sum::<f64>() - 1.0).abs() < 1e-9);
    }
}
