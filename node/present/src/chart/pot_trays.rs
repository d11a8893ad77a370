//! A small tray for each pot, in the order in which they stand.

use maud::{Markup, html};
use serde::{Deserialize, Serialize};

use super::{Behind, Dots, Draw};
use crate::table::{Column, Table};

/// Pots beside each other.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PotTrays {
    /// The pots.
    pub pots: Vec<PotTray>,
    /// Headings of the table: pot, treatment, what it holds.
    pub heads: [String; 3],
    /// Words of the table.
    pub behind: Behind,
}

/// A pot.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PotTray {
    /// Its code.
    pub code: String,
    /// What it belongs to.
    pub of: String,
    /// What it holds.
    pub tray: Dots,
    /// The same in words, with when it was last looked at.
    pub holds: String,
}

impl Draw for PotTrays {
    fn picture(&self) -> Markup {
        html! {
            ul class="pots" { @for pot in &self.pots { li {
                p class="tight" { strong { (pot.code) } " " span class="soft" { (pot.of) } }
                (pot.tray.small())
            } } }
        }
    }

    fn table(&self) -> Table {
        let row =
            |pot: &PotTray| vec![pot.code.as_str().into(), pot.of.as_str().into(), pot.holds.as_str().into()];
        Table::new(self.behind.caption.clone(), self.heads.iter().map(Column::words))
            .rows(self.pots.iter().map(row))
    }

    fn behind(&self) -> Option<&str> {
        Some(&self.behind.summary)
    }
}
