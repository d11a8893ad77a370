//! A trial as it stands: its method, its counts, and what they show.

use std::fmt::Write;

use propagule_analysis::overdispersion;
use serde_json::json;

use super::judged;
use super::reported;
use super::setting_up::method_words;
use crate::{App, Reply};
use propagule_answer::render::{Dots, dots, funnel};
use propagule_answer::trial::pieces::{Mark, Pieces, states};
use propagule_answer::trial::{NowRow, StageAnswer, TrialAnswer};
use propagule_answer::words::kind::KindWords;
use propagule_answer::words::{bench as words, counted, trial as sentences};
use propagule_bench::curve::{curve, incidence};
use propagule_bench::results::StageResult;
use propagule_bench::{Arm, Bench, Season, Stage, Trial};
use propagule_files::fault::Fault;

/// One trial: description, counts, and what they show.
pub(crate) fn show(app: &App, code: &str, detail: bool, width: usize) -> Result<Reply, Fault> {
    let bench = app.bench();
    let trial = crate::trial::find(bench.trial(code), code, bench.trials())?;
    let stands = bench.as_it_stands(trial);
    let season = bench.season(trial);
    let answer = TrialAnswer::of(&bench, &season, &stands);
    let said = KindWords::of(answer.kind);
    let mut text = head(&stands, &said);
    if let Some((number, closed)) = season.closed() {
        let closed = super::history::closed_line(closed).unwrap_or_default();
        let _ = writeln!(text, "  {closed} (entry {number})");
    }
    for (arm, now) in stands.arms.iter().zip(&answer.now) {
        write_arm(&mut text, &bench, &season, &stands, arm, now, width);
    }
    for stage in &answer.stages {
        let _ = writeln!(text, "\nAt {}, {}", said.at(stage.stage), stage.on);
        for line in stage_lines(&stands, stage, &said, detail) {
            let _ = writeln!(text, "  {line}");
        }
    }
    for line in left_so_far(&season, &stands).into_iter().chain(after_lines(&answer, &stands)) {
        let _ = writeln!(text, "  {line}");
    }
    if let Some(roots) = reported::scores(&season).filter(|_| detail) {
        let _ = writeln!(text, "\n{}\n  {}", roots.heading, roots.paragraphs.join("\n  "));
    }
    if detail {
        write_curves(&mut text, &season, &stands, &said);
    }
    for (number, why) in &season.faults {
        let why = propagule_answer::words::fault::season(why, &said);
        let _ = writeln!(text, "\nEntry {number} contradicts an earlier one and is left out: {why}");
    }
    Ok(Reply::report(text, json(&stands, &answer)))
}

/// The trial and its answer.
fn json(trial: &Trial, answer: &TrialAnswer) -> serde_json::Value {
    let mut json = serde_json::to_value(answer).expect("an answer is plain data");
    for (found, stage) in json["stages"].as_array_mut().expect("a list").iter_mut().zip(&answer.stages) {
        put_verdicts(trial, stage, found);
    }
    json["format"] = json!("propagule.trial/1");
    json["trial"] = serde_json::to_value(trial).expect("a trial is plain data");
    json
}

fn head(trial: &Trial, said: &KindWords) -> String {
    let put_in = if trial.is_planned { "to be put in" } else { said.started };
    let mut text = format!("{}  {}  {put_in} {}\n", trial.code, trial.species, trial.started_on);
    if let Some(question) = &trial.question {
        let _ = writeln!(text, "  {question}");
    }
    if trial.is_private {
        text.push_str("  private: it stays at home\n");
    }
    text
}

fn write_arm(
    text: &mut String,
    bench: &Bench,
    season: &Season<'_>,
    trial: &Trial,
    arm: &Arm,
    now: &NowRow,
    width: usize,
) {
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
    if now.is_entered {
        let said = KindWords::of_trial(trial);
        let _ = writeln!(text, "    now: {}", sentences::now(now, &said));
        for line in picture(&states(&now.row, None, &said), width.saturating_sub(4)).lines() {
            let _ = writeln!(text, "    {line}");
        }
    }
}

