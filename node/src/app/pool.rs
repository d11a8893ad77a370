//! The pooled rate of a species from the records held here.

use super::evidence::{Gathered, gather, nothing_held, parse_species};
use super::{App, PoolRequest, Reply};
use crate::answer::{self, render};
use crate::error::Failure;
use crate::evidence::RecordOptions;

/// Pools and puts into words.
pub(super) fn pool(app: &App, request: &PoolRequest) -> Result<Reply, Failure> {
    let taxon = parse_species(&request.species)?;
    let options = RecordOptions {
        question: request.question,
        transcribed: request.transcribed,
        opened_only: request.opened_only,
        ..RecordOptions::new(taxon.clone())
    };
    let Gathered { evidence, data_until, silence } = gather(app, &options)?;
    let (silence, silent_trials) = silence.map(|(counts, silent)| (Some(counts), silent)).unwrap_or_default();
    if evidence.rows.is_empty() && evidence.left_out.is_empty() {
        return Err(nothing_held(app, &taxon));
    }
    let question = answer::pool::PoolRequest {
        question: request.question,
        grouping: request.grouping.clone(),
        data_until,
        detail: request.detail,
        replicated_only: request.replicated_only,
        silence,
        silent_trials,
        ..answer::pool::PoolRequest::new(taxon.to_string())
    };
    let answer = answer::pool::pool(&evidence, &question)?;
    let json = serde_json::to_value(&answer).expect("an answer is plain data");
    Ok(Reply::report(render::pool_text(&answer, request.width), json))
}
