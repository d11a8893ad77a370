//! The four plants of the scenario: their treatments and how each step goes at an average place, as log odds.
//!
//! Walnut and stratification numbers lean on published trials, mulberry numbers are plausible and not estimated,
//! currant is taken as an easy hardwood (common practice, no source).

use propagule_protocol::{Facet, Facets, Taxon};

use super::stable::weibull_share;

/// What is propagated, and how.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Crop {
    /// *Ribes nigrum*, hardwood cuttings in bed or pot.
    Ribes,
    /// *Morus nigra*, semi-ripe cuttings with auxin and wounding.
    Morus,
    /// *Cornus mas*, seed with stratification.
    Cornus,
    /// *Juglans regia*, budding in June.
    JuglansJune,
    /// *Juglans regia*, budding in August.
    JuglansAugust,
}

/// Cover over a grower's cuttings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cover {
    /// Mist.
    Mist,
    /// A dome.
    Dome,
    /// Open air.
    Open,
}

impl Cover {
    /// All covers with the share of growers under each.
    pub const SHARES: [(Self, f64); 3] = [(Self::Mist, 0.25), (Self::Dome, 0.45), (Self::Open, 0.30)];

    /// The word of the vocabulary.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Mist => "mist",
            Self::Dome => "dome",
            Self::Open => "open",
        }
    }
}

/// Log odds of the steps from put in to alive after winter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steps {
    /// Alive at lift, of those put in; `None` where the first step is the only one to lift.
    pub survive: Option<f64>,
    /// Rooted, taken or germinated, of those alive.
    pub root: f64,
    /// Alive after winter, of those rooted.
    pub winter: f64,
}

/// One treatment.
#[derive(Clone, Debug, PartialEq)]
pub struct Treatment {
    /// Label, the same in the truth table.
    pub label: &'static str,
    /// Facets by name and word.
    pub facets: Vec<(Facet, &'static str)>,
    /// Mark where arms differ in something that no facet holds.
    pub unlisted_difference: Option<u8>,
    /// How its steps go at an average place.
    pub steps: Steps,
}

impl Crop {
    /// All crops.
    pub const ALL: [Self; 5] =
        [Self::Ribes, Self::Morus, Self::Cornus, Self::JuglansJune, Self::JuglansAugust];

    /// Word of the trial codes.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ribes => "currant",
            Self::Morus => "mulberry",
            Self::Cornus => "cornel",
            Self::JuglansJune => "walnut-june",
            Self::JuglansAugust => "walnut-august",
        }
    }

    /// The plant.
    pub fn taxon(self) -> Taxon {
        let name = match self {
            Self::Ribes => "Ribes nigrum",
            Self::Morus => "Morus nigra",
            Self::Cornus => "Cornus mas",
            Self::JuglansJune | Self::JuglansAugust => "Juglans regia",
        };
        Taxon::parse(name).expect("the names of the scenario parse")
    }

    /// Chance that a grower tries it in a season.
    pub(super) const fn share(self) -> f64 {
        match self {
            Self::Ribes | Self::Morus => 0.6,
            Self::Cornus => 0.35,
            Self::JuglansJune | Self::JuglansAugust => 0.3,
        }
    }

    /// Month of starting; the seed of a season is sown in autumn before it.
    pub(super) const fn start(self, season: u16) -> (u16, u8) {
        match self {
            Self::Ribes => (season, 2),
            Self::Morus => (season, 7),
            Self::Cornus => (season - 1, 9),
            Self::JuglansJune => (season, 6),
            Self::JuglansAugust => (season, 8),
        }
    }

    /// Days from starting to lift, or to the count of taken buds and of seedlings.
    pub(super) const fn days_to_lift(self) -> i32 {
        match self {
            Self::Ribes => 150,
            Self::Morus => 91,
            Self::Cornus => 301,
            Self::JuglansJune | Self::JuglansAugust => 42,
        }
    }

    /// Share of the pieces that will root which have done so by lift: Weibull, shape 2.2, scale in days.
    pub(super) fn in_time(self) -> f64 {
        let scale = match self {
            Self::Ribes => 35.0,
            Self::Morus => 49.0,
            Self::Cornus => return 1.0,
            Self::JuglansJune | Self::JuglansAugust => 28.0,
        };
        weibull_share(f64::from(self.days_to_lift()), 2.2, scale)
    }

    /// Change of the log odds of a winter for each step of climate distance.
    pub(super) const fn winter_by_climate(self) -> f64 {
        match self {
            Self::Morus => -0.5,
            _ => -0.2,
        }
    }

    /// Every treatment under a cover, in the order of the labels' numbers.
    pub fn treatments(self, cover: Cover) -> Vec<Treatment> {
        match self {
            Self::Ribes => ribes(),
            Self::Morus => morus(cover),
            Self::Cornus => cornus(),
            Self::JuglansJune => juglans(0.3, -2.5),
            Self::JuglansAugust => juglans(1.5, -1.4),
        }
    }

    /// Sets of treatments that a trial may compare, by position in [`Crop::treatments`], with their weights.
    pub(super) fn designs(self) -> Vec<(&'static [usize], f64)> {
        match self {
            Self::Ribes => vec![(&[0, 2], 3.0), (&[0, 1, 2, 3], 1.0)],
            Self::Morus => vec![(&[0, 1, 2], 3.0), (&[1, 4], 1.0), (&[0, 1, 2, 3, 4, 5], 1.0)],
            Self::Cornus => vec![(&[0, 1, 2], 2.0), (&[0, 2], 1.0)],
            Self::JuglansJune | Self::JuglansAugust => vec![(&[0, 1], 1.0)],
        }
    }
}