/// A character for each piece.
pub(super) fn picture(pieces: &[Pieces], width: usize) -> String {
    let mark = |pieces: &Pieces| match pieces.mark {
        Mark::Left => 'F',
        Mark::Below => 'b',
        Mark::With => 'O',
        Mark::Waiting => 'o',
        Mark::NotKnown => '?',
        Mark::Dead => 'x',
        Mark::Lost => '-',
    };
    let states: Vec<Dots<'_>> =
        pieces.iter().map(|pieces| Dots::new(mark(pieces), pieces.words, pieces.count)).collect();
    dots(&states, width)
}

/// Arms, all arms together, totals by mother and worker, and every pair, in words.
pub(super) fn stage_lines(trial: &Trial, stage: &StageAnswer, said: &KindWords, detail: bool) -> Vec<String> {
    let arms = stage.arms.iter().map(|arm| {
        let mut line = sentences::arm_line(arm, said, stage.stage);
        if arm.on != stage.on {
            let _ = write!(line, " (counted {})", arm.on);
        }
        line
    });
    let mut lines: Vec<String> = arms.collect();
    lines.extend(stage.all.iter().map(|all| sentences::all_arms(all, said, stage.stage)));
    lines.extend(sentences::groups("By stock plant", &stage.by_mother, stage.word));
    lines.extend(sentences::groups("By who did the work", &stage.by_operator, stage.word));
    lines.extend(stage.result.iter().flat_map(|result| verdict_lines(trial, result, stage.word, detail)));
    lines
}

/// What may be said of pairs of arms.
fn verdict_lines(trial: &Trial, result: &StageResult, outcome: &str, detail: bool) -> Vec<String> {
    let facts = || verdicts(trial, result, outcome);
    let mut lines: Vec<String> = facts().map(|facts| facts.sentence()).collect();
    if detail {
        for arm in &result.arms {
            let found = overdispersion::dispersion(&arm.replicates);
            lines.extend(found.map(|found| words::pots(&arm.label, found.phi, found.p)));
        }
        lines.extend(facts().filter_map(|facts| facts.detail()));
    }
    lines
}

/// The whole life, what was removed from stocks, and the trials that belong to it.
pub(super) fn after_lines(answer: &TrialAnswer, trial: &Trial) -> Vec<String> {
    let said = KindWords::of(answer.kind);
    let mut lines: Vec<String> = answer.life.iter().flat_map(|life| sentences::life(life, &said)).collect();
    lines.extend(answer.suckers.iter().filter(|_| !trial.is_planned).map(sentences::suckers));
    lines.extend(sentences::lineage(&trial.code, &answer.lineage, &said));
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

/// The verdicts of a stage as data.
fn put_verdicts(trial: &Trial, stage: &StageAnswer, found: &mut serde_json::Value) {
    let Some(result) = &stage.result else {
        (found["comparisons"], found["verdicts"]) = (json!([]), json!([]));
        found["family"] = serde_json::Value::Null;
        return;
    };
    let facts: Vec<_> = verdicts(trial, result, stage.word).collect();
    found["comparisons"] = result.verdicts.iter().map(judged::comparison).collect();
    found["family"] = judged::family(trial, result);
    found["verdicts"] = facts.iter().map(judged::verdict).collect();
}

fn write_curves(text: &mut String, season: &Season<'_>, trial: &Trial, said: &KindWords) {
    for arm in &trial.arms {
        let points = curve(season, arm);
        if points.is_empty() {
            continue;
        }
        let _ = writeln!(text, "\n{}", propagule_answer::words::over_time(&arm.label, arm.started));
        for (point, estimate) in points.iter().zip(incidence(season, arm)) {
            let line = propagule_answer::words::curve_point(point, &estimate, said);
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
    let said = KindWords::of_trial(trial);
    let mut rows: Vec<(String, u32, u32)> = Vec::new();
    for arm in &trial.arms {
        let started = u32::from(arm.started);
        rows.push((format!("{} put in", arm.label), started, started));
        for stage in Stage::ALL {
            let lead = season.at_stage(arm.number, stage).and_then(|found| found.lead(stage));
            rows.extend(lead.map(|count| {
                (format!("{} {} at {}", arm.label, said.outcome(stage), said.at(stage)), count, started)
            }));
        }
    }
    rows
}
