//! An own trial against growers in a similar climate.

use std::collections::BTreeSet;

use propagule_protocol::place::{Midpoints, Place};
use propagule_protocol::{Summary, Taxon};

use super::evidence::gather;
use super::outcome::Outcome;
use super::{App, CompareQuestion, Reply, bench_rows, trial};
use propagule_answer as answer;
use propagule_answer::AnswerError;
use propagule_answer::compare::CompareAnswer;
use propagule_answer::question::OwnTrial;
use propagule_bench::Trial;
use propagule_bench::kind::Kind;
use propagule_evidence::{EvidenceRow, RecordOptions, from_records, trial_label};
use propagule_files::fault::Fault;

/// A comparison with the places behind it.
#[derive(Clone, Debug)]
pub struct Compared {
    /// The answer.
    pub answer: CompareAnswer,
    /// Where the own trial stood, or is taken to have stood.
    pub place: Place,
    /// Climates of the others, as published; several where a grower has several places.
    pub regions: Vec<(String, Midpoints)>,
}

/// Compares arm by arm; the own trial is taken from the bench as it stands, published or not.
pub(super) fn compare(app: &App, question: &CompareQuestion) -> Result<Reply, Fault> {
    let Compared { answer, .. } = compared(app, question)?;
    Ok(Reply::done(Outcome::Compare(Box::new(answer))))
}

/// The comparison, with the places behind it.
pub(super) fn compared(app: &App, question: &CompareQuestion) -> Result<Compared, Fault> {
    let CompareQuestion { trial: code, count, scope, at } = question;
    let trial = {
        let bench = app.bench();
        bench.as_it_stands(trial::find(bench.trial(code), code, bench.trials())?)
    };
    let place = place(app, &trial, at.as_deref())?;
    let summary: Summary = app.publication(&trial, &place, 0)?.summary;
    let taxon: &Taxon = &summary.taxon;
    let gathered = gather(app, taxon, *count, *scope)?;
    let reader = gathered.trust.reader;
    let mut evidence = gathered.evidence.clone();
    // The trial that is compared counts whatever it follows.
    let options =
        RecordOptions { question: *count, with_regrafts: true, ..RecordOptions::new(taxon.clone()) };
    let own = from_records(&[bench_rows::held(reader, &summary)], &options).rows;
    bench_rows::put_in_place(&mut evidence.rows, own);
    let own = OwnTrial::of(taxon.to_string(), trial_label(&reader, &summary.series));
    let answer = answer::compare::compare(&evidence, &own, question, &gathered.given())
        .map_err(|error| by_code(error, code, trial.kind()))?;
    let regions = regions(&evidence.rows, &answer);
    Ok(Compared { answer, place, regions })
}

/// The error with the trial named as its grower names it, and what is counted in the words of its kind.
fn by_code(error: AnswerError, code: &str, kind: Kind) -> Fault {
    match error {
        AnswerError::NotCounted { question, .. } => Fault::user("own-trial-not-counted")
            .with("code", code)
            .with("kind", kind.word())
            .with("outcome", question.outcome)
            .with("stage", question.stage),
        other => other.into(),
    }
}

/// Every region in which one of the peers has a trial.
fn regions(rows: &[EvidenceRow], answer: &CompareAnswer) -> Vec<(String, Midpoints)> {
    let peers: BTreeSet<&str> = answer.peers.iter().map(|peer| peer.grower.as_str()).collect();
    let mut found: Vec<(String, Midpoints)> = Vec::new();
    for row in rows.iter().filter(|row| !row.own && !row.pending && peers.contains(row.grower.as_str())) {
        let entry = row.region.map(|region| (row.grower.clone(), region));
        found.extend(entry.filter(|entry| !found.contains(entry)));
    }
    found
}

/// The trial's own place, or the one asked for.
fn place(app: &App, trial: &Trial, at: Option<&str>) -> Result<Place, Fault> {
    let Some(name) = at else { return app.place_of(trial) };
    let bench = app.bench();
    bench.place(name).cloned().ok_or_else(|| {
        let near = propagule_files::closest(name, bench.places().map(|(name, _)| name.as_str()), 3);
        Fault::user("place-unknown").with("name", name).near(&near)
    })
}
