//! The pooled rate of a species from the records held here.

use super::evidence::{gather, nothing_held, parse_species};
use super::{App, PoolRequest, Reply};
use crate::answer::{self, render};
use crate::error::Failure;

/// Pools and puts into words.
pub(super) fn pool(app: &App, request: &PoolRequest) -> Result<Reply, Failure> {
    let taxon = parse_species(&request.species)?;
    let (evidence, data_until) = gather(app, &taxon, request.question, request.scope)?;
    if evidence.rows.is_empty() && evidence.left_out.is_empty() {
        return Err(nothing_held(app, &taxon));
    }
    let question = answer::pool::PoolRequest {
        question: request.question,
        grouping: request.grouping.clone(),
        data_until,
        detail: request.detail,
        replicated_only: request.replicated_only,
        ..answer::pool::PoolRequest::new(taxon.to_string())
    };
    let answer = answer::pool::pool(&evidence, &question)?;
    let json = serde_json::to_value(&answer).expect("an answer is plain data");
    Ok(Reply::report(render::pool_text(&answer, request.width), json))
}
