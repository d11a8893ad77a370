//! Parts of a trial's report, and the note to show elsewhere.

use super::setting_up::facet_words;
use super::shown::{after_lines, picture, stage_lines};
use crate::paper::sheet::Section;
use propagule_answer::trial::pieces::states;
use propagule_answer::trial::{ArmRow, StageAnswer, TrialAnswer};
use propagule_answer::words::kind::KindWords;
use propagule_answer::words::{bench as words, counted, trial as sentences};
use propagule_bench::{Bench, Season, Trial};

/// How the trial was made, as a table.
pub(super) fn protocol(bench: &Bench, trial: &Trial) -> Section {
    let season = bench.season(trial);
    let said = KindWords::of_trial(trial);
    let rows = trial
        .arms
        .iter()
        .map(|arm| {
            let method = facet_words(arm);
            let pots = match arm.replicates.len() {
                0 | 1 => "one pot".to_owned(),
                count => format!("{count} pots"),
            };
            let moves: Vec<String> = arm
                .phases
                .iter()
                .map(|phase| format!("then {}", phase.facets.get("growing_place").unwrap_or(&phase.spot)))
                .collect();
            vec![
                arm.label.clone(),
                format!("{} in {pots}", arm.started),
                method.into_iter().chain(moves).collect::<Vec<_>>().join(", "),
            ]
        })
        .collect();
    let mut paragraphs: Vec<String> = trial.question.iter().cloned().collect();
    paragraphs.extend(trial.rooted_rule.iter().map(|rule| format!("Counted as {}: {rule}.", said.lead)));
    paragraphs.extend(trial.grade.iter().map(|grade| format!("Finished means: {grade}.")));
    paragraphs.extend(spots(bench, &season, trial));
    paragraphs.extend(season.last_look().map(|when| format!("Last looked at on {when}.")));
    Section {
        heading: "Protocol".to_owned(),
        paragraphs,
        table: Some((["arm", "put in", "method"].map(str::to_owned).into(), rows)),
        preformatted: None,
    }
}

/// Where each arm stood, with the care given there.
fn spots(bench: &Bench, season: &Season<'_>, trial: &Trial) -> Vec<String> {
    let mut lines = Vec::new();
    for arm in &trial.arms {
        let Some(spot) = bench.spot_of(season, arm.number, trial.started_of(arm).middle()) else { continue };
        let care: Vec<String> =
            bench.care_of(&spot).iter().map(|span| format!("from {}: {}", span.from, span.care)).collect();
        let care = if care.is_empty() { String::new() } else { format!(" ({})", care.join("; ")) };
        lines.push(format!("{} stood on {spot}{care}.", arm.label));
    }
    lines
}

/// Raw counts of each arm at each stage, on the day from which its sentences are read.
pub(super) fn counts(answer: &TrialAnswer) -> Section {
    let said = KindWords::of(answer.kind);
    let mut rows = Vec::new();
    for (stage, arm) in answer.stages.iter().flat_map(|stage| stage.arms.iter().map(move |arm| (stage, arm)))
    {
        let known = |count: Option<u32>| count.map_or("\u{2013}".to_owned(), |count| count.to_string());
        let is_looked = arm.looked_for == arm.started;
        rows.push(vec![
            arm.label.clone(),
            format!("{}, {}", said.name(stage.stage), arm.on),
            arm.started.to_string(),
            known(is_looked.then_some(arm.rooted_alive)),
            known(arm.ever_rooted),
            arm.alive.to_string(),
            arm.dead.to_string(),
            arm.lost.to_string(),
            arm.left_finished.to_string(),
            known(arm.finished),
        ]);
    }
    let heads = [
        "arm",
        "stage",
        "put in",
        said.lead,
        &format!("ever {}", said.lead),
        "alive",
        "dead",
        "lost",
        "left",
        "finished",
    ];
    Section {
        heading: "Counts".to_owned(),
        paragraphs: if rows.is_empty() {
            vec!["Nothing has been counted at a stage yet.".to_owned()]
        } else {
            Vec::new()
        },
        table: Some((heads.map(str::to_owned).into(), rows)),
        preformatted: None,
    }
}

/// What the counts of a stage show and do not show, with a picture of that stage.
pub(super) fn findings(answer: &TrialAnswer, trial: &Trial, stage: &StageAnswer) -> Section {
    let said = KindWords::of(answer.kind);
    Section {
        heading: format!("What it shows at {}, {}", said.at(stage.stage), stage.on),
        paragraphs: stage_lines(trial, stage, &said, false),
        preformatted: Some(figure(stage, &said)),
        ..Section::default()
    }
}

/// A dot for each piece on the stage's day, arm by arm.
fn figure(stage: &StageAnswer, said: &KindWords) -> String {
    let parts = stage.arms.iter().map(|arm| {
        let pieces = states(&arm.row, arm.finished_here(stage.stage), said);
        format!("{}, {}\n{}", arm.label, arm.on, picture(&pieces, 72))
    });
    parts.collect::<Vec<_>>().join("\n")
}

