//! The list of trials in words.

use crate::document::{Column, Document, Phrase, Table};
use propagule_bench::Stage;
use propagule_bench::dates::When;

use super::command::ending_in_command;
use crate::kind::KindWords;
use crate::words::any_kind;
use crate::words::finding;
use crate::words::sentences::when;
use propagule_app::outcome::trials::{TrialLine, TrialList};

/// All trials, a line each.
pub(super) fn all(list: &TrialList) -> Document {
    if list.trials.is_empty() && !list.looked_for.is_empty() {
        return Document::new()
            .say(finding::found(0))
            .say(ending_in_command(&format!("{}: propagule trial list", finding::ALL)));
    }
    if list.trials.is_empty() {
        return Document::new()
            .say(ending_in_command("No trials yet. Set one up: propagule trial new --help"))
            .say(ending_in_command("Or bring in last year's: propagule trial import FILE.csv"));
    }
    let row = |line: &TrialLine| {
        vec![line.code.as_str().into(), Phrase::new().name(line.species.as_str()), state(line).into()]
    };
    let columns = [Column::words("").whole(), Column::words(""), Column::words("")];
    Document::new().table(Table::new("", columns).bare_in_text().rows(list.trials.iter().map(row)))
}

/// What was started, how far it has come, and what of it is published.
pub fn state(line: &TrialLine) -> String {
    let said = KindWords::of(line.kind);
    let stage = line
        .stage
        .map_or_else(|| nothing(line.is_planned, line.checked_on), |stage| said.name(stage).to_owned());
    let put_in = if line.is_planned { "planned" } else { said.started };
    let published = match line.published {
        Some(revision) => format!("published, update {revision}"),
        None if line.is_private => "private".to_owned(),
        None => "not published".to_owned(),
    };
    let closed = if line.is_closed { ", closed" } else { "" };
    format!("{} {put_in}, {stage}, {published}{closed}", said.many(line.started))
}

/// How far a trial has come where no stage was counted.
fn nothing(is_planned: bool, checked_on: Option<When>) -> String {
    match checked_on {
        _ if is_planned => "not started yet".to_owned(),
        None => "not counted yet".to_owned(),
        Some(day) => format!("checked on {}, not counted yet", when(&any_kind(), &day)),
    }
}

/// How far a trial has come, by the plain name of the stage.
pub(super) fn reached(stage: Option<Stage>, is_planned: bool, checked_on: Option<When>) -> String {
    stage.map_or_else(|| nothing(is_planned, checked_on), |stage| stage.word().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_check_is_told_where_no_stage_was_counted() {
        let day: When = serde_json::from_str("\"2026-07-01\"").expect("a day");
        assert_eq!(reached(None, true, None), "not started yet");
        assert_eq!(reached(None, false, None), "not counted yet");
        assert_eq!(reached(None, false, Some(day)), "checked on Jul 1, 2026, not counted yet");
        assert_eq!(reached(Some(Stage::Lift), false, Some(day)), "lift");
    }
}
