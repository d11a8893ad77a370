//! One site against sites in a similar climate.

use propagule_analysis::Grower;
use propagule_analysis::compare::{self, KernelScales};
use propagule_analysis::rate::{Levels, Options};
use serde_json::json;

use super::{Got, lattice_rule, numbers};
use crate::reference_runner::case::{Case, Check};

pub(crate) fn compute(case: &Case, check: &Check) -> Result<Got, String> {
    let focal = check.name.strip_prefix("focal_").ok_or("the check names no focal grower")?;
    let (table, sites) = (case.table()?, case.data_table("sites")?);
    let place = |grower: &str| {
        let row = sites.rows.iter().find(|row| row.get("grower") == Some(grower));
        let row = row.ok_or_else(|| format!("no site for {grower}"))?;
        Ok::<_, String>((row.number("temp")?, row.number("rain")?))
    };
    let here = place(focal)?;
    let (mut peers, mut own) = (Vec::new(), None);
    for row in &table.rows {
        let grower = row.text("grower")?;
        if grower == focal {
            own = Some(row.count()?);
        } else {
            let there = place(grower)?;
            let weight = compare::site_weight(here.0, here.1, there.0, there.1, KernelScales::default());
            peers.push(Grower::new(vec![row.count()?], weight));
        }
    }
    let own = own.ok_or("the focal grower has no row")?;
    let options = Options { levels: Levels::Two, ..Options::default() };
    let result = compare::against(&peers, own, &options).map_err(|e| e.to_string())?;
    let mut values = lattice_rule::summary(&result.fit, 1.0)?;
    values.extend(super::got([
        ("weights", numbers(peers.iter().map(|p| p.weight))),
        ("effective_sites_kish", json!(result.effective_sites_kish)),
        ("weight_total", json!(result.weight_total)),
        ("predictive", numbers(result.predictive)),
        ("prob_at_most_own", json!(result.prob_at_most_own)),
        ("prob_at_least_own", json!(result.prob_at_least_own)),
        ("mid_p_percentile", json!(result.mid_p_percentile)),
        ("own_rooted", json!(own.succeeded)),
        ("own_stuck", json!(own.started)),
    ]));
    Ok(values)
}
