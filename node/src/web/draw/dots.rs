//! A mark for each piece: states told apart by shape.

use std::fmt::Write;

use maud::{Markup, PreEscaped, html};

use propagule_present::words::pieces::{Mark, Pieces};

/// Width of the picture; it fits the narrowest phone.
const WIDE: u32 = 320;
/// Width and height of one mark.
const CELL: u32 = 20;
/// Marks in one picture; beyond that a mark stands for several pieces.
const MARKS: u32 = 128;

/// A mark for each piece as it stands, with a legend that gives the counts.
pub(in crate::web) fn dots(states: &[Pieces]) -> Markup {
    let total: u32 = states.iter().map(|pieces| pieces.count).sum();
    let per_mark = [1, 2, 5, 10, 20, 50, 100, 200, 500]
        .into_iter()
        .find(|per| total.div_ceil(*per) <= MARKS)
        .unwrap_or(1_000);
    let across = WIDE / CELL;
    let (mut at, mut drawn) = (0, String::new());
    for Pieces { mark, count, .. } in states {
        let marks = count.div_ceil(per_mark);
        let places = (at..at + marks).map(|n| (n % across * CELL + CELL / 2, n / across * CELL + CELL / 2));
        drawn.push_str(&draw(*mark, places));
        at += marks;
    }
    let high = at.div_ceil(across).max(1) * CELL;
    let said: Vec<String> =
        states.iter().map(|pieces| format!("{} {}", pieces.count, pieces.words)).collect();
    html! {
        div class="figure" {
            svg viewBox={ "0 0 " (WIDE) " " (high) } width=(WIDE) height=(high) role="img" aria-label=(said.join(", ")) { (PreEscaped(drawn)) }
            p class="legend" {
                @for Pieces { mark, words, count } in states {
                    span class="key" { svg viewBox="0 0 20 20" width="20" height="20" aria-hidden="true" { (PreEscaped(draw(*mark, [(10, 10)].into_iter()))) } (count) " " (words) }
                    " "
                }
                @if per_mark > 1 { span class="soft" { "(each mark is " (per_mark) " pieces)" } }
            }
        }
    }
}

/// All marks of one state as one path.
fn draw(mark: Mark, places: impl Iterator<Item = (u32, u32)>) -> String {
    let shape = match mark {
        Mark::With | Mark::Waiting => "h0",
        Mark::Left | Mark::Below => "m-6 6v-12h12v12z",
        Mark::NotKnown => "m-3-3q0-4 3-4t3 3q0 2-3 4m0 4h0",
        Mark::Dead => "m-5-5l10 10m-10 0l10-10",
        Mark::Lost => "m-6 0h12",
    };
    let mut path = String::new();
    for (x, y) in places {
        let _ = write!(path, "M{x} {y}{shape}");
    }
    match mark {
        Mark::With => {
            let roots = path.replace("h0", "v8m0-5l-5 5m5-5l5 5");
            format!("<path class=\"dot\" d=\"{path}\"/><path class=\"line\" d=\"{roots}\"/>")
        }
        Mark::Waiting => format!("<path class=\"dot\" d=\"{path}\"/><path class=\"hole\" d=\"{path}\"/>"),
        Mark::Left => format!("<path class=\"full\" d=\"{path}\"/>"),
        Mark::Below | Mark::NotKnown | Mark::Dead | Mark::Lost => {
            format!("<path class=\"line\" d=\"{path}\"/>")
        }
    }
}
