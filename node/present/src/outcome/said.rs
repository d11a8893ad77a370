//! Words in the place of what an outcome leaves to be said.

use crate::fault;
use crate::words::InWords;
use serde_json::Value;

use super::{
    doctor, due, entry, history, import, judged, key, new_trial, outlook, peers, publish, spots, trial,
    trials,
};
use propagule_answer::said::AnswerSaid;
use propagule_app::outcome::said::Said;

/// The words.
pub fn line(said: &Said) -> String {
    match said {
        Said::Reach(line) => peers::reach(line),
        Said::RecordField { what, kind } => publish::field(what, *kind),
        Said::RecordValue { value, kind } => publish::value(value, *kind),
        Said::NotInRecord { one, kind } => publish::not_in_record(one, *kind),
        Said::Found(found) => doctor::found(found),
        Said::Fixes { .. } | Said::HintsOf { .. } => lines(said).join("; "),
        Said::WhoseKey { whose } => key::whose(*whose).to_owned(),
        Said::RevocationSheet { key, network, made_in, lines } => key::sheet(key, network, *made_in, lines),
        Said::Care { care } => spots::care_words(care),
        Said::NumberCorrected(number) => entry::number_corrected(number),
        Said::Entered(of) => entry::line(of),
        Said::WhatOf { fault } => fault::what(fault),
        Said::CareDays(days) => spots::care(days),
        Said::Outlook(line) => outlook::line(line),
        Said::Unusual(unusual) => new_trial::unusual(unusual),
        Said::Hazard { id } => spots::hazard(id),
        Said::HazardSource { id } => spots::hazard_source(id),
        Said::Task { task, of } => due::task(*task, *of),
        Said::Calendar(calendar) => due::calendar(calendar),
        Said::StageReached { stage, is_planned, checked_on } => {
            trials::reached(*stage, *is_planned, *checked_on)
        }
        Said::ImportTotals(totals) => import::totals(totals),
        Said::ReadingStated { reading } => import::stated(reading),
        Said::TableLine { line } => import::other_line(line),
        Said::TableLineWhy { line } => import::other_line_why(line),
        Said::TableRow(row) => import::row(row),
        Said::CellChanged(changed) => import::cell_changed(changed),
        Said::LineWaits => import::WAITS.to_owned(),
        Said::NotCounted => import::NOT_COUNTED.to_owned(),
        Said::HintOf { fault } => fault::hints(fault).join("; "),
        Said::OutcomeAt { stage, kind } => trial::outcome_at(*stage, *kind),
        Said::VerdictReason(said) => judged::reason(said),
        Said::VerdictSentence(said) => judged::sentence(said),
        Said::Change { change, kind } => history::change(change, *kind),
    }
}

/// The words, where they are several lines.
pub fn lines(said: &Said) -> Vec<String> {
    match said {
        Said::Fixes { fixes } => fixes.iter().map(doctor::fix).collect(),
        Said::HintsOf { fault } => fault::hints(fault),
        _ => vec![line(said)],
    }
}

/// Puts words in the place of everything in `value` that is to be said.
pub(super) fn put_words(value: &mut Value) {
    match value {
        Value::Object(fields) if fields.contains_key("say") => {
            // A grower's own words may be a key of that name.
            if let Ok(said) = serde_json::from_value::<AnswerSaid>(value.clone()) {
                *value = said.words().into();
            } else if let Ok(said) = serde_json::from_value::<Said>(value.clone()) {
                *value = match said {
                    Said::Fixes { .. } | Said::HintsOf { .. } => lines(&said).into(),
                    _ => line(&said).into(),
                };
            }
        }
        Value::Object(fields) => fields.values_mut().for_each(put_words),
        Value::Array(all) => all.iter_mut().for_each(put_words),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn words_stand_where_data_said_what_they_are_and_nowhere_else() {
        let sap = serde_json::to_value(Said::Hazard { id: "sap-latex".to_owned() });
        let mut value = json!({ "a": [sap.expect("plain data"), 1], "b": { "say": "what a grower wrote" } });
        let silent = AnswerSaid::SilentTrials { silent: 1 };
        value["c"] = serde_json::to_value(silent).expect("plain data");
        put_words(&mut value);
        assert!(value["c"].as_str().is_some_and(|words| words.starts_with("1 announced trial")), "{value}");
        assert!(value["a"][0].as_str().is_some_and(|words| words.starts_with("Milky sap")), "{value}");
        assert_eq!(value["a"][1], 1);
        assert_eq!(value["b"], json!({ "say": "what a grower wrote" }));
    }
}
