//! A trial of the bench as the verdict engine takes it: arms, units, strata and what else differs.

use std::collections::{BTreeMap, BTreeSet};

use propagule_analysis::verdict;

use super::due;
use super::record::Bench;
use super::record::compared;
use super::season::{Season, StageRow, Unit};
use super::trial::{Arm, Replicate, Stage, Trial};

/// What may differ from arm to arm beside facets, spot, stock plant and operator.
const APART: [&str; 2] = ["day put in", compared::UNLISTED];

/// Whether each piece was placed by itself: pieces of several arms in one pot, or grafts and buds, each on its own stock.
pub fn unit_is_piece(trial: &Trial) -> bool {
    trial.unit_is_piece || shares_pots(trial) || due::is_grafted(trial)
}

/// Whether pieces of several arms stand in one pot; then the pot is the block.
pub fn shares_pots(trial: &Trial) -> bool {
    trial.arms.iter().flat_map(|arm| &arm.replicates).any(|replicate| replicate.pot.is_some())
}

/// The block in which the replicate at a place of its arm stands: its shared pot, else, in blocks, its place.
pub fn block_of(trial: &Trial, place: usize, replicate: &Replicate) -> Option<String> {
    let in_row = (trial.is_blocked && !shares_pots(trial)).then(|| (place + 1).to_string());
    replicate.pot.clone().or(in_row)
}

/// The trial at a stage, all of its arms, in their order.
pub fn at_stage(bench: &Bench, season: &Season<'_>, trial: &Trial, stage: Stage) -> verdict::Trial {
    let arms = trial.arms.iter().map(|arm| {
        let found = season.at_stage(arm.number, stage);
        verdict::Arm {
            units: units(season, trial, arm, stage, found.as_ref()),
            ..described(bench, season, trial, arm)
        }
    });
    let arms: Vec<verdict::Arm> = arms.collect();
    let named = trial.control.and_then(|number| trial.arms.iter().position(|arm| arm.number == number));
    let mut out = verdict::Trial {
        arms,
        control: named,
        unit_is_piece: unit_is_piece(trial),
        is_randomised: trial.is_randomised,
    };
    out.control = out.control.or_else(|| out.usual_control());
    out
}

fn described(bench: &Bench, season: &Season<'_>, trial: &Trial, arm: &Arm) -> verdict::Arm {
    let mut others = compared::others(bench, season, trial, arm);
    verdict::Arm {
        label: arm.label.clone(),
        facets: arm.facets.clone(),
        spot: others.remove("spot"),
        apart: others
            .into_iter()
            .filter(|(what, _)| {
                APART.contains(what) || compared::AT_HOME.iter().any(|(_, name)| name == what)
            })
            .map(|(what, words)| (what.to_owned(), words))
            .collect::<BTreeMap<_, _>>(),
        units: Vec::new(),
    }
}

fn units(
    season: &Season<'_>,
    trial: &Trial,
    arm: &Arm,
    stage: Stage,
    found: Option<&StageRow>,
) -> Vec<verdict::Unit> {
    let leads = found.and_then(|found| found.leads(stage));
    let open: BTreeSet<&str> = found
        .iter()
        .flat_map(|found| found.pending.iter().chain(&found.unlooked))
        .map(String::as_str)
        .collect();
    let row = |place: usize| found.and_then(|found| found.units.get(place));
    let succeeded = |place: usize, name: &str| match (&leads, found) {
        (Some(leads), _) => leads.get(place).copied(),
        // Only what is open is named; where no unit is, none of them is known.
        (None, Some(_)) if !open.is_empty() && !open.contains(name) => Some(0),
        _ => None,
    };
    let unit = |(place, unit): (usize, &Unit)| {
        let name = unit.label(trial);
        let at = unit.replicate.as_ref().and_then(|code| arm.replicates.iter().position(|r| r.code == *code));
        let replicate = at.map(|at| (at, &arm.replicates[at]));
        let stated = |own: &dyn Fn(&Replicate) -> Option<String>, whole: &Option<String>| {
            replicate.and_then(|(_, replicate)| own(replicate)).or_else(|| whole.clone())
        };
        verdict::Unit {
            name: name.to_owned(),
            started: row(place).map_or(u32::from(unit.started), |row| row.started),
            succeeded: succeeded(place, name),
            lost: row(place).map_or(0, |row| row.lost),
            block: replicate.and_then(|(at, replicate)| block_of(trial, at, replicate)),
            operator: stated(&|replicate| replicate.operator.clone(), &arm.operator),
            stock_plant: stated(&|replicate| replicate.stock_plant.clone(), &arm.stock_plant),
        }
    };
    season.of_arm(arm.number).enumerate().map(unit).collect()
}
