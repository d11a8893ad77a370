//! The report of a trial in words: protocol, raw counts, what they show, flags, and a note to show elsewhere.

use crate::document::Document;
use crate::text;

use super::spots::care_words;
use super::trial::{
    after_lines, dots, facets, now, put_in, score_line, stage_heading, stage_lines, title_of_scores,
};
use crate::kind::KindWords;
use crate::paper::sheet::{ReportPage, Section};
use crate::words::counted;
use crate::words::pieces::states;
use crate::words::sentences::when;
use propagule_answer::trial::{ArmRow, StageAnswer};
use propagule_app::outcome::paper::{DatedLoss, ReportOf, StoodOn};
use propagule_app::outcome::trial::{ArmStands, StageShown, TrialShown};
use propagule_bench::{Arm, StartedKnown, Trial};

/// Columns of a picture in characters.
const WIDE: usize = 72;

/// The whole report.
pub(super) fn page(of: &ReportOf) -> ReportPage {
    let shown = &of.shown;
    let trial = &shown.trial;
    let paragraphs =
        |heading: &str, paragraphs| Section { heading: heading.to_owned(), paragraphs, ..Section::default() };
    let mut sections = vec![protocol(of), counts(shown)];
    sections.extend(shown.stages.iter().map(|stage| findings(shown, stage)));
    let stands = standing(shown);
    sections.extend((!stands.is_empty()).then(|| paragraphs("How it stands", stands)));
    sections.push(paragraphs("Deaths and losses", losses(&of.losses, shown)));
    let scores: Vec<String> = shown.scores.iter().map(|scored| score_line(scored, shown.kind)).collect();
    sections.extend((!scores.is_empty()).then(|| paragraphs(&title_of_scores(shown.kind), scores)));
    sections.push(paragraphs("Flags", flags(trial, of.is_stock_uneven)));
    sections.push(paragraphs("To paste elsewhere", vec![progress_note(shown)]));
    ReportPage {
        title: format!("Trial {}", trial.code),
        subtitle: format!(
            "{}, {} {}",
            trial.species,
            put_in(shown),
            when(&KindWords::of(shown.kind), &trial.started_on)
        ),
        sections,
        footer: format!(
            "propagule {}; counts as entered. Intervals: Wilson, 95%. \"As high as\" and \"as low as\": one-sided exact, 95%. p: Fisher's exact test, two-sided.",
            env!("CARGO_PKG_VERSION")
        ),
        size: of.size,
    }
}

/// How the trial was made, as a table.
fn protocol(of: &ReportOf) -> Section {
    let (trial, said) = (&of.shown.trial, KindWords::of(of.shown.kind));
    let mut paragraphs: Vec<String> = trial.question.iter().cloned().collect();
    paragraphs.extend(trial.rooted_rule.iter().map(|rule| format!("Counted as {}: {rule}.", said.lead)));
    paragraphs.extend(trial.grade.iter().map(|grade| format!("Finished means: {grade}.")));
    paragraphs.extend(of.stood.iter().map(|of| stood(of, &said)));
    paragraphs.extend(of.last_look.map(|day| format!("Last checked on {}.", when(&said, &day))));
    let arms = trial.arms.iter().zip(&of.shown.stands);
    let rows = arms.map(|(arm, stands)| method_row(arm, stands)).collect();
    Section {
        heading: "Protocol".to_owned(),
        paragraphs,
        table: Some((["treatment", said.started, "method"].map(str::to_owned).into(), rows)),
        preformatted: None,
    }
}

fn method_row(arm: &Arm, stands: &ArmStands) -> Vec<String> {
    let pots = match arm.replicates.len() {
        0 | 1 => "one pot".to_owned(),
        count => format!("{count} pots"),
    };
    let moves = stands.moves.iter();
    let moves = moves.map(|moved| format!("then {}", moved.growing_place.as_ref().unwrap_or(&moved.to)));
    let method = facets(arm).into_iter().chain(moves).collect::<Vec<_>>().join(", ");
    vec![arm.label.clone(), format!("{} in {pots}", arm.started), method]
}

/// Where a treatment stood, with what was logged there.
fn stood(of: &StoodOn, words: &KindWords) -> String {
    let care: Vec<String> = of
        .care
        .iter()
        .map(|given| format!("from {}: {}", when(words, &given.from), care_words(&given.care)))
        .collect();
    let care = if care.is_empty() { String::new() } else { format!(" ({})", care.join("; ")) };
    format!("{} stood on {}{care}.", of.arm, of.spot)
}

/// Raw counts of each arm at each stage, on the day from which its sentences are read.
fn counts(shown: &TrialShown) -> Section {
    let said = KindWords::of(shown.kind);
    let stages = shown.stages.iter().map(|stage| &stage.counts);
    let rows: Vec<Vec<String>> =
        stages.flat_map(|stage| stage.arms.iter().map(|arm| count_row(stage, arm, &said))).collect();
    let ever = format!("{} at some time", said.lead);
    let heads =
        ["treatment", "count", said.started, said.lead, &ever, "alive", "dead", "lost", "gone", "finished"];
    let nothing = rows.is_empty().then(|| "Nothing has been counted at a stage yet.".to_owned());
    Section {
        heading: "Counts".to_owned(),
        paragraphs: nothing.into_iter().collect(),
        table: Some((heads.map(str::to_owned).into(), rows)),
        preformatted: None,
    }
}

