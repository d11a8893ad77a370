//! Words of the facets: one fixed code list each, parsing and printing.

mod auxin;
mod called;
mod codes;
mod list;
mod measure;
mod medium;
mod phrase;
mod quantity;
mod rootstock;
mod set;
mod usual;
mod word;

#[cfg(test)]
mod tests;

pub use measure::{Measure, Reading};
pub use phrase::{AtHome, Dialect, Heard, HomeDetail, Missing, Said, hear};
pub use set::FacetError;
pub use usual::{LOSS_CAUSES, Question, USUAL_STRENGTHS, WEEKS_TO_LIFT};

use crate::code::Code;

/// Makes the facets, all of them, and their names from one list.
macro_rules! facets {
    ($($(#[$doc:meta])* $facet:ident $name:literal,)*) => {
        /// One of the facets that describe a method.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Facet {
            $($(#[$doc])* $facet,)*
        }

        impl Facet {
            /// All facets in the order of their schema keys.
            pub const ALL: [Self; [$($name),*].len()] = [$(Self::$facet),*];

            /// Stable name in `snake_case`, as in CSV columns and `--by`.
            pub fn name(self) -> &'static str {
                match self {
                    $(Self::$facet => $name,)*
                }
            }
        }
    };
}

facets! {
    /// Kind of propagation: seed, stem cutting, layer, graft, bud…
    Kind "kind",
    /// Wood stage.
    Wood "wood",
    /// Form: tip, heel, chip, whip…
    Form "form",
    /// Medium by components and shares.
    Medium "medium",
    /// Auxins with form and strength.
    Auxin "auxin",
    /// Solvent of the auxin.
    Solvent "solvent",
    /// Wound.
    Wound "wound",
    /// Leaves kept.
    Leaves "leaves",
    /// Humidity.
    Humidity "humidity",
    /// Bottom heat: °C, none, or on and not measured.
    BottomHeat "bottom_heat",
    /// Container.
    Container "container",
    /// Growing place.
    GrowingPlace "growing_place",
    /// Rootstock.
    Rootstock "rootstock",
    /// Weeks of warm and cold stratification.
    Stratification "stratification",
    /// BBCH growth stage.
    Bbch "bbch",
    /// Origin of the stock plant.
    StockOrigin "stock_origin",
    /// Age band of the stock plant.
    StockAge "stock_age",
    /// Base watering.
    Watering "watering",
    /// Tip nodes removed.
    TipNodesRemoved "tip_nodes_removed",
    /// Flower buds kept or removed.
    FlowerBuds "flower_buds",
    /// Light let through.
    Light "light",
    /// Cultivar, or "seedling".
    Cultivar "cultivar",
    /// How the coat of the seed was broken.
    Scarified "scarified",
}

impl Facet {
    /// The facet of that name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|facet| facet.name() == name)
    }

    /// The words of a facet by code, the first for code 2: for media its components, for auxins its
    /// substances, for bottom heat what is said without a temperature, and none for other numbers and names.
    pub fn words(self) -> Vec<&'static str> {
        match self {
            Self::Medium => listed(codes::MEDIUM),
            Self::Auxin => listed(codes::SUBSTANCE),
            Self::BottomHeat => listed(codes::BOTTOM_HEAT),
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
