//! Drawings of the frame: the mark, the rooms, the way back. Each is hidden from readers, since a word stands beside it.

use maud::{Markup, PreEscaped, html};
use propagule_bench::kind::Kind;
use propagule_present::words::rooms::Room;

/// The mark: a label stake with two leaves.
pub(super) fn mark() -> Markup {
    PreEscaped(
        "<svg class=\"stamp\" viewBox=\"0 0 24 32\" width=\"21\" height=\"28\" aria-hidden=\"true\">\
         <path class=\"plate\" d=\"M3 2h18v17l-9 11-9-11z\"/>\
         <path class=\"stroke\" d=\"M12 18v-6m0 1c-4 0-5-2-5-4 3 0 5 1 5 4zm0-2c0-3 2-4 5-4 0 3-2 4-5 4z\"/></svg>"
            .to_owned(),
    )
}

/// An arrow that points back.
pub(super) fn back() -> Markup {
    stroke("M14 4l-8 8 8 8")
}

/// The sign of a room.
pub(super) fn room(room: Room) -> Markup {
    stroke(match room {
        // A label stuck into a bench.
        Room::Today => "M8 5h8v6l-4 5-4-5zM3 20h18",
        // A tray of cells.
        Room::Bench => {
            "M5 5h14a2 2 0 012 2v10a2 2 0 01-2 2H5a2 2 0 01-2-2V7a2 2 0 012-2zM3 12h18M9 5v14M15 5v14"
        }
        // Intervals, one below the other.
        Room::Works => {
            "M3 6h11m4 0a2 2 0 10-4 0 2 2 0 004 0zM3 12h18M3 18h6m4 0a2 2 0 10-4 0 2 2 0 004 0zm0 0h8"
        }
        // One that leads to two.
        Room::Share => {
            "M8 11l8-5M8 13l8 5M8 12a3 3 0 10-6 0 3 3 0 006 0zM22 5a3 3 0 10-6 0 3 3 0 006 0zM22 19a3 3 0 10-6 0 3 3 0 006 0z"
        }
    })
}

fn stroke(path: &str) -> Markup {
    html! { svg class="icon" viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" { path class="stroke" d=(path) {} } }
}

/// What is put in, as a drawing of two or three lines.
pub(super) fn kind(kind: Kind) -> Markup {
    let (lines, cut) = match kind {
        // A stem with two leaves, cut below.
        Kind::Cutting | Kind::Mixed => {
            ("M16 29V11M16 13C10 13 8 9 8 6c4 0 8 2 8 7zM16 18c0-4 3-6 8-6 0 4-3 6-8 6z", "M11 27l10 4")
        }
        // A scion in a stock, bound twice.
        Kind::Graft => ("M13 5v9l3 4 3-4V5M16 18v12", "M11 15h10M11 19h10"),
        // A bud at the side of a stem.
        Kind::Bud => ("M13 5v25M19 5v7M19 24v6M19 12c4 1 6 4 6 6s-2 5-6 6z", ""),
        // A seed that has opened.
        Kind::Seed => ("M16 21a6 4 0 100 8 6 4 0 000-8zM16 21v-6c0-4-3-6-7-6M16 15c0-4 3-6 6-7", ""),
        // A shoot bent to the ground.
        Kind::Layer => ("M8 29V14a6 8 0 0112 0v8c0 5 2 6 6 6", "M6 26h22"),
        // A crown parted in two.
        Kind::Division => {
            ("M10 29V14c-4 0-5-2-5-4 3 0 5 1 5 4M22 29V14c4 0 5-2 5-4-3 0-5 1-5 4", "M16 8v4M16 16v4M16 24v4")
        }
        // A shoot in a vessel with a lid.
        Kind::Micropropagation => (
            "M9 8v18a3 3 0 003 3h8a3 3 0 003-3V8M7 8h18M16 29V16M16 19c-4 0-5-2-5-4 3 0 5 1 5 4M16 17c4 0 5-2 5-4-3 0-5 1-5 4",
            "",
        ),
    };
    html! {
        svg class="drawing" viewBox="0 0 32 34" width="44" height="46" aria-hidden="true" {
            path class="stroke" d=(lines) {}
            @if !cut.is_empty() { path.stroke.cut d=(cut) {} }
        }
    }
}

/// The mark of a treatment: its shape tells it apart, its color only beside that.
pub(super) fn treatment(number: usize) -> Markup {
    let shape = match (number - 1) % 4 {
        0 => "M5 5h14v14H5z",
        1 => "M12 4a8 8 0 100 16 8 8 0 000-16z",
        2 => "M12 4l9 16H3z",
        _ => "M12 3l9 9-9 9-9-9z",
    };
    html! { svg class={ "shape t" (((number - 1) % 4) + 1) } viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" { path d=(shape) {} } }
}
