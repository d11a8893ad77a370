//! An own trial against growers in a similar climate.

use propagule_protocol::Taxon;

use super::evidence::{Scope, gather};
use super::{App, Reply, trial};
use crate::answer::{self, render};
use crate::error::Failure;
use crate::evidence::{HeldTrial, Question, RecordOptions, from_records, trial_label};

/// Compares arm by arm; the own trial is taken from the bench as it stands, published or not.
pub(super) fn compare(app: &App, code: &str, question: Question, width: usize) -> Result<Reply, Failure> {
    let trial = {
        let bench = app.bench();
        trial::find(bench.trial(code), code, bench.trials())?.clone()
    };
    let place = app.place_of(&trial)?;
    let summary = app.publication(&trial, &place, 0)?.summary;
    let (keys, known) = (app.keys(), app.own()?);
    let author = known.author_of(&keys.current().author());
    let own = HeldTrial {
        author,
        summary: &summary,
        own: true,
        trusts_marks: true,
        weight: 1.0,
        equivocated: false,
        shrunk: false,
        opened_early: false,
        opened: None,
    };
    let taxon: &Taxon = &summary.taxon;
    let mut evidence = gather(app, taxon, question, Scope::default())?.evidence.clone();
    let label = trial_label(&author, &summary.series);
    let published: Vec<String> =
        known.authors().iter().map(|author| trial_label(author, &summary.series)).collect();
    evidence.rows.retain(|row| !published.contains(&row.trial));
    let options = RecordOptions { question, ..RecordOptions::new(taxon.clone()) };
    evidence.rows.extend(from_records(&[own], &options).rows);
    let request = answer::compare::CompareRequest {
        question,
        ..answer::compare::CompareRequest::new(taxon.to_string(), label)
    };
    let mut answer = answer::compare::compare(&evidence, &request)?;
    code.clone_into(&mut answer.trial);
    let json = serde_json::to_value(&answer).expect("an answer is plain data");
    Ok(Reply::report(render::compare_text(&answer, width), json))
}
