//! The own measures over those of others: a bar for each value, piece by piece, and a wedge at the own one.

use std::fmt::Write;

use maud::{Markup, html};
use serde::{Deserialize, Serialize};

use super::{Behind, Draw};
use crate::svg::WIDE;
use crate::table::{Column, Table};

const SIDE: f64 = 34.0;
/// Height of a row.
const ROW: f64 = 46.0;

/// Measures one below the other.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Strip {
    /// The measures.
    pub measures: Vec<Measure>,
    /// What the marks mean: the own value, near ones, others.
    pub keys: [String; 3],
    /// What else is said below.
    pub note: String,
    /// Headings of the table: the measure, the own value, the others.
    pub heads: [String; 3],
    /// What is said of a value that is not known.
    pub not_known: String,
    /// Words of the table.
    pub behind: Behind,
}

/// One measure.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Measure {
    /// The row in words.
    pub said: String,
    /// What is measured.
    pub what: String,
    /// In which unit.
    pub unit: String,
    /// The own value.
    pub own: Option<f64>,
    /// Those of others.
    pub others: Vec<Neighbor>,
}

/// The value of another.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Neighbor {
    /// The value.
    pub value: f64,
    /// Whether that other is near in what is compared.
    pub is_near: bool,
}

/// How many have a value.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Tally {
    value: f64,
    near: usize,
    far: usize,
}

impl Measure {
    /// Values with how many near and other ones have them, rising.
    fn counted(&self) -> Vec<Tally> {
        let mut all: Vec<Tally> = Vec::new();
        let mut others = self.others.clone();
        others.sort_by(|a, b| a.value.total_cmp(&b.value));
        for Neighbor { value, is_near } in others {
            let (near, far) = (usize::from(is_near), usize::from(!is_near));
            match all.last_mut().filter(|last| (last.value - value).abs() < 1e-9) {
                Some(last) => (last.near, last.far) = (last.near + near, last.far + far),
                None => all.push(Tally { value, near, far }),
            }
        }
        all
    }

    /// From the lowest value to the highest.
    fn ends(&self) -> (f64, f64) {
        let values = self.others.iter().map(|other| other.value).chain(self.own);
        values
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)))
    }

    /// Bars of near ones, and on top of them bars of the others.
    fn bars(&self, x: impl Fn(f64) -> f64, base: f64) -> (String, String) {
        let counted = self.counted();
        let most = counted.iter().map(|tally| tally.near + tally.far).max().unwrap_or(1).max(1) as f64;
        let tall = base - 12.0;
        let (mut nears, mut others) = (String::new(), String::new());
        for Tally { value, near, far } in counted {
            let (near, far) = (tall * near as f64 / most, tall * far as f64 / most);
            if near > 0.0 {
                let _ = write!(nears, "M{:.1} {base}v{:.1}h8v{near:.1}z", x(value) - 4.0, -near);
            }
            if far > 0.0 {
                let _ = write!(others, "M{:.1} {:.1}v{:.1}h8v{far:.1}z", x(value) - 4.0, base - near, -far);
            }
        }
        (nears, others)
    }

    fn row(&self) -> Markup {
        let (low, high) = self.ends();
        let reach = (high - low).max(1.0);
        let x = |value: f64| SIDE + (WIDE - 2.0 * SIDE) * (value - low) / reach;
        let base = ROW - 16.0;
        let (nears, others) = self.bars(x, base);
        html! {
            svg viewBox={ "0 0 " (WIDE) " " (ROW) } width=(WIDE) height=(ROW) role="img" aria-label=(self.said) {
                path class="line thin" d={ "M" (SIDE - 8.0) " " (base) "H" (WIDE - SIDE + 8.0) } {}
                path class="full" d=(nears) {}
                path class="open" d=(others) {}
                @if let Some(own) = self.own { path class="own" d=(format!("M{:.1} {:.1}l-6-9h12z", x(own), 10.0)) {} path class="grid" d=(format!("M{:.1} 10V{base}", x(own))) {} }
                @if low <= high {
                    text x=(SIDE - 8.0) y=(ROW - 3.0) font-size="12" { (format!("{low:.0}")) }
                    text x=(WIDE - SIDE + 8.0) y=(ROW - 3.0) text-anchor="end" font-size="12" { (format!("{high:.0}")) " " (self.unit) }
                }
            }
        }
    }
}

impl Strip {
    fn legend(&self) -> Markup {
        let key = |drawn: Markup, words: &str| {
            html! { span class="key" { svg viewBox="0 0 14 14" width="14" height="14" aria-hidden="true" { (drawn) } (words) } " " }
        };
        let [own, near, far] = &self.keys;
        html! {
            p class="legend" {
                (key(html! { path class="own" d="M7 11l-6-9h12z" {} }, own))
                (key(html! { rect class="full" x="3" y="2" width="8" height="11" {} }, near))
                (key(html! { rect class="open" x="3" y="2" width="8" height="10" {} }, far))
                span class="soft" { (self.note) }
            }
        }
    }
}

impl Draw for Strip {
    fn picture(&self) -> Markup {
        html! {
            @for measure in &self.measures { p class="tight" { (measure.said) } (measure.row()) }
            (self.legend())
        }
    }

    fn table(&self) -> Table {
        let row = |measure: &Measure| {
            let own = measure.own.map_or_else(|| self.not_known.clone(), |own| format!("{own:.0}"));
            let others = measure.counted();
            let others =
                others.iter().map(|Tally { value, near, far }| format!("{value:.0}: {}", near + far));
            let others = others.collect::<Vec<_>>().join("; ");
            vec![format!("{}, {}", measure.what, measure.unit).into(), own.into(), others.into()]
        };
        Table::new(self.behind.caption.clone(), self.heads.iter().map(Column::words))
            .rows(self.measures.iter().map(row))
    }

    fn behind(&self) -> Option<&str> {
        Some(&self.behind.summary)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_values_are_counted_together() {
        let others = [(6.0, false), (2.0, true), (2.0, false), (-2.0, true)];
        let others = others.map(|(value, is_near)| Neighbor { value, is_near }).to_vec();
        let (said, what, unit) = (String::new(), String::new(), String::new());
        let counted = Measure { said, what, unit, own: None, others }.counted();
        let counted: Vec<_> = counted.iter().map(|tally| (tally.value, tally.near, tally.far)).collect();
        assert_eq!(counted, [(-2.0, 1, 0), (2.0, 1, 1), (6.0, 0, 1)]);
    }
}
