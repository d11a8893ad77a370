//! Trials made for tests. Counts are invented.

use propagule_analysis::verdict::{Arm, Trial, Unit};

/// An arm with one known facet and pots given as succeeded and put in.
pub(crate) fn arm(label: &str, facets: &[(&str, &str)], pots: &[(u32, u32)]) -> Arm {
    let unit = |(place, (succeeded, started)): (usize, &(u32, u32))| Unit {
        name: format!("{label}{}", place + 1),
        started: *started,
        succeeded: Some(*succeeded),
        ..Unit::default()
    };
    Arm {
        label: label.to_owned(),
        facets: facets.iter().map(|(name, word)| ((*name).to_owned(), (*word).to_owned())).collect(),
        units: pots.iter().enumerate().map(unit).collect(),
        ..Arm::default()
    }
}

/// Two arms that differ in auxin alone.
pub(crate) fn two(first: &[(u32, u32)], second: &[(u32, u32)]) -> Trial {
    let arms = vec![arm("dip", &[("auxin", "IBA")], first), arm("none", &[("auxin", "none")], second)];
    Trial { arms, is_randomised: true, ..Trial::default() }
}

/// The i-th unit of every arm stands in block i.
pub(crate) fn in_blocks(mut trial: Trial) -> Trial {
    for unit in trial.arms.iter_mut().flat_map(|arm| arm.units.iter_mut().enumerate()) {
        unit.1.block = Some(unit.0.to_string());
    }
    trial
}

/// Pieces are the units.
pub(crate) fn by_piece(trial: Trial) -> Trial {
    Trial { unit_is_piece: true, ..trial }
}
