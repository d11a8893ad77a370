//! Drawings of the frame: the mark, the rooms, the way back. Each is hidden from readers, since a word stands beside it.

use maud::{Markup, PreEscaped, html};
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
