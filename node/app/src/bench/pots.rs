//! Each pot of a trial in one line: what it holds, and when it was last looked at.

use super::laying_out;
use crate::outcome::Outcome;
use crate::outcome::pots::{ArmHolds, PiecesHeld, PotHolds, Pots};
use crate::{App, Reply};
use propagule_bench::dates::When;
use propagule_bench::{Arm, Row, Season, Trial, Unit, What};
use propagule_files::fault::Fault;

/// A pot with what it holds after a day.
#[derive(Clone, Debug)]
pub struct PotStands {
    /// Its code, as on its tag.
    pub code: String,
    /// Label of its arm.
    pub arm: String,
    /// Its block.
    pub block: Option<String>,
    /// The stock plant it is from.
    pub stock_plant: Option<String>,
    /// Who did it.
    pub operator: Option<String>,
    /// Its pieces.
    pub row: Row,
    /// The last day on which anybody looked at it.
    pub last_look: Option<When>,
}

/// The pots of a trial in the order of their tags, as they stood after a day, or as they stand.
pub(super) fn of(trial: &Trial, season: &Season<'_>, on: Option<When>) -> Vec<PotStands> {
    let specs = laying_out::specs(trial);
    let pots = trial.tag_order().into_iter().filter_map(|tag| {
        let is_it = |unit: &&Unit| unit.arm == tag.arm && unit.replicate == tag.replicate;
        let unit = season.units.iter().find(is_it)?;
        let arm = trial.arm(tag.arm)?;
        let replicate =
            arm.replicates.iter().find(|replicate| Some(&replicate.code) == tag.replicate.as_ref());
        let in_block = || {
            let spec = specs.iter().find(|spec| spec.arm == tag.arm && spec.code == tag.code)?;
            spec.block.filter(|_| trial.is_blocked && trial.layout.is_some()).map(|block| block.to_string())
        };
        Some(PotStands {
            code: tag.code.clone(),
            arm: arm.label.clone(),
            block: replicate.and_then(|replicate| replicate.pot.clone()).or_else(in_block),
            stock_plant: replicate.and_then(|r| r.stock_plant.clone()).or_else(|| arm.stock_plant.clone()),
            operator: replicate.and_then(|r| r.operator.clone()).or_else(|| arm.operator.clone()),
            row: on.map_or_else(|| unit.row(), |on| unit.row_on(on.middle())),
            last_look: last_look(season, unit, on),
        })
    });
    pots.collect()
}

/// The pots of a trial as they stood after a day, or as they stand.
pub(super) fn show(app: &App, code: &str, on: Option<When>) -> Result<Reply, Fault> {
    let bench = app.bench();
    let trial = crate::trial::find(bench.trial(code), code, bench.trials())?;
    let season = bench.season(trial);
    let arm_holds = |arm: &Arm| {
        let row = on.map_or_else(|| season.arm_now(arm.number), |on| season.arm_on(arm.number, on.middle()));
        ArmHolds { arm: arm.label.clone(), holds: holds(&row) }
    };
    let all = on.map_or_else(|| season.all_now(), |on| season.all_on(on.middle()));
    let pots = Pots {
        trial: trial.code.clone(),
        kind: trial.kind(),
        on,
        pots: of(trial, &season, on).into_iter().map(pot_holds).collect(),
        arms: trial.arms.iter().map(arm_holds).collect(),
        total: holds(&all),
    };
    Ok(Reply::done(Outcome::Pots(pots)))
}

/// The last day up to `on` on which anybody looked at a place; a look without numbers is one at all of them.
fn last_look(season: &Season<'_>, unit: &Unit, on: Option<When>) -> Option<When> {
    let is_by_then = |day: &When| on.is_none_or(|on| day.middle() <= on.middle());
    let is_look = |number: u64| {
        let found = season.entries.iter().find(|(other, _)| *other == number);
        found.is_none_or(|(_, entry)| matches!(entry.what, What::Counted { .. }))
    };
    let counted = unit.points.iter().filter(|point| is_look(point.entry)).map(|point| point.on);
    let looked = season.entries.iter().filter(|(_, entry)| matches!(entry.what, What::Looked { .. }));
    counted.chain(looked.map(|(_, entry)| entry.on)).filter(is_by_then).max_by_key(When::middle)
}

fn pot_holds(pot: PotStands) -> PotHolds {
    let PotStands { code, arm, block, stock_plant, operator, row, last_look } = pot;
    PotHolds { pot: code, arm, block, stock_plant, operator, last_look, holds: holds(&row) }
}

fn holds(row: &Row) -> PiecesHeld {
    PiecesHeld {
        started: row.started,
        alive: row.alive(),
        waiting: row.waiting,
        rooted_alive: row.rooted_alive,
        not_known: row.not_known,
        dead: row.dead,
        dead_rooted: row.dead_rooted,
        lost: row.lost,
        lost_rooted: row.lost_rooted,
        left_finished: row.left_finished,
        left_below: row.left_below,
        ever_rooted: row.ever_rooted(),
        ever_rooted_at_least: row.at_least,
        looked_for: row.looked_for,
    }
}