/// How each arm stands, and what became of all that was put in; none before anybody looked.
pub(super) fn standing(answer: &TrialAnswer, trial: &Trial) -> Option<Section> {
    let said = KindWords::of(answer.kind);
    let entered = answer.now.iter().filter(|now| now.is_entered);
    let now = entered.map(|now| format!("{}: {}", now.arm, sentences::now(now, &said)));
    let paragraphs: Vec<String> = now.chain(after_lines(answer, trial)).collect();
    (!paragraphs.is_empty()).then(|| Section {
        heading: "How it stands".to_owned(),
        paragraphs,
        ..Section::default()
    })
}

/// Losses and deaths with their causes, as dated.
pub(super) fn losses(season: &Season<'_>) -> Section {
    let mut paragraphs = Vec::new();
    for unit in &season.units {
        for point in &unit.points {
            let dead = point.tally.dead.filter(|n| *n > 0).map(|n| format!("{n} dead"));
            let lost = point.tally.lost.filter(|n| *n > 0).map(|n| format!("{n} lost"));
            let parts: Vec<String> = dead.into_iter().chain(lost).collect();
            if !parts.is_empty() {
                let cause = point.tally.cause.as_deref().unwrap_or("cause not given");
                paragraphs.push(format!(
                    "{}, {}: {} ({cause})",
                    point.on,
                    unit.label(season.trial),
                    parts.join(", ")
                ));
            }
        }
    }
    if paragraphs.is_empty() {
        paragraphs.push("No dated death or loss.".to_owned());
    }
    Section { heading: "Deaths and losses".to_owned(), paragraphs, ..Section::default() }
}

/// Root counts, longest roots and grades as scored, place by place; none where nothing was scored.
pub(super) fn scores(season: &Season<'_>) -> Option<Section> {
    let said = KindWords::of_trial(season.trial);
    let mut paragraphs = Vec::new();
    for unit in &season.units {
        for point in &unit.points {
            let tally = &point.tally;
            let said = words::scores(
                &tally.root_counts,
                tally.longest_root,
                &tally.grades,
                tally.grade_scale.as_deref().unwrap_or("own scale"),
            );
            if !said.is_empty() {
                paragraphs.push(format!("{}, {}: {said}.", point.on, unit.label(season.trial)));
            }
        }
    }
    (!paragraphs.is_empty()).then(|| Section {
        heading: said.title_of_scores(),
        paragraphs,
        ..Section::default()
    })
}

/// How far the design carries.
pub(super) fn flags(trial: &Trial) -> Vec<String> {
    let yes_no = |is: bool, yes: &str, no: &str| if is { yes.to_owned() } else { no.to_owned() };
    let mut flags = vec![
        yes_no(trial.is_randomised, "Placed at random.", "Not placed at random."),
        yes_no(trial.is_blocked, "Laid out in blocks.", "Not laid out in blocks."),
        yes_no(trial.is_scored_blind, "Scored blind.", "Not scored blind."),
        yes_no(
            trial.started_known == Some(propagule_bench::StartedKnown::Counted),
            "The number put in was counted on the day.",
            "How the number put in is known was not written down, or it was worked out later.",
        ),
    ];
    if trial.arms.iter().any(|arm| arm.replicates.len() < 2) {
        flags.push("One pot an arm, or none told apart: pots cannot be told from methods.".to_owned());
    }
    if propagule_bench::summarise::has_uneven_stock(trial) {
        flags.push("Stock plants are split unevenly over the arms.".to_owned());
    }
    flags
}

/// A few lines to show elsewhere: without place, key, record or day, and without the names of plants and people.
pub(super) fn progress_note(answer: &TrialAnswer, trial: &Trial) -> String {
    let said = KindWords::of(answer.kind);
    let Some(stage) = answer.stages.iter().rev().find(|stage| stage.result.is_some()) else {
        let pieces = counted(trial.started(), "piece", "pieces");
        return format!("{}: {pieces} put in, nothing counted yet.", trial.species);
    };
    let weeks = stage.on.middle().weeks_since(trial.started_on.middle());
    let nameless = StageAnswer { by_mother: Vec::new(), by_operator: Vec::new(), ..stage.clone() };
    let arms = nameless.arms.into_iter().map(|arm| ArmRow { on: stage.on, ..arm }).collect();
    let nameless = StageAnswer { arms, ..nameless };
    let lines: Vec<String> = stage_lines(trial, &nameless, &said, false);
    let lines: Vec<&str> = lines.iter().map(|line| line.trim_end_matches('.')).collect();
    format!("{} after {}. {}.", trial.species, counted(weeks, "week", "weeks"), lines.join(". "))
}
