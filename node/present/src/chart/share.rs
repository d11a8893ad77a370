//! One share in twenty cells; its words stand beside it.

use maud::{Markup, html};
use serde::{Deserialize, Serialize};

use super::Draw;
use crate::lines::Lines;
use crate::number;
use crate::table::{Column, Table};

/// Width of a full bar.
const WIDE: u32 = 300;
/// Cells that stand for all.
const CELLS: u32 = 20;
/// Side of a cell, and from one to the next.
const CELL: (u32, u32) = (13, 15);

/// A share of one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Share {
    /// From 0 to 1.
    pub share: f64,
}

impl Share {
    /// Cells that are filled.
    fn full(self) -> u32 {
        (f64::from(CELLS) * self.share.clamp(0.0, 1.0)).round() as u32
    }
}

/// A bar as SVG, as it stands within a table.
pub(super) fn bar(share: f64) -> Markup {
    let full = (f64::from(WIDE - 2) * share.clamp(0.0, 1.0)).round() as u32;
    html! {
        svg class="bar" viewBox={ "0 0 " (WIDE) " 10" } width=(WIDE) height="10" aria-hidden="true" preserveAspectRatio="none" {
            rect class="line" x="1" y="1" width=(WIDE - 2) height="8" {}
            rect class="full" x="1" y="1" width=(full) height="8" {}
        }
    }
}

impl Draw for Share {
    fn picture(&self) -> Markup {
        let (side, step) = CELL;
        html! {
            svg class="times" viewBox={ "0 0 " (WIDE) " 15" } width=(WIDE) height="15" aria-hidden="true" {
                @for cell in 0..CELLS {
                    rect class=[(cell < self.full()).then_some("full")] x=(cell * step + 1) y="1" width=(side) height=(side) rx="3" {}
                }
            }
        }
    }

    fn table(&self) -> Table {
        let share = format!("{} %", number::percent(self.share));
        Table::new("", [Column::numbers("")]).without_row_headings().row([share])
    }

    fn text(&self, lines: &mut Lines) {
        let full = self.full() as usize;
        lines.push(&format!("{}{}", "#".repeat(full), ".".repeat(CELLS as usize - full)));
    }

    fn class(&self) -> Option<&'static str> {
        None
    }
}
