//! The pooled rate of a species from the records held here.

use propagule_protocol::Taxon;

use super::evidence::{gather, nothing_held, parse_species};
use super::memo::{Gathered, PoolKey};
use super::{App, PoolRequest, Reply, plant};
use crate::answer::{self, render};
use crate::error::Failure;

/// Pools and puts into words.
pub(super) fn pool(app: &App, request: &PoolRequest) -> Result<Reply, Failure> {
    let taxon = parse_species(&request.species)?;
    let gathered = gather(app, &taxon, request.question, request.scope)?;
    let evidence = &gathered.evidence;
    if evidence.rows.is_empty() && evidence.left_out.is_empty() {
        return Err(nothing_held(app, &taxon));
    }
    let answer = app.memos.pool.get(PoolKey::new(&gathered.key, request), || {
        Ok(answer::pool::pool(evidence, &question(&taxon, &gathered, request))?)
    })?;
    let mut json = serde_json::to_value(&*answer).expect("an answer is plain data");
    let also = plant::also_counted(app, &taxon);
    if also.is_empty() {
        return Ok(Reply::report(render::pool_text(&answer, request.width), json));
    }
    let text = format!("{}\n{}", plant::also_counted_words(&also), render::pool_text(&answer, request.width));
    json["synonyms"] = also.into();
    Ok(Reply::report(text, json))
}

fn question(taxon: &Taxon, gathered: &Gathered, request: &PoolRequest) -> answer::pool::PoolRequest {
    answer::pool::PoolRequest {
        question: request.question,
        grouping: request.grouping.clone(),
        data_until: gathered.data_until.clone(),
        detail: request.detail,
        replicated_only: request.replicated_only,
        ..answer::pool::PoolRequest::new(taxon.to_string())
    }
}
