//! How many to start, from the records held here.

use std::sync::Arc;

use super::evidence::{gather, nothing_held, parse_species};
use super::memo::AnswerKey;
use super::outcome::Outcome;
use super::{App, PlanQuestion, Reply, bench, bench_rows, pool};
use propagule_answer as answer;
use propagule_answer::plan::PlanAnswer;
use propagule_answer::question::Given;
use propagule_files::fault::Fault;

/// Plans.
pub(super) fn plan(app: &App, question: &PlanQuestion) -> Result<Reply, Fault> {
    let answer = PlanAnswer::clone(&*planned(app, question)?);
    Ok(Reply::done(Outcome::Plan(Box::new(answer))))
}

/// The plan, remembered.
pub(super) fn planned(app: &App, question: &PlanQuestion) -> Result<Arc<PlanAnswer>, Fault> {
    let taxon = parse_species(&question.species)?;
    let question = PlanQuestion { species: taxon.to_string(), ..question.clone() };
    let PlanQuestion { count, scope, .. } = question;
    let gathered = gather(app, &taxon, count, scope)?;
    let own = bench_rows::bench_rows(app, gathered.trust.reader, &taxon, count, scope.with_regrafts);
    if gathered.is_empty() && own.is_empty() {
        return Err(nothing_held(app, &taxon));
    }
    let learning = pool::learning(app, &taxon, &gathered, (count, scope, &question.grouping))?;
    let key = AnswerKey {
        question: question.clone(),
        evidence: gathered.key.clone(),
        own: own.clone(),
        learning: learning.clone(),
    };
    let answer = app.memos.plan.get(key, || {
        let mut evidence = gathered.evidence.clone();
        bench_rows::put_in_place(&mut evidence.rows, own);
        Ok(answer::plan::plan(&evidence, &question, &Given { learning, ..gathered.given() })?)
    })?;
    let hidden_cautions = bench::hidden_cautions(app);
    if hidden_cautions.is_empty() {
        return Ok(answer);
    }
    Ok(Arc::new(PlanAnswer { hidden_cautions, ..PlanAnswer::clone(&answer) }))
}
