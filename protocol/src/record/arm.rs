//! One treatment of a trial: its method by facets, and its counts by stage.

use super::{Code, Extensions, StageCounts, Taxon};

/// One treatment.
#[derive(Clone, Debug, PartialEq)]
pub struct Arm {
    /// 1 to 24, the same over revisions.
    pub number: u8,
    /// Pieces put in, 1 to 10,000; never shrinks.
    pub started: u16,
    /// The method.
    pub facets: Facets,
    /// Counts side by side for each stage.
    pub stages: StageCounts,
    /// Pieces put in for each replicate, 2 to 50 of them; none only in a block that has no place for this arm.
    pub replicates: Option<Vec<u16>>,
    /// Months by which this arm started later (or earlier), -12 to 12.
    pub start_offset_months: Option<i8>,
    /// Arms with the same mark are alike in all that no facet holds: who did them, shares of stock plants,
    /// bench.
    pub unlisted_difference: Option<u8>,
    /// Up to two later phases, after a move of unrooted survivors.
    pub phases: Vec<Phase>,
    /// Weeks to this arm's lift, where they differ from the trial's.
    pub weeks_to_lift: Option<u16>,
    /// Unknown ignorable entries.
    pub extensions: Extensions,
}

/// A later phase of an arm: facets from that week on.
#[derive(Clone, Debug, PartialEq)]
pub struct Phase {
    /// Weeks after starting, 1 to 520.
    pub after_weeks: u16,
    /// The method from then on.
    pub facets: Facets,
}

/// One auxin treatment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Auxin {
    /// Which substance.
    pub substance: Code,
    /// Powder, quick dip, soak…
    pub form: Code,
    /// mg/L, or mg/kg for powder; `None` is used, strength unknown.
    pub dose: Option<u16>,
}

/// What describes a method. Absent is unknown.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Facets {
    /// Kind of propagation; the only facet that is always there.
    pub kind: Code,
    /// Wood stage.
    pub wood: Option<Code>,
    /// Form: tip, heel, chip, whip…
    pub form: Option<Code>,
    /// Medium: component and per cent, 0 for share unknown.
    pub medium: Option<Vec<(Code, u8)>>,
    /// Auxins.
    pub auxin: Option<Vec<Auxin>>,
    /// Solvent.
    pub solvent: Option<Code>,
    /// Wound.
    pub wound: Option<Code>,
    /// Leaves kept.
    pub leaves: Option<Code>,
    /// Humidity.
    pub humidity: Option<Code>,
    /// Bottom heat in °C.
    pub bottom_heat: Option<i8>,
    /// Bottom heat without a temperature: none, or on and not measured; never beside `bottom_heat`. From
    /// major 1 on.
    pub bottom_heat_state: Option<Code>,
    /// Container.
    pub container: Option<Code>,
    /// Growing place.
    pub growing_place: Option<Code>,
    /// Rootstock.
    pub rootstock: Option<Taxon>,
    /// Weeks of warm and of cold stratification.
    pub stratification: Option<(u8, u8)>,
    /// BBCH growth stage, 0 to 99.
    pub bbch: Option<u8>,
    /// Stock origin.
    pub stock_origin: Option<Code>,
    /// Stock age band.
    pub stock_age: Option<Code>,
    /// Base watering.
    pub watering: Option<Code>,
    /// Tip nodes removed, 0 to 20.
    pub tip_nodes_removed: Option<u8>,
    /// Flower buds kept or removed.
    pub flower_buds: Option<Code>,
    /// Light let through, in 20 % bins.
    pub light: Option<Code>,
    /// Cultivar, or "seedling", where it differs by arm.
    pub cultivar: Option<String>,
    /// How the coat of the seed was broken. From major 1 on.
    pub scarified: Option<Code>,
    /// Unknown ignorable entries.
    pub extensions: Extensions,
}
