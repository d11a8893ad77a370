//! One method of a forest plot: what the average grower gets, what a new one may get, and the reader's own.

use maud::{Markup, html};

use super::scale::{Scale, WIDE};

/// Height of a row, and of the second line of one.
const ROW: f64 = 30.0;
const SECOND: f64 = 16.0;
/// Middle of the first line.
const MIDDLE: f64 = 18.0;
/// Largest and smallest dot.
const LARGEST: f64 = 9.0;
const SMALLEST: f64 = 3.0;

/// One row.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::web) struct Row {
    /// The same in words.
    pub(in crate::web) said: String,
    pub(in crate::web) reading: Reading,
    /// Pieces put in, of the most of any row.
    pub(in crate::web) share_of_most: f64,
    /// The reader's own rate.
    pub(in crate::web) own: Option<f64>,
    /// Everybody's average with its interval, where the row is of some growers only.
    pub(in crate::web) everybody: Option<(f64, [f64; 2])>,
}

/// What the first line shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::web) enum Reading {
    /// Average grower with its interval, and a new grower's range.
    Average { rate: f64, interval: [f64; 2], range: [f64; 2] },
    /// What the count alone fits; no dot where nothing succeeded.
    Count { rate: Option<f64>, interval: [f64; 2] },
}

impl Row {
    /// The highest rate that is drawn.
    pub(in crate::web) fn reach(&self) -> f64 {
        let first = match self.reading {
            Reading::Average { interval, range, .. } => interval[1].max(range[1]),
            Reading::Count { interval, .. } => interval[1],
        };
        let everybody = self.everybody.map_or(0.0, |(_, interval)| interval[1]);
        first.max(self.own.unwrap_or(0.0)).max(everybody)
    }

    /// Area of the dot goes by the pieces put in.
    fn radius(&self) -> f64 {
        let radius = LARGEST * self.share_of_most.clamp(0.0, 1.0).sqrt();
        (radius.max(SMALLEST) * 10.0).round() / 10.0
    }

    /// The row as a picture.
    pub(in crate::web) fn draw(&self, scale: Scale) -> Markup {
        let high = if self.everybody.is_some() { ROW + SECOND } else { ROW };
        html! {
            svg viewBox={ "0 0 " (WIDE) " " (high) } width=(WIDE) height=(high) role="img" aria-label=(self.said) {
                (scale.grid(high))
                @match self.reading {
                    Reading::Average { rate, interval, range } => {
                        (whiskers(scale, range))
                        (block(scale, interval, MIDDLE, 7.0, "full"))
                        circle class="full" cx=(scale.x(rate)) cy=(MIDDLE) r=(self.radius()) {}
                    }
                    Reading::Count { rate, interval } => {
                        (block(scale, interval, MIDDLE, 8.0, "open"))
                        @if let Some(rate) = rate { circle class="ring" cx=(scale.x(rate)) cy=(MIDDLE) r=(self.radius()) {} }
                    }
                }
                @if let Some((rate, interval)) = self.everybody {
                    (block(scale, interval, ROW + 4.0, 4.0, "open thin"))
                    circle class="ring thin" cx=(scale.x(rate)) cy=(ROW + 4.0) r="4" {}
                }
                @if let Some(own) = self.own { (own_mark(scale.x(own))) }
            }
        }
    }
}

/// A thin line with ends.
fn whiskers(scale: Scale, [low, high]: [f64; 2]) -> Markup {
    let (low, high) = (scale.x(low), scale.x(high));
    html! { path class="line" d={ "M" (low) " " (MIDDLE - 5.0) "v10m0-5H" (high) "m0-5v10" } {} }
}

fn block(scale: Scale, [low, high]: [f64; 2], middle: f64, thick: f64, class: &str) -> Markup {
    let (from, to) = (scale.x(low), scale.x(high));
    let wide = ((to - from).max(1.0) * 10.0).round() / 10.0;
    html! { rect class=(class) x=(from) y=(middle - thick / 2.0) width=(wide) height=(thick) {} }
}

/// A wedge that points down at the reader's own rate.
fn own_mark(x: f64) -> Markup {
    html! { path class="own" d={ "M" (x) " 10l-6-9h12z" } {} }
}

