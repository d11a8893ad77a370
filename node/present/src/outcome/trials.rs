//! The list of trials in words.

use crate::document::{Column, Document, Phrase, Table};
use propagule_bench::Stage;

use super::command::ending_in_command;
use crate::kind::KindWords;
use crate::words::counted;
use propagule_app::outcome::trials::{TrialLine, TrialList};

/// All trials, a line each.
pub(super) fn all(list: &TrialList) -> Document {
    if list.trials.is_empty() {
        return Document::new()
            .say(ending_in_command("No trial yet. Set one up: propagule trial new --help"))
            .say(ending_in_command("or bring in last year's: propagule trial import FILE.csv"));
    }
    let row = |line: &TrialLine| {
        vec![line.code.as_str().into(), Phrase::new().name(line.species.as_str()), state(line).into()]
    };
    let columns = [Column::words("").whole(), Column::words(""), Column::words("")];
    Document::new().table(Table::new("", columns).bare_in_text().rows(list.trials.iter().map(row)))
}

fn state(line: &TrialLine) -> String {
    let said = KindWords::of(line.kind);
    let stage = line.stage.map_or_else(|| nothing(line.is_planned), |stage| said.name(stage));
    let put_in = if line.is_planned { "planned" } else { said.started };
    let published = match line.published {
        Some(revision) => format!("published, revision {revision}"),
        None if line.is_private => "private".to_owned(),
        None => "not published".to_owned(),
    };
    let closed = if line.is_closed { ", closed" } else { "" };
    format!("{} {put_in}, {stage}, {published}{closed}", counted(line.started, "piece", "pieces"))
}

/// How far a trial has come where no stage was counted.
fn nothing(is_planned: bool) -> &'static str {
    if is_planned { "not put in yet" } else { "not counted yet" }
}

/// How far a trial has come, by the plain name of the stage.
pub(super) fn reached(stage: Option<Stage>, is_planned: bool) -> String {
    stage.map_or_else(|| nothing(is_planned), Stage::word).to_owned()
}
