//! How many to start, from the records held here.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::evidence::{Scope, gather, nothing_held, parse_species};
use super::memo::PlanKey;
use super::{App, Reply, bench_rows};
use propagule_answer as answer;
use propagule_answer::plan::PlanAnswer;
use propagule_answer::render;
use propagule_evidence::{Grouping, Question};
use propagule_files::fault::Fault;

/// What to plan.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct PlanRequest {
    /// Plant name.
    pub species: String,
    /// Stage and outcome.
    pub question: Question,
    /// How to group.
    pub grouping: Grouping,
    /// Which records count.
    pub scope: Scope,
    /// The aim and what can be spared.
    pub aim: Aim,
    /// Columns to write to.
    pub width: usize,
}

/// What is wanted, and what can be spared for it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Aim {
    /// Successes wanted.
    pub want: u32,
    /// With which probability.
    pub sure: f64,
    /// Pieces that can be spared.
    pub pieces: Option<u32>,
    /// Money a piece.
    pub cost: Option<f64>,
    /// Minutes a piece.
    pub minutes: Option<f64>,
}

impl Aim {
    /// The aim as part of a question to the evidence.
    pub fn request(self, species: impl Into<String>) -> answer::plan::PlanRequest {
        let Self { want, sure, pieces, cost, minutes } = self;
        let request = answer::plan::PlanRequest::new(species);
        answer::plan::PlanRequest { want, sure, pieces, cost, minutes, ..request }
    }
}

/// Plans and puts into words.
pub(super) fn plan(app: &App, request: &PlanRequest) -> Result<Reply, Fault> {
    let answer = planned(app, request)?;
    let json = serde_json::to_value(&*answer).expect("an answer is plain data");
    Ok(Reply::report(render::plan_text(&answer, request.width), json))
}

/// The plan, remembered.
pub(super) fn planned(app: &App, request: &PlanRequest) -> Result<Arc<PlanAnswer>, Fault> {
    let taxon = parse_species(&request.species)?;
    let gathered = gather(app, &taxon, request.question, request.scope)?;
    let own = bench_rows::bench_rows(
        app,
        gathered.trust.reader,
        &taxon,
        request.question,
        request.scope.with_regrafts,
    );
    if gathered.is_empty() && own.is_empty() {
        return Err(nothing_held(app, &taxon));
    }
    let question = answer::plan::PlanRequest {
        question: request.question,
        grouping: request.grouping.clone(),
        data_until: gathered.data_until.clone(),
        whose: gathered.whose,
        outside: gathered.outside(),
        ..request.aim.request(taxon.to_string())
    };
    let key = PlanKey {
        evidence: gathered.key.clone(),
        grouping: request.grouping.clone(),
        aim: request.aim,
        own: own.clone(),
    };
    app.memos.plan.get(key, || {
        let mut evidence = gathered.evidence.clone();
        bench_rows::put_in_place(&mut evidence.rows, own);
        Ok(answer::plan::plan(&evidence, &question)?)
    })
}