/// What the marks mean; only those that are there.
pub(in crate::web) fn legend(rows: &[Row]) -> Markup {
    let has = |is: fn(&Row) -> bool| rows.iter().any(is);
    let key = |drawn: Markup, words: &str| {
        html! { span class="key" { svg viewBox="0 0 34 18" width="34" height="18" aria-hidden="true" { (drawn) } (words) } " " }
    };
    html! {
        p class="legend" {
            @if has(|row| matches!(row.reading, Reading::Average { .. })) {
                (key(html! { rect class="full" x="2" y="6" width="30" height="7" {} circle class="full" cx="17" cy="9.5" r="7" {} }, "average grower with its 95 % interval; the larger the dot, the more pieces"))
                (key(html! { path class="line" d="M2 4.5v10m0-5H32m0-5v10" {} }, "where a new grower may land"))
            }
            @if has(|row| matches!(row.reading, Reading::Count { .. })) {
                (key(html! { rect class="open" x="2" y="5.5" width="30" height="8" {} }, "what the count alone fits"))
            }
            @if has(|row| row.own.is_some()) { (key(own_mark(17.0), "your own")) }
            @if has(|row| row.everybody.is_some()) {
                (key(html! { rect class="open thin" x="2" y="7.5" width="30" height="4" {} circle class="ring thin" cx="17" cy="9.5" r="4" {} }, "everybody\u{2019}s average with its interval"))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(reading: Reading) -> Row {
        Row { said: "a < b".to_owned(), reading, share_of_most: 1.0, own: None, everybody: None }
    }

    #[test]
    fn an_average_has_whiskers_block_dot_own_mark_and_everybody_below() {
        let row = Row {
            own: Some(0.25),
            everybody: Some((0.5, [0.4, 0.6])),
            ..row(Reading::Average { rate: 0.5, interval: [0.25, 0.75], range: [0.0, 1.0] })
        };
        assert_eq!(
            row.draw(Scale::holding(row.reach())).into_string(),
            "<svg viewBox=\"0 0 320 46\" width=\"320\" height=\"46\" role=\"img\" aria-label=\"a &lt; b\">\
             <path class=\"grid\" d=\"M18 0V46M74.8 0V46M131.6 0V46M188.4 0V46M245.2 0V46M302 0V46\"></path>\
             <path class=\"line\" d=\"M18 13v10m0-5H302m0-5v10\"></path>\
             <rect class=\"full\" x=\"89\" y=\"14.5\" width=\"142\" height=\"7\"></rect>\
             <circle class=\"full\" cx=\"160\" cy=\"18\" r=\"9\"></circle>\
             <rect class=\"open thin\" x=\"131.6\" y=\"32\" width=\"56.8\" height=\"4\"></rect>\
             <circle class=\"ring thin\" cx=\"160\" cy=\"34\" r=\"4\"></circle>\
             <path class=\"own\" d=\"M89 10l-6-9h12z\"></path></svg>"
        );
    }

    #[test]
    fn a_count_without_success_is_an_open_block_without_a_dot() {
        let row = row(Reading::Count { rate: None, interval: [0.0, 0.054] });
        assert_eq!(
            row.draw(Scale::holding(row.reach())).into_string(),
            "<svg viewBox=\"0 0 320 30\" width=\"320\" height=\"30\" role=\"img\" aria-label=\"a &lt; b\">\
             <path class=\"grid\" d=\"M18 0V30M74.8 0V30M131.6 0V30M188.4 0V30M245.2 0V30M302 0V30\"></path>\
             <rect class=\"open\" x=\"18\" y=\"14\" width=\"153.4\" height=\"8\"></rect></svg>"
        );
        let said = legend(&[row]).into_string();
        assert!(said.contains("what the count alone fits") && !said.contains("your own"), "{said}");
    }

    #[test]
    fn dots_grow_by_area_and_never_vanish() {
        let at = |share| {
            Row { share_of_most: share, ..row(Reading::Count { rate: None, interval: [0.0, 1.0] }) }.radius()
        };
        assert_eq!((at(1.0), at(0.25), at(0.0)), (9.0, 4.5, 3.0));
    }
}
