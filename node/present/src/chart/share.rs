//! One share as a bar; its words stand beside it.

use maud::{Markup, html};
use serde::{Deserialize, Serialize};

use super::Draw;
use crate::lines::Lines;
use crate::number;
use crate::table::{Column, Table};

/// Width of a full bar.
const WIDE: u32 = 300;
/// Characters of a full bar.
const CHARACTERS: f64 = 40.0;

/// A share of one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Share {
    /// From 0 to 1.
    pub share: f64,
}

/// The bar as SVG.
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
        bar(self.share)
    }

    fn table(&self) -> Table {
        let share = format!("{} %", number::percent(self.share));
        Table::new("", [Column::numbers("")]).without_row_headings().row([share])
    }

    fn text(&self, lines: &mut Lines) {
        let full = (CHARACTERS * self.share.clamp(0.0, 1.0)).round() as usize;
        lines.push(&format!("{}{}", "#".repeat(full), ".".repeat(CHARACTERS as usize - full)));
    }

    fn class(&self) -> Option<&'static str> {
        None
    }
}
