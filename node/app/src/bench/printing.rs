//! What is printed: labels, score sheets, the report. The asking side makes the page of it.

use serde_json::json;

use super::{PaperKind, laying_out, pots, reported};
use crate::paper::sheet::{Label, LabelSheet, PaperSize, ReportPage, ScoreRow, ScoreSheet, Section};
use crate::{App, Page, Reply};
use propagule_answer::trial::TrialAnswer;
use propagule_answer::words::kind::KindWords;
use propagule_answer::words::pots as words;
use propagule_bench::code;
use propagule_bench::{Bench, Trial};
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
        PaperKind::Labels => Page::Labels(labels(trial, is_blind), size),
        PaperKind::ScoreSheet => Page::ScoreSheet(score_sheet(&bench, trial, is_blind, size)),
        PaperKind::Report => Page::Report(report(&bench, trial, size)),
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

fn labels(trial: &Trial, is_blind: bool) -> LabelSheet {
    let started = format!("{} {}", KindWords::of_trial(trial).started, trial.started_on);
    let label = |place: &str, arm: &str| {
        let code = tag(trial, place);
        Label {
            check: code::check_character(&code),
            hand_copy: code::hand_copy(&code),
            code,
            species: trial.species.clone(),
            arm: (!is_blind).then(|| arm.to_owned()),
            started: started.clone(),
            qr: true,
        }
    };
    let mut labels = Vec::new();
    for arm in &trial.arms {
        if arm.replicates.is_empty() {
            labels.push(label(&arm.label, &arm.label));
        }
        labels.extend(arm.replicates.iter().map(|replicate| label(&replicate.code, &arm.label)));
    }
    LabelSheet { title: format!("Labels of {}", trial.code), labels }
}

fn score_sheet(bench: &Bench, trial: &Trial, is_blind: bool, size: PaperSize) -> ScoreSheet {
    let said = KindWords::of_trial(trial);
    let pots = pots::of(trial, &bench.season(trial), None);
    let rows = laying_out::sheet_order(trial)
        .iter()
        .zip(1..)
        .filter_map(|(place, bench_order)| {
            let pot = pots.iter().find(|pot| pot.code == *place)?;
            let last = pot.last_look.map(|day| format!("{}: {}", day, words::holds(&pot.row, &said)));
            Some(ScoreRow {
                bench_order,
                code: code::with_check(&tag(trial, place)),
                arm: (!is_blind).then(|| pot.arm.clone()),
                started: pot.row.started,
                last,
            })
        })
        .collect();
    let columns = [said.lead, said.waiting, "dead since", "lost since", "note"].map(str::to_owned).into();
    ScoreSheet {
        title: format!("Trial {}", trial.code),
        columns,
        rows,
        blind: is_blind,
        date_line: "Date ____________   Counted by ____________".to_owned(),
        cautions: Vec::new(),
        size,
    }
}

/// The report: protocol, raw counts, what they show, flags, version.
fn report(bench: &Bench, trial: &Trial, size: PaperSize) -> ReportPage {
    let stands = bench.as_it_stands(trial);
    let season = bench.season(trial);
    let answer = TrialAnswer::of(bench, &season, &stands);
    let mut sections = vec![reported::protocol(bench, &stands), reported::counts(&answer)];
    sections.extend(answer.stages.iter().map(|stage| reported::findings(&answer, trial, stage)));
    sections.extend(reported::standing(&answer, &stands));
    sections.push(reported::losses(&season));
    sections.extend(reported::scores(&season));
    sections.push(Section {
        heading: "Flags".to_owned(),
        paragraphs: reported::flags(&stands),
        ..Section::default()
    });
    sections.push(Section {
        heading: "To paste elsewhere".to_owned(),
        paragraphs: vec![reported::progress_note(&answer, &stands)],
        ..Section::default()
    });
    let put_in = if trial.is_planned { "to be put in" } else { KindWords::of(answer.kind).started };
    ReportPage {
        title: format!("Trial {}", trial.code),
        subtitle: format!("{}, {} {}", trial.species, put_in, trial.started_on),
        sections,
        footer: format!(
            "propagule {}; counts as entered. Ranges: Wilson, 95 %; up to: one-sided exact, 95 %; p: Fisher's exact test, two-sided.",
            env!("CARGO_PKG_VERSION")
        ),
        size,
    }
}

impl Page {
    /// The page as one self-contained text.
    pub fn html(&self) -> String {
        match self {
            Self::Labels(sheet, size) => crate::paper::sheet::labels(sheet, *size),
            Self::ScoreSheet(sheet) => crate::paper::sheet::score_sheet(sheet),
            Self::Report(page) => crate::paper::sheet::report(page),
        }
    }

    /// What it holds, for `--json`.
    pub fn json(&self, name: &str) -> serde_json::Value {
        let what = match self {
            Self::Labels(..) => "labels",
            Self::ScoreSheet(_) => "score sheet",
            Self::Report(_) => "report",
        };
        json!({ "format": "propagule.page/1", "what": what, "name": name, "page": self })
    }
}