fn ribes() -> Vec<Treatment> {
    let steps = Steps { survive: Some(2.2), root: 2.0, winter: 2.4 };
    let arm = |label, container, length| Treatment {
        label,
        facets: vec![
            (Facet::Kind, "stem cutting"),
            (Facet::Wood, "hardwood"),
            (Facet::Humidity, "open"),
            (Facet::Container, container),
            (Facet::GrowingPlace, "open bed"),
        ],
        unlisted_difference: Some(length),
        steps,
    };
    vec![
        arm("bed, 20 cm", "open bed", 1),
        arm("bed, 30 cm", "open bed", 2),
        arm("pot, 20 cm", "pot", 1),
        arm("pot, 30 cm", "pot", 2),
    ]
}

fn morus(cover: Cover) -> Vec<Treatment> {
    let arm = |label, auxin, wound, survive: f64, root: f64| {
        let open_air = if cover == Cover::Open { -1.2 } else { 0.0 };
        Treatment {
            label,
            facets: vec![
                (Facet::Kind, "stem cutting"),
                (Facet::Wood, "semi-ripe"),
                (Facet::Medium, "peat 50 + perlite 50"),
                (Facet::Auxin, auxin),
                (Facet::Wound, wound),
                (Facet::Leaves, "halved"),
                (Facet::Humidity, cover.word()),
                (Facet::Container, "pot"),
            ],
            unlisted_difference: None,
            steps: Steps { survive: Some(1.2 + survive + open_air), root: 0.2 + root, winter: 1.0 },
        }
    };
    let (weak, strong) = ("IBA quick dip 3000 mg/L", "IBA quick dip 8000 mg/L");
    vec![
        arm("no auxin", "none", "none", 0.0, 0.0),
        arm("3000", weak, "none", 0.0, 0.9),
        arm("8000", strong, "none", -0.5, 0.5),
        arm("no auxin, wounded", "none", "light", 0.0, 0.3),
        arm("3000, wounded", weak, "light", 0.0, 1.2),
        arm("8000, wounded", strong, "light", -0.5, 0.8),
    ]
}

fn cornus() -> Vec<Treatment> {
    let arm = |label, stratification, root| Treatment {
        label,
        facets: vec![
            (Facet::Kind, "seed"),
            (Facet::Stratification, stratification),
            (Facet::Container, "flat"),
            (Facet::GrowingPlace, "cold frame"),
        ],
        unlisted_difference: None,
        steps: Steps { survive: None, root, winter: 1.8 },
    };
    vec![
        arm("cold only", "cold 20 weeks", -4.0),
        arm("warm 8", "warm 8 + cold 20 weeks", -0.4),
        arm("warm 16", "warm 16 + cold 20 weeks", 0.9),
    ]
}

fn juglans(patch: f64, chip: f64) -> Vec<Treatment> {
    let arm = |label, form, root| Treatment {
        label,
        facets: vec![
            (Facet::Kind, "bud"),
            (Facet::Form, form),
            (Facet::Rootstock, "Juglans regia"),
            (Facet::GrowingPlace, "open bed"),
        ],
        unlisted_difference: None,
        steps: Steps { survive: None, root, winter: 1.2 },
    };
    vec![arm("patch", "patch", patch), arm("chip", "chip", chip)]
}

impl Treatment {
    /// The facets as a record holds them.
    pub fn method(&self) -> Facets {
        let mut facets = Facets::default();
        for (facet, word) in &self.facets {
            facets.set(*facet, word).expect("the words of the scenario are in the vocabulary");
        }
        facets
    }

    /// How the steps go in a region: winters by climate distance, chip budding helped by hot summers.
    pub(super) fn steps_in(&self, crop: Crop, distance: f64, hottest: f64) -> Steps {
        let is_chip = self.facets.contains(&(Facet::Form, "chip"));
        let heat = if is_chip && hottest > 27.0 { 0.3 } else { 0.0 };
        Steps {
            root: self.steps.root + heat,
            winter: self.steps.winter + crop.winter_by_climate() * distance,
            ..self.steps
        }
    }
}
