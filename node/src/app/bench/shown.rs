//! A trial as it stands: its method, its counts, and what they show.

use std::fmt::Write;

use propagule_analysis::{interval, overdispersion};
use serde_json::json;

use super::judged;
use super::reported;
use super::setting_up::method_words;
use crate::answer::render::{Dots, dots, funnel};
use crate::answer::words::bench as words;
use crate::answer::words::counted;
use crate::app::{App, Reply};
use crate::bench::curve::{curve, incidence};
use crate::bench::results::{self, ArmResult, StageResult};
use crate::bench::{Arm, Bench, Row, Season, Stage, Trial, due};
use crate::error::Failure;

/// How sure an interval is.
const LEVEL: f64 = 0.95;

/// One trial: description, counts, and what they show.
pub(in crate::app) fn show(app: &App, code: &str, detail: bool, width: usize) -> Result<Reply, Failure> {
    let bench = app.bench();
    let trial = crate::app::trial::find(bench.trial(code), code, bench.trials())?;
    let stands = bench.as_it_stands(trial);
    let season = bench.season(trial);
    let mut text = head(&stands);
    for arm in &stands.arms {
        write_arm(&mut text, &bench, &season, &stands, arm, width);
    }
    let mut stages = Vec::new();
    for stage in Stage::ALL {
        let Some(result) = results::at_stage(&bench, &season, &stands, stage) else { continue };
        let _ = writeln!(text, "\nAt {}", stage_words(&stands, stage));
        for line in stage_lines(&stands, &result, detail) {
            let _ = writeln!(text, "  {line}");
        }
        stages.push(stage_json(&stands, &result));
    }
    for line in left_so_far(&season, &stands) {
        let _ = writeln!(text, "  {line}");
    }
    if let Some(roots) = reported::scores(&season).filter(|_| detail) {
        let _ = writeln!(text, "\n{}\n  {}", roots.heading, roots.paragraphs.join("\n  "));
    }
    if detail {
        write_curves(&mut text, &season, &stands);
    }
    for (number, why) in &season.faults {
        let _ = writeln!(text, "\nEntry {number} contradicts an earlier one and is left out: {why}");
    }
    let json = serde_json::to_value(&stands).expect("a trial is plain data");
    Ok(Reply::report(text, json!({ "format": "propagule.trial/1", "trial": json, "stages": stages })))
}

fn head(trial: &Trial) -> String {
    let put_in = if trial.is_planned { "to be put in" } else { "put in" };
    let mut text = format!("{}  {}  {put_in} {}\n", trial.code, trial.species, trial.started_on);
    if let Some(question) = &trial.question {
        let _ = writeln!(text, "  {question}");
    }
    if let Some(parent) = &trial.parent {
        let _ = writeln!(text, "  fresh pieces after those of {parent}");
    }
    text
}

fn write_arm(text: &mut String, bench: &Bench, season: &Season<'_>, trial: &Trial, arm: &Arm, width: usize) {
    let _ = writeln!(text, "  arm {}: {} put in{}", arm.label, arm.started, method_words(arm));
    let day = season.last_look().map_or(trial.started_on, |when| *when).middle();
    if let Some(spot) = bench.spot_of(season, arm.number, day) {
        let care: Vec<String> =
            bench.care_of(&spot).iter().map(|span| format!("{}: {}", span.from, span.care)).collect();
        let care = if care.is_empty() { String::new() } else { format!("; {}", care.join("; ")) };
        let _ = writeln!(text, "    on {spot}{care}");
    }
    for phase in &arm.phases {
        let weeks = phase.on.middle().weeks_since(trial.started_of(arm).middle());
        let _ = writeln!(text, "    moved to {} after {}", phase.spot, counted(weeks, "week", "weeks"));
    }
    for stage in Stage::ALL {
        if let Some(counts) = arm.counts(stage) {
            let day = trial.date(stage).map(|day| format!(" {day}")).unwrap_or_default();
            let _ =
                writeln!(text, "    {}{day}: {}", stage.word(), crate::app::trial::counts_text(counts, arm));
        }
    }
    if season.of_arm(arm.number).any(|unit| !unit.points.is_empty()) {
        for line in picture(&season.arm_now(arm.number), width.saturating_sub(4)).lines() {
            let _ = writeln!(text, "    {line}");
        }
    }
}

/// A dot for each piece.
pub(super) fn picture(pieces: &Row, width: usize) -> String {
    let states = [
        Dots { mark: 'F', label: "left as finished", count: pieces.left_finished },
        Dots { mark: 'O', label: "rooted", count: pieces.rooted_alive },
        Dots { mark: 'o', label: "green, no roots seen", count: pieces.waiting },
        Dots { mark: '?', label: "not known", count: pieces.not_known + pieces.left_below },
        Dots { mark: 'x', label: "dead", count: pieces.dead },
        Dots { mark: '-', label: "lost", count: pieces.lost },
    ];
    dots(&states, width)
}

pub(super) fn stage_words(trial: &Trial, stage: Stage) -> String {
    let day = trial.date(stage).map(|day| format!(", {day}")).unwrap_or_default();
    match stage {
        Stage::Lift => format!("lift{day}"),
        Stage::Season => format!("season end{day}"),
        Stage::Spring => format!("the spring count{day}"),
        Stage::Final => format!("the final count{day}"),
    }
}

