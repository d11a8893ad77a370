//! A mark for each piece: states told apart by shape.

use std::fmt::Write;

use maud::{Markup, PreEscaped, html};

use crate::answer::words::kind::KindWords;
use crate::bench::Row;

/// Width of the picture; it fits the narrowest phone.
const WIDE: u32 = 320;
/// Width and height of one mark.
const CELL: u32 = 20;
/// Marks in one picture; beyond that a mark stands for several pieces.
const MARKS: u32 = 128;

/// How pieces of one state are drawn.
#[derive(Clone, Copy)]
enum Mark {
    Rooted,
    Green,
    Left,
    NotKnown,
    Dead,
    Lost,
}

fn states(pieces: &Row, said: &KindWords) -> Vec<(Mark, String, u32)> {
    let is_looked_for = pieces.looked_for > 0;
    let all = [
        (Mark::Left, "left as finished".to_owned(), pieces.left_finished),
        (Mark::Rooted, said.with.to_owned(), pieces.rooted_alive),
        (Mark::Green, (if is_looked_for { said.waiting } else { "alive" }).to_owned(), pieces.waiting),
        (Mark::NotKnown, "not known, or left below grade".to_owned(), pieces.not_known + pieces.left_below),
        (Mark::Dead, "dead".to_owned(), pieces.dead),
        (Mark::Lost, "lost".to_owned(), pieces.lost),
    ];
    all.into_iter().filter(|(.., count)| *count > 0).collect()
}

/// A mark for each piece as it stands, with a legend that gives the counts.
pub(in crate::web) fn dots(pieces: &Row, said: &KindWords) -> Markup {
    let states = states(pieces, said);
    let total: u32 = states.iter().map(|(.., count)| *count).sum();
    let per_mark = [1, 2, 5, 10, 20, 50, 100, 200, 500]
        .into_iter()
        .find(|per| total.div_ceil(*per) <= MARKS)
        .unwrap_or(1_000);
    let across = WIDE / CELL;
    let (mut at, mut drawn) = (0, String::new());
    for (mark, _, count) in &states {
        let marks = count.div_ceil(per_mark);
        let places = (at..at + marks).map(|n| (n % across * CELL + CELL / 2, n / across * CELL + CELL / 2));
        drawn.push_str(&draw(*mark, places));
        at += marks;
    }
    let high = at.div_ceil(across).max(1) * CELL;
    let said: Vec<String> = states.iter().map(|(_, words, count)| format!("{count} {words}")).collect();
    html! {
        div class="figure" {
            svg viewBox={ "0 0 " (WIDE) " " (high) } width=(WIDE) height=(high) role="img" aria-label=(said.join(", ")) { (PreEscaped(drawn)) }
            p class="legend" {
                @for (mark, words, count) in &states {
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
        Mark::Rooted | Mark::Green => "h0",
        Mark::Left => "m-6 6v-12h12v12z",
        Mark::NotKnown => "m-3-3q0-4 3-4t3 3q0 2-3 4m0 4h0",
        Mark::Dead => "m-5-5l10 10m-10 0l10-10",
        Mark::Lost => "m-6 0h12",
    };
    let mut path = String::new();
    for (x, y) in places {
        let _ = write!(path, "M{x} {y}{shape}");
    }
    match mark {
        Mark::Rooted => {
            let roots = path.replace("h0", "v8m0-5l-5 5m5-5l5 5");
            format!("<path class=\"dot\" d=\"{path}\"/><path class=\"line\" d=\"{roots}\"/>")
        }
        Mark::Green => format!("<path class=\"dot\" d=\"{path}\"/><path class=\"hole\" d=\"{path}\"/>"),
        Mark::Left => format!("<path class=\"full\" d=\"{path}\"/>"),
        Mark::NotKnown | Mark::Dead | Mark::Lost => format!("<path class=\"line\" d=\"{path}\"/>"),
    }
}
