//! Words of the facets: one fixed code list each, parsing and printing.

mod auxin;
mod codes;
mod list;
mod measure;
mod medium;
mod quantity;
mod set;
mod usual;
mod word;

#[cfg(test)]
mod tests;

pub use measure::{Measure, Reading};
pub use set::FacetError;
pub use usual::{LOSS_CAUSES, Question, WEEKS_TO_LIFT};

use crate::record::Code;

/// One of the facets that describe a method.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Facet {
    /// Kind of propagation: seed, stem cutting, layer, graft, bud…
    Kind,
    /// Wood stage.
    Wood,
    /// Form: tip, heel, chip, whip…
    Form,
    /// Medium by components and shares.
    Medium,
    /// Auxins with form and strength.
    Auxin,
    /// Solvent of the auxin.
    Solvent,
    /// Wound.
    Wound,
    /// Leaves kept.
    Leaves,
    /// Humidity.
    Humidity,
    /// Bottom heat in °C.
    BottomHeat,
    /// Container.
    Container,
    /// Growing place.
    GrowingPlace,
    /// Rootstock.
    Rootstock,
    /// Weeks of warm and cold stratification.
    Stratification,
    /// BBCH growth stage.
    Bbch,
    /// Origin of the stock plant.
    StockOrigin,
    /// Age band of the stock plant.
    StockAge,
    /// Base watering.
    Watering,
    /// Tip nodes removed.
    TipNodesRemoved,
    /// Flower buds kept or removed.
    FlowerBuds,
    /// Light let through.
    Light,
    /// Cultivar, or "seedling".
    Cultivar,
}

impl Facet {
    /// All facets in the order of their schema keys.
    pub const ALL: [Self; 22] = [
        Self::Kind,
        Self::Wood,
        Self::Form,
        Self::Medium,
        Self::Auxin,
        Self::Solvent,
        Self::Wound,
        Self::Leaves,
        Self::Humidity,
        Self::BottomHeat,
        Self::Container,
        Self::GrowingPlace,
        Self::Rootstock,
        Self::Stratification,
        Self::Bbch,
        Self::StockOrigin,
        Self::StockAge,
        Self::Watering,
        Self::TipNodesRemoved,
        Self::FlowerBuds,
        Self::Light,
        Self::Cultivar,
    ];

    /// Stable name in `snake_case`, as in CSV columns and `--by`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Kind => "kind",
            Self::Wood => "wood",
            Self::Form => "form",
            Self::Medium => "medium",
            Self::Auxin => "auxin",
            Self::Solvent => "solvent",
            Self::Wound => "wound",
            Self::Leaves => "leaves",
            Self::Humidity => "humidity",
            Self::BottomHeat => "bottom_heat",
            Self::Container => "container",
            Self::GrowingPlace => "growing_place",
            Self::Rootstock => "rootstock",
            Self::Stratification => "stratification",
            Self::Bbch => "bbch",
            Self::StockOrigin => "stock_origin",
            Self::StockAge => "stock_age",
            Self::Watering => "watering",
            Self::TipNodesRemoved => "tip_nodes_removed",
            Self::FlowerBuds => "flower_buds",
            Self::Light => "light",
            Self::Cultivar => "cultivar",
        }
    }

    /// The facet of that name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|facet| facet.name() == name)
    }

    /// The words of a facet by code, the first for code 2: for media its components, for auxins its
    /// substances, and none for numbers and names.
    pub fn words(self) -> Vec<&'static str> {
        match self {
            Self::Medium => listed(codes::MEDIUM),
            Self::Auxin => listed(codes::SUBSTANCE),
            _ => listed(codes::of(self).unwrap_or_default()),
        }
    }
}

fn listed(list: &'static [codes::Entry]) -> Vec<&'static str> {
    list.iter().map(|(word, _)| *word).collect()
}

/// Words of the forms of auxin by code, the first for code 2.
pub fn auxin_forms() -> Vec<&'static str> {
    listed(codes::AUXIN_FORM)
}

/// Words of the reasons of a withdrawal by code, the first for code 2.
pub fn withdrawal_reasons() -> Vec<&'static str> {
    listed(codes::WITHDRAWAL_REASON)
}

/// The reason of a withdrawal in words.
pub fn withdrawal_reason_word(reason: Code) -> String {
    list::word(codes::WITHDRAWAL_REASON, reason)
}

/// Reads the reason of a withdrawal.
pub fn withdrawal_reason(text: &str) -> Result<Code, FacetError> {
    list::code(codes::WITHDRAWAL_REASON, text).ok_or_else(|| {
        let set::Refused { why, suggestions } = set::Refused::unlisted(codes::WITHDRAWAL_REASON, text);
        FacetError { field: "reason", value: text.to_owned(), why, suggestions }
    })
}
