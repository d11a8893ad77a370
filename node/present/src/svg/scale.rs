//! The scale of rates that rows of a picture share.

use maud::{Markup, html};

use super::WIDE;

/// Room on both sides, half of the widest number.
const SIDE: f64 = 18.0;
/// Ends and steps, per cent.
const SCALES: [(u32, u32); 6] = [(5, 1), (10, 2), (20, 5), (40, 10), (60, 20), (100, 20)];

/// From 0 to an end that holds all rates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Scale {
    end: u32,
    step: u32,
}

impl Scale {
    /// The shortest scale that holds `highest`.
    pub(crate) fn holding(highest: f64) -> Self {
        let holds = |(end, _): &&(u32, u32)| highest * 100.0 <= f64::from(*end);
        let (end, step) = *SCALES.iter().find(holds).unwrap_or(&SCALES[SCALES.len() - 1]);
        Self { end, step }
    }

    /// Where a rate stands, in tenths.
    pub(crate) fn x(self, rate: f64) -> f64 {
        let share = (rate * 100.0 / f64::from(self.end)).clamp(0.0, 1.0);
        ((SIDE + (WIDE - 2.0 * SIDE) * share) * 10.0).round() / 10.0
    }

    fn ticks(self) -> impl Iterator<Item = u32> {
        (0..=self.end).step_by(self.step as usize)
    }

    /// Thin lines through a row.
    pub(crate) fn grid(self, high: f64) -> Markup {
        let lines: String =
            self.ticks().map(|tick| format!("M{} 0V{high}", self.x(f64::from(tick) / 100.0))).collect();
        html! { path class="grid" d=(lines) {} }
    }

    /// The numbers under the rows.
    pub(crate) fn numbers(self) -> Markup {
        html! {
            svg class="axis" viewBox={ "0 0 " (WIDE) " 18" } width=(WIDE) height="18" aria-hidden="true" {
                @for tick in self.ticks() {
                    text x=(self.x(f64::from(tick) / 100.0)) y="14" text-anchor="middle" font-size="12" { (tick) @if tick == self.end { " %" } }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shortest_scale_that_holds_all_is_taken() {
        assert_eq!(Scale::holding(0.03), Scale { end: 5, step: 1 });
        assert_eq!(Scale::holding(0.41), Scale { end: 60, step: 20 });
        assert_eq!(Scale::holding(0.97), Scale { end: 100, step: 20 });
        let scale = Scale::holding(0.97);
        assert_eq!((scale.x(0.0), scale.x(0.5), scale.x(1.0)), (18.0, 160.0, 302.0));
    }
}
