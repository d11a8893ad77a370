//! Facets in words.

use super::{Facet, auxin, codes, list, medium};
use crate::record::{Code, Facets};

impl Facets {
    /// The facet in words, as [`Facets::set`] reads them; `None` when it was not stated. What counts as one in
    /// groups has one word.
    pub fn word(&self, facet: Facet) -> Option<String> {
        if let Some(list) = codes::of(facet) {
            return self.code_in_groups(facet).map(|code| list::word(list, code));
        }
        match facet {
            Facet::Medium => self.medium.as_deref().map(medium::word),
            Facet::Auxin => self.auxin.as_deref().map(auxin::word),
            Facet::BottomHeat => self.bottom_heat_word(),
            Facet::Rootstock => self.rootstock.as_ref().map(ToString::to_string),
            Facet::Stratification => self.stratification.map(stratification),
            Facet::Bbch => self.bbch.map(|stage| format!("{stage:02}")),
            Facet::TipNodesRemoved => self.tip_nodes_removed.map(|n| n.to_string()),
            Facet::Cultivar => self.cultivar.clone(),
            _ => None,
        }
    }

    /// The code of a facet that holds one code.
    pub fn code(&self, facet: Facet) -> Option<Code> {
        match facet {
            Facet::Kind => Some(self.kind),
            Facet::Wood => self.wood,
            Facet::Form => self.form,
            Facet::Solvent => self.solvent,
            Facet::Wound => self.wound,
            Facet::Leaves => self.leaves,
            Facet::Humidity => self.humidity,
            Facet::Container => self.container,
            Facet::GrowingPlace => self.growing_place,
            Facet::StockOrigin => self.stock_origin,
            Facet::StockAge => self.stock_age,
            Facet::Watering => self.watering,
            Facet::FlowerBuds => self.flower_buds,
            Facet::Light => self.light,
            Facet::Scarified => self.scarified,
            _ => None,
        }
    }

    /// The code by which a facet is shown and grouped: splice grafts of older records are whip grafts.
    fn code_in_groups(&self, facet: Facet) -> Option<Code> {
        let code = self.code(facet)?;
        Some(if facet == Facet::Form { codes::form_in_groups(code) } else { code })
    }

    fn bottom_heat_word(&self) -> Option<String> {
        let state = || self.bottom_heat_state.map(|state| list::word(codes::BOTTOM_HEAT, state));
        self.bottom_heat.map(|celsius| format!("{celsius} °C")).or_else(state)
    }
}

fn stratification((warm, cold): (u8, u8)) -> String {
    match (warm, cold) {
        (0, 0) => "none".to_owned(),
        (0, 1) => "cold 1 week".to_owned(),
        (1, 0) => "warm 1 week".to_owned(),
        (0, cold) => format!("cold {cold} weeks"),
        (warm, 0) => format!("warm {warm} weeks"),
        (warm, cold) => format!("warm {warm} + cold {cold} weeks"),
    }
}
