//! What is printed: labels, score sheets, the report. The asking side makes the page of it.

use super::{PaperKind, cautions, laying_out, pots, shown};
use crate::outcome::paper::{
    DatedLoss, LabelOf, LabelsOf, Paper, PaperSize, ReportOf, SheetOf, SheetRow, StoodOn,
};
use crate::{App, Reply};
use propagule_bench::{Arm, Bench, Season, Trial, code, summarise};
use propagule_files::fault::Fault;

/// What to print for a trial.
pub(super) fn paper(
    app: &App,
    code: &str,
    what: PaperKind,
    is_blind: bool,
    is_letter: bool,
) -> Result<Reply, Fault> {
    let bench = app.bench();
    let trial = crate::trial::find(bench.trial(code), code, bench.trials())?;
    let size = if is_letter { PaperSize::Letter } else { PaperSize::A4 };
    let page = match what {
        PaperKind::Labels => Paper::Labels(labels(trial, is_blind, size)),
        PaperKind::ScoreSheet => {
            Paper::ScoreSheet(score_sheet(&bench, trial, is_blind, size, app.clock().today().year() as u16))
        }
        PaperKind::Report => Paper::Report(Box::new(report(&bench, trial, size))),
    };
    Ok(Reply::Page { name: format!("{}-{}.html", plain(&trial.code), word(what)), page: Box::new(page) })
}

fn word(what: PaperKind) -> &'static str {
    match what {
        PaperKind::Labels => "labels",
        PaperKind::ScoreSheet => "sheet",
        PaperKind::Report => "report",
    }
}

/// A code as part of a file name.
fn plain(code: &str) -> String {
    code.chars().map(|c| if c.is_alphanumeric() || c == '-' { c } else { '_' }).collect()
}

/// The code of a place as it stands on a tag: trial and pot.
fn tag(trial: &Trial, place: &str) -> String {
    if trial.arms.len() == 1 && trial.arms[0].replicates.is_empty() {
        return trial.code.clone();
    }
    format!("{}-{place}", trial.code)
}

fn labels(trial: &Trial, is_blind: bool, size: PaperSize) -> LabelsOf {
    let label = |place: &str, arm: &Arm| {
        let code = tag(trial, place);
        LabelOf {
            check: code::check_character(&code),
            hand_copy: code::hand_copy(&code),
            code,
            arm: (!is_blind).then(|| arm.label.clone()),
        }
    };
    let mut labels = Vec::new();
    for arm in &trial.arms {
        if arm.replicates.is_empty() {
            labels.push(label(&arm.label, arm));
        }
        labels.extend(arm.replicates.iter().map(|replicate| label(&replicate.code, arm)));
    }
    LabelsOf { labels, ..LabelsOf::of(trial, size) }
}

fn score_sheet(bench: &Bench, trial: &Trial, is_blind: bool, size: PaperSize, season: u16) -> SheetOf {
    let pots = pots::of(trial, &bench.season(trial), None);
    let order = laying_out::sheet_order(trial);
    let rows = order.iter().zip(1..).filter_map(|(place, bench_order)| {
        let pot = pots.iter().find(|pot| pot.code == *place)?;
        Some(SheetRow {
            bench_order,
            code: code::with_check(&tag(trial, place)),
            arm: (!is_blind).then(|| pot.arm.clone()),
            row: pot.row,
            last_look: pot.last_look,
        })
    });
    let cautions = cautions::of_trial(bench, trial, season).into_iter().map(|caution| caution.line).collect();
    SheetOf { trial: trial.code.clone(), kind: trial.kind(), rows: rows.collect(), cautions, is_blind, size }
}

/// The report: protocol, raw counts, what they show, flags.
fn report(bench: &Bench, trial: &Trial, size: PaperSize) -> ReportOf {
    let season = bench.season(trial);
    let shown = shown::of(bench, trial);
    let stood = shown.trial.arms.iter().filter_map(|arm| stood_on(bench, &season, &shown.trial, arm));
    ReportOf {
        stood: stood.collect(),
        last_look: season.last_look().copied(),
        losses: losses(&season),
        is_stock_uneven: summarise::has_uneven_stock(&shown.trial),
        shown,
        size,
    }
}

/// Where an arm stood when it was put in, with the care given there.
fn stood_on(bench: &Bench, season: &Season<'_>, trial: &Trial, arm: &Arm) -> Option<StoodOn> {
    let spot = bench.spot_of(season, arm.number, trial.started_of(arm).middle())?;
    Some(StoodOn { arm: arm.label.clone(), care: shown::care(bench, &spot), spot })
}

/// Losses and deaths with their causes, as dated.
fn losses(season: &Season<'_>) -> Vec<DatedLoss> {
    let points = season.units.iter().flat_map(|unit| unit.points.iter().map(move |point| (unit, point)));
    let losses = points.map(|(unit, point)| DatedLoss {
        on: point.on,
        place: unit.label(season.trial).to_owned(),
        dead: point.tally.dead.unwrap_or(0),
        lost: point.tally.lost.unwrap_or(0),
        cause: point.tally.cause.clone(),
    });
    losses.filter(|loss| loss.dead > 0 || loss.lost > 0).collect()
}