fn count_row(stage: &StageAnswer, arm: &ArmRow, said: &KindWords) -> Vec<String> {
    let known = |count: Option<u32>| count.map_or("\u{2013}".to_owned(), |count| count.to_string());
    let is_looked = arm.looked_for == arm.started;
    vec![
        arm.label.clone(),
        format!("{}, {}", said.name(stage.stage), when(said, &arm.on)),
        arm.started.to_string(),
        known(is_looked.then_some(arm.rooted_alive)),
        known(arm.ever_rooted),
        arm.alive.to_string(),
        arm.dead.to_string(),
        arm.lost.to_string(),
        arm.left_finished.to_string(),
        known(arm.finished),
    ]
}

/// What the counts of a stage show and do not show, with a picture of that stage.
fn findings(shown: &TrialShown, stage: &StageShown) -> Section {
    Section {
        heading: format!("What {} shows", stage_heading(stage, shown.kind)),
        paragraphs: stage_lines(stage, shown.kind),
        preformatted: Some(figure(&stage.counts, &KindWords::of(shown.kind))),
        ..Section::default()
    }
}

/// A dot for each piece on the stage's day, arm by arm.
fn figure(stage: &StageAnswer, said: &KindWords) -> String {
    let parts = stage.arms.iter().map(|arm| {
        let pieces = states(&arm.row, arm.finished_here(stage.stage), said);
        let picture = text::render(&Document::new().chart(dots(pieces)), WIDE);
        format!("{}, {}\n{picture}", arm.label, when(said, &arm.on))
    });
    parts.collect::<Vec<_>>().join("\n")
}

/// How each treatment stands, and what became of all of them; nothing before anybody looked.
fn standing(shown: &TrialShown) -> Vec<String> {
    let entered = shown.now.iter().filter(|row| row.is_entered);
    let stands = entered.map(|row| format!("{}: {}", row.arm, now(row, shown.kind)));
    stands.chain(after_lines(shown)).collect()
}

fn losses(losses: &[DatedLoss], shown: &TrialShown) -> Vec<String> {
    if losses.is_empty() {
        return vec!["No dated death or loss.".to_owned()];
    }
    losses.iter().map(|of| loss(of, &KindWords::of(shown.kind))).collect()
}

fn loss(of: &DatedLoss, words: &KindWords) -> String {
    let counts = [(of.dead, "dead"), (of.lost, "lost")];
    let parts: Vec<String> =
        counts.iter().filter(|(n, _)| *n > 0).map(|(n, word)| format!("{n} {word}")).collect();
    let cause = of.cause.as_deref().unwrap_or("cause not given");
    format!("{}, {}: {} ({cause})", when(words, &of.on), of.place, parts.join(", "))
}

/// How far the design carries.
fn flags(trial: &Trial, is_stock_uneven: bool) -> Vec<String> {
    let yes_no = |is: bool, yes: &str, no: &str| if is { yes.to_owned() } else { no.to_owned() };
    let mut flags = vec![
        yes_no(trial.is_randomised, "Placed at random.", "Not placed at random."),
        yes_no(trial.is_blocked, "Laid out in blocks.", "Not laid out in blocks."),
        yes_no(trial.is_scored_blind, "Counted blind.", "Not counted blind."),
        yes_no(
            trial.started_known == Some(StartedKnown::Counted),
            "The number started was counted on the day.",
            "The number started was worked out later, or how it is known was not written down.",
        ),
    ];
    if trial.arms.iter().any(|arm| arm.replicates.len() < 2) {
        flags.push("One pot per treatment, or none told apart: pots cannot be told from methods.".to_owned());
    }
    if is_stock_uneven {
        flags.push("Stock plants are shared unevenly between the treatments.".to_owned());
    }
    flags
}

/// A few lines to show elsewhere: without place, key, record or day, and without the names of plants and people.
fn progress_note(shown: &TrialShown) -> String {
    let trial = &shown.trial;
    let Some(stage) = shown.stages.iter().rev().find(|stage| stage.family.is_some()) else {
        let words = KindWords::of(shown.kind);
        let many = words.many(trial.started());
        return format!("{}: {many} {}, nothing counted yet.", trial.species, words.started);
    };
    let weeks = stage.counts.on.middle().weeks_since(trial.started_on.middle());
    let lines = stage_lines(&nameless(stage), shown.kind);
    let lines: Vec<&str> = lines.iter().map(|line| line.trim_end_matches('.')).collect();
    format!("{} after {}. {}.", trial.species, counted(weeks, "week", "weeks"), lines.join(". "))
}

/// A stage without names of plants and people, and without days of single arms.
fn nameless(stage: &StageShown) -> StageShown {
    let mut nameless = stage.clone();
    let counts = &mut nameless.counts;
    (counts.by_mother, counts.by_operator) = (Vec::new(), Vec::new());
    for arm in &mut counts.arms {
        arm.on = counts.on;
    }
    nameless
}
