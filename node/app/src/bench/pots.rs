//! Each pot of a trial in one line: what it holds, and when it was last looked at.

use std::fmt::Write;

use serde_json::{Value, json};
use unicode_width::UnicodeWidthStr;

use super::laying_out;
use crate::{App, Reply};
use propagule_answer::words::kind::KindWords;
use propagule_answer::words::pots as words;
use propagule_bench::dates::When;
use propagule_bench::{Row, Season, Trial, Unit, What};
use propagule_files::fault::Fault;

/// Columns that hold numbers begin here.
const FIRST_NUMBER: usize = 5;

/// A pot with what it holds after a day.
#[derive(Clone, Debug)]
pub(crate) struct Pot {
    /// Its code, as on its tag.
    pub(crate) code: String,
    /// Label of its arm.
    pub(crate) arm: String,
    pub(crate) block: Option<String>,
    pub(crate) stock_plant: Option<String>,
    pub(crate) operator: Option<String>,
    /// Its pieces.
    pub(crate) row: Row,
    /// The last day on which anybody looked at it.
    pub(crate) last_look: Option<When>,
}

/// The pots of a trial in the order of their tags, as they stood after a day, or as they stand.
pub(super) fn of(trial: &Trial, season: &Season<'_>, on: Option<When>) -> Vec<Pot> {
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
        Some(Pot {
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
    let pots = of(trial, &season, on);
    let mut lines = vec![words::heads(&KindWords::of_trial(trial)).to_vec()];
    lines.extend(pots.iter().map(line));
    let arms: Vec<Value> = trial
        .arms
        .iter()
        .map(|arm| {
            let row =
                on.map_or_else(|| season.arm_now(arm.number), |on| season.arm_on(arm.number, on.middle()));
            let mut json = numbers(&row);
            json["arm"] = arm.label.as_str().into();
            json
        })
        .collect();
    let all = on.map_or_else(|| season.all_now(), |on| season.all_on(on.middle()));
    let mut text = match on {
        Some(on) => format!("Pots of {} after {on}\n", trial.code),
        None => format!("Pots of {}\n", trial.code),
    };
    text.push_str(&table(&lines));
    let _ = writeln!(text, "{}", propagule_answer::words::entry::alive(all.alive(), all.started, 0));
    let rows: Vec<Value> = pots.iter().map(json_row).collect();
    Ok(Reply::report(
        text,
        json!({ "format": "propagule.pots/1", "trial": trial.code, "kind": trial.kind(), "on": on, "pots": rows,
            "arms": arms, "total": numbers(&all) }),
    ))
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

fn line(pot: &Pot) -> Vec<String> {
    let Pot { code, arm, block, stock_plant, row, last_look, .. } = pot;
    let words = |words: &Option<String>| words.clone().unwrap_or_default();
    let known = |count: Option<u32>| count.map_or("?".to_owned(), |n| n.to_string());
    vec![
        code.clone(),
        if arm == code { String::new() } else { arm.clone() },
        words(block),
        words(stock_plant),
        row.started.to_string(),
        row.alive().to_string(),
        known(row.rooted().map(|_| row.waiting)),
        known(row.rooted()),
        row.dead.to_string(),
        row.lost.to_string(),
        last_look.map_or("not yet".to_owned(), |day| day.to_string()),
    ]
}

/// Lined up; columns in which nothing stands are left out.
fn table(lines: &[Vec<String>]) -> String {
    let Some((head, rows)) = lines.split_first() else { return String::new() };
    let is_used = |column: usize| rows.iter().any(|row| !row[column].is_empty());
    let columns: Vec<usize> = (0..head.len()).filter(|column| is_used(*column)).collect();
    let width = |column: usize| lines.iter().map(|line| line[column].width()).max().unwrap_or(0);
    let mut text = String::new();
    for line in lines {
        let mut written = String::from(" ");
        for column in &columns {
            let gap = " ".repeat(width(*column) - line[*column].width());
            let is_number = (FIRST_NUMBER - 1..head.len() - 1).contains(column);
            let (before, after) = if is_number { (gap.as_str(), "") } else { ("", gap.as_str()) };
            let _ = write!(written, " {before}{}{after} ", line[*column]);
        }
        let _ = writeln!(text, "{}", written.trim_end());
    }
    text
}

fn json_row(pot: &Pot) -> Value {
    let mut json = numbers(&pot.row);
    json["pot"] = pot.code.as_str().into();
    json["arm"] = pot.arm.as_str().into();
    json["block"] = pot.block.as_deref().into();
    json["stock_plant"] = pot.stock_plant.as_deref().into();
    json["operator"] = pot.operator.as_deref().into();
    json["last_look"] = json!(pot.last_look);
    json
}

fn numbers(row: &Row) -> Value {
    json!({ "started": row.started, "alive": row.alive(), "waiting": row.waiting, "rooted_alive": row.rooted_alive,
        "not_known": row.not_known, "dead": row.dead, "dead_rooted": row.dead_rooted, "lost": row.lost,
        "lost_rooted": row.lost_rooted, "left_finished": row.left_finished, "left_below": row.left_below,
        "ever_rooted": row.ever_rooted(), "ever_rooted_at_least": row.at_least, "looked_for": row.looked_for })
}