pub(super) fn outcome(trial: &Trial, stage: Stage) -> &'static str {
    let is_seed = trial.arms.iter().all(|arm| arm.facets.get("kind").is_some_and(|kind| kind == "seed"));
    words::outcome_word(stage, due::is_grafted(trial), is_seed)
}

/// Arms, all arms together, and every pair, in words.
pub(super) fn stage_lines(trial: &Trial, result: &StageResult, detail: bool) -> Vec<String> {
    let outcome = outcome(trial, result.stage);
    let mut lines: Vec<String> = result
        .arms
        .iter()
        .map(|arm| {
            let range = interval::wilson(arm.count(), LEVEL);
            words::arm_line(arm, outcome, range, interval::one_sided_upper(arm.count(), LEVEL))
        })
        .collect();
    if result.arms.len() > 1 {
        lines.push(together(&result.arms, outcome));
    }
    let facts = || verdicts(trial, result, outcome);
    lines.extend(facts().map(|facts| facts.sentence()));
    if detail {
        for arm in &result.arms {
            let found = overdispersion::dispersion(&arm.replicates);
            lines.extend(found.map(|found| words::pots(&arm.label, found.phi, found.p)));
        }
        lines.extend(facts().filter_map(|facts| facts.detail()));
    }
    lines
}

/// What each verdict's sentence is made of.
pub(super) fn verdicts<'a>(
    trial: &'a Trial,
    result: &'a StageResult,
    outcome: &'a str,
) -> impl Iterator<Item = words::VerdictFacts<'a>> {
    let StageResult { family, is_randomised, .. } = result;
    let control = family.control.and_then(|place| trial.arms.get(place)).map(|arm| arm.label.as_str());
    result.verdicts.iter().map(move |pair| words::VerdictFacts {
        pair,
        family,
        control,
        outcome,
        is_randomised: *is_randomised,
    })
}

fn together(arms: &[ArmResult], outcome: &str) -> String {
    let sum = |what: fn(&ArmResult) -> u32| arms.iter().map(what).sum::<u32>();
    let (succeeded, started) = (sum(|arm| arm.succeeded), sum(|arm| arm.started));
    let count = propagule_analysis::Count { succeeded, started };
    words::all_arms(
        succeeded,
        started,
        outcome,
        interval::one_sided_upper(count, LEVEL),
        sum(|arm| arm.waiting.unwrap_or(0)),
    )
}

/// Pieces that left before any final count.
pub(super) fn left_so_far(season: &Season<'_>, trial: &Trial) -> Vec<String> {
    let mut lines = Vec::new();
    for arm in trial.arms.iter().filter(|arm| arm.last.is_none()) {
        let now = season.arm_now(arm.number);
        if now.left_finished > 0 {
            lines.push(words::left_so_far(&arm.label, now.started, now.left_finished, now.alive()));
        }
    }
    lines
}

fn stage_json(trial: &Trial, result: &StageResult) -> serde_json::Value {
    let arms: Vec<_> = result
        .arms
        .iter()
        .map(|arm| {
            let (low, high) = interval::wilson(arm.count(), LEVEL);
            json!({ "arm": arm.label, "started": arm.started, "succeeded": arm.succeeded, "lost": arm.lost,
                "waiting": arm.waiting, "left": arm.left, "wilson": [low, high],
                "one_sided_upper": (arm.succeeded == 0).then(|| interval::one_sided_upper(arm.count(), LEVEL)) })
        })
        .collect();
    let facts: Vec<_> = verdicts(trial, result, outcome(trial, result.stage)).collect();
    json!({
        "stage": result.stage.word(), "arms": arms,
        "comparisons": result.verdicts.iter().map(judged::comparison).collect::<Vec<_>>(),
        "family": judged::family(trial, result),
        "verdicts": facts.iter().map(judged::verdict).collect::<Vec<_>>(),
    })
}

fn write_curves(text: &mut String, season: &Season<'_>, trial: &Trial) {
    for arm in &trial.arms {
        let points = curve(season, arm);
        if points.is_empty() {
            continue;
        }
        let _ = writeln!(text, "\n{}", crate::answer::words::over_time(&arm.label, arm.started));
        for (point, estimate) in points.iter().zip(incidence(season, arm)) {
            let line = crate::answer::words::curve_point(point, &estimate, outcome(trial, Stage::Lift));
            let _ = writeln!(text, "  {line}");
        }
    }
    let _ = writeln!(text, "\nStages");
    text.push_str(&stage_funnel(season, trial));
}

fn stage_funnel(season: &Season<'_>, trial: &Trial) -> String {
    let rows = funnel_rows(season, trial);
    let rows: Vec<(&str, u32, u32)> =
        rows.iter().map(|(label, count, of)| (label.as_str(), *count, *of)).collect();
    funnel(&rows, 72)
}

/// Put in, and the lead outcome of each stage, each with its denominator.
pub(super) fn funnel_rows(season: &Season<'_>, trial: &Trial) -> Vec<(String, u32, u32)> {
    let mut rows: Vec<(String, u32, u32)> = Vec::new();
    for arm in &trial.arms {
        let started = u32::from(arm.started);
        rows.push((format!("{} put in", arm.label), started, started));
        for stage in Stage::ALL {
            let lead = season.at_stage(arm.number, stage).and_then(|found| found.lead(stage));
            rows.extend(lead.map(|count| {
                (format!("{} {} at {}", arm.label, outcome(trial, stage), stage.word()), count, started)
            }));
        }
    }
    rows
}
