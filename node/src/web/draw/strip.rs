//! A climate strip: the own place over those of the others, by month where twelve are known, and by what is published.

use std::fmt::Write;

use maud::{Markup, html};

use super::scale::WIDE;

const SIDE: f64 = 34.0;
/// Height of a row of others, and of the picture of months.
const ROW: f64 = 46.0;
const MONTHS: f64 = 120.0;

/// One measure of climate.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::web) struct Measure {
    pub(in crate::web) what: &'static str,
    pub(in crate::web) unit: &'static str,
    pub(in crate::web) own: Option<f64>,
    /// The others, with whether their climate is close or similar.
    pub(in crate::web) others: Vec<(f64, bool)>,
}

impl Measure {
    fn values(&self) -> impl Iterator<Item = f64> {
        self.others.iter().map(|(value, _)| *value).chain(self.own)
    }

    /// Values with how many similar and other growers have them, rising.
    pub(in crate::web) fn counted(&self) -> Vec<(f64, usize, usize)> {
        let mut all: Vec<(f64, usize, usize)> = Vec::new();
        let mut others = self.others.clone();
        others.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (value, is_similar) in others {
            match all.last_mut() {
                Some(last) if (last.0 - value).abs() < 1e-9 => {
                    if is_similar {
                        last.1 += 1;
                    } else {
                        last.2 += 1;
                    }
                }
                _ => all.push((value, usize::from(is_similar), usize::from(!is_similar))),
            }
        }
        all
    }

    /// The row in words.
    pub(in crate::web) fn said(&self) -> String {
        let ends = |values: &[f64]| {
            let low = values.iter().copied().fold(f64::INFINITY, f64::min);
            let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            format!("from {low:.0} to {high:.0} {}", self.unit)
        };
        let others: Vec<f64> = self.others.iter().map(|(value, _)| *value).collect();
        let own = self.own.map_or("not known".to_owned(), |own| format!("{own:.0} {}", self.unit));
        let others = if others.is_empty() { "not known".to_owned() } else { ends(&others) };
        format!("{}: yours {own}, the others {others}", self.what)
    }

    /// A row: a bar for each value, filled for similar climates, open for others, and a wedge at the own one.
    pub(in crate::web) fn draw(&self) -> Markup {
        let (low, high) = self
            .values()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
        let reach = (high - low).max(1.0);
        let x = |value: f64| SIDE + (WIDE - 2.0 * SIDE) * (value - low) / reach;
        let counted = self.counted();
        let most = counted.iter().map(|(_, a, b)| a + b).max().unwrap_or(1).max(1) as f64;
        let (mut similar, mut other) = (String::new(), String::new());
        let base = ROW - 16.0;
        let tall = base - 12.0;
        for (value, near, far) in &counted {
            let (near, far) = (tall * *near as f64 / most, tall * *far as f64 / most);
            if near > 0.0 {
                let _ = write!(similar, "M{:.1} {base}v{:.1}h8v{near:.1}z", x(*value) - 4.0, -near);
            }
            if far > 0.0 {
                let _ = write!(other, "M{:.1} {:.1}v{:.1}h8v{far:.1}z", x(*value) - 4.0, base - near, -far);
            }
        }
        html! {
            svg viewBox={ "0 0 " (WIDE) " " (ROW) } width=(WIDE) height=(ROW) role="img" aria-label=(self.said()) {
                path class="line thin" d={ "M" (SIDE - 8.0) " " (base) "H" (WIDE - SIDE + 8.0) } {}
                path class="full" d=(similar) {}
                path class="open" d=(other) {}
                @if let Some(own) = self.own { path class="own" d=(format!("M{:.1} {:.1}l-6-9h12z", x(own), 10.0)) {} path class="grid" d=(format!("M{:.1} 10V{base}", x(own))) {} }
                text x=(SIDE - 8.0) y=(ROW - 3.0) font-size="12" { (format!("{low:.0}")) }
                text x=(WIDE - SIDE + 8.0) y=(ROW - 3.0) text-anchor="end" font-size="12" { (format!("{high:.0}")) " " (self.unit) }
            }
        }
    }
}

/// The own twelve months over the bands in which the middle half of the others have their coldest and hottest.
pub(in crate::web) fn months(
    own: &[f64; 12],
    coldest: Option<[f64; 2]>,
    hottest: Option<[f64; 2]>,
) -> Markup {
    const LETTERS: [&str; 12] = ["J", "F", "M", "A", "M", "J", "J", "A", "S", "O", "N", "D"];
    let ends = coldest.into_iter().chain(hottest).flatten().chain(own.iter().copied());
    let (low, high) =
        ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
    let (low, high) = ((low / 5.0).floor() * 5.0, (high / 5.0).ceil() * 5.0);
    let base = MONTHS - 20.0;
    let y = |value: f64| 6.0 + (base - 6.0) * (high - value) / (high - low).max(1.0);
    let x = |month: usize| SIDE + (WIDE - SIDE - 12.0) * (month as f64 + 0.5) / 12.0;
    let line: String = own
        .iter()
        .enumerate()
        .map(|(month, value)| {
            format!("{}{:.1} {:.1}", if month == 0 { "M" } else { "L" }, x(month), y(*value))
        })
        .collect();
    let band = |band: Option<[f64; 2]>| {
        html! { @if let Some([from, to]) = band {
            rect class="open thin" x=(SIDE) y=(format!("{:.1}", y(to))) width=(WIDE - SIDE - 12.0) height=(format!("{:.1}", (y(from) - y(to)).max(2.0))) {}
        } }
    };
    html! {
        svg viewBox={ "0 0 " (WIDE) " " (MONTHS) } width=(WIDE) height=(MONTHS) role="img" aria-label="Your twelve months as a line; bands where half of the others have their coldest and their hottest month" {
            (band(coldest)) (band(hottest))
            path class="line" d=(line) {}
            @for (month, letter) in LETTERS.iter().enumerate() { text x=(format!("{:.1}", x(month))) y=(MONTHS - 6.0) text-anchor="middle" font-size="12" { (letter) } }
            @for value in [low, high] { text x=(SIDE - 5.0) y=(format!("{:.1}", y(value) + 4.0)) text-anchor="end" font-size="12" { (format!("{value:.0}\u{b0}")) } }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measure() -> Measure {
        Measure {
            what: "Coldest month",
            unit: "\u{b0}C",
            own: Some(2.0),
            others: vec![(6.0, false), (2.0, true), (2.0, false), (-2.0, true)],
        }
    }

    #[test]
    fn equal_values_are_counted_together() {
        assert_eq!(measure().counted(), [(-2.0, 1, 0), (2.0, 1, 1), (6.0, 0, 1)]);
        assert_eq!(measure().said(), "Coldest month: yours 2 \u{b0}C, the others from -2 to 6 \u{b0}C");
    }

    #[test]
    fn a_row_has_filled_and_open_bars_and_the_own_wedge() {
        let drawn = measure().draw().into_string();
        assert!(
            drawn.contains(
                "<path class=\"full\" d=\"M30.0 30v-9.0h8v9.0zM156.0 30v-9.0h8v9.0z\"></path>\
                 <path class=\"open\" d=\"M156.0 21.0v-9.0h8v9.0zM282.0 30.0v-9.0h8v9.0z\"></path>\
                 <path class=\"own\" d=\"M160.0 10.0l-6-9h12z\"></path>"
            ),
            "{drawn}"
        );
    }

    #[test]
    fn months_are_a_line_of_twelve_points() {
        let own = [0.0, 1.0, 4.0, 8.0, 12.0, 16.0, 18.0, 18.0, 14.0, 9.0, 4.0, 1.0];
        let drawn = months(&own, Some([-1.0, 3.0]), None).into_string();
        assert_eq!(
            (drawn.matches('L').count(), drawn.matches("class=\"open thin\"").count()),
            (11, 1),
            "{drawn}"
        );
    }
}
