//! The pooled rate of a species from the records held here.

use std::sync::Arc;

use propagule_protocol::Taxon;

use super::evidence::{gather, nothing_held, parse_species, species_held};
use super::memo::{Gathered, PoolKey};
use super::{App, PoolRequest, Reply, plant};
use propagule_answer as answer;
use propagule_answer::pool::PoolAnswer;
use propagule_answer::render;
use propagule_evidence::{Edge, Whose, csv, group};
use propagule_files::fault::Fault;

/// Pools and puts into words.
pub(super) fn pool(app: &App, request: &PoolRequest) -> Result<Reply, Fault> {
    let taxon = parse_species(&request.species)?;
    let gathered = gather(app, &taxon, request.question, request.scope)?;
    if gathered.is_empty() {
        return Err(nothing_held(app, &taxon));
    }
    let answer = answered(app, &taxon, &gathered, request)?;
    let mut json = serde_json::to_value(&*answer).expect("an answer is plain data");
    let also = plant::also_counted(app, &taxon);
    if also.is_empty() {
        return Ok(Reply::report(render::pool_text(&answer, request.width), json));
    }
    let text = format!("{}\n{}", plant::also_counted_words(&also), render::pool_text(&answer, request.width));
    json["synonyms"] = also.into();
    Ok(Reply::report(text, json))
}

/// The answer, remembered; where nothing of the species is held it says so, and names what is.
pub(super) fn answered(
    app: &App,
    taxon: &Taxon,
    gathered: &Gathered,
    request: &PoolRequest,
) -> Result<Arc<PoolAnswer>, Fault> {
    if gathered.is_empty() {
        let question = answer::pool::PoolRequest {
            species_held: species_held(app)?,
            ..question(taxon, gathered, request)
        };
        return Ok(Arc::new(answer::pool::pool(&gathered.evidence, &question)?));
    }
    app.memos.pool.get(PoolKey::new(&gathered.key, request), || {
        let cuts = if request.detail { cuts(gathered) } else { Vec::new() };
        let beside = answer::pool::Beside { everybody: gathered.everybody.as_ref(), cuts };
        let question = question(taxon, gathered, request);
        Ok(answer::pool::pool_beside(&gathered.evidence, &beside, &question)?)
    })
}

fn question(taxon: &Taxon, gathered: &Gathered, request: &PoolRequest) -> answer::pool::PoolRequest {
    answer::pool::PoolRequest {
        question: request.question,
        grouping: request.grouping.clone(),
        data_until: gathered.data_until.clone(),
        whose: gathered.whose,
        outside: gathered.outside(),
        detail: request.detail,
        facets: request.facets.clone(),
        replicated_only: request.replicated_only,
        ..answer::pool::PoolRequest::new(taxon.to_string())
    }
}

/// The rows that are counted, as a table that `pool --from` reads.
pub(super) fn evidence(app: &App, request: &PoolRequest) -> Result<Reply, Fault> {
    let taxon = parse_species(&request.species)?;
    let gathered = gather(app, &taxon, request.question, request.scope)?;
    if gathered.is_empty() {
        return Err(nothing_held(app, &taxon));
    }
    let counted = gathered.evidence.rows.iter().filter(|row| !row.pending);
    let groups = group(counted, &request.grouping, &mut Vec::new());
    let rows = csv::table(&taxon.to_string(), &groups, request.question);
    let json = serde_json::json!({ "format": "propagule.evidence/1", "rows": rows.len() - 1 });
    Ok(Reply::Export { files: vec![("evidence.csv".to_owned(), rows)], texts: Vec::new(), json })
}

/// Most vouches that are left out one by one: those along which most flows.
const MOST_CUTS: usize = 40;

/// The circle without each of its vouches; nothing where everybody is asked.
fn cuts(gathered: &Gathered) -> Vec<answer::pool::Cut> {
    if gathered.whose == Whose::Everybody {
        return Vec::new();
    }
    let edges = gathered.trust.circle().edges();
    let cut = |edge: &Edge| {
        let circle = gathered.trust.circle_without(Some(edge));
        let weights =
            circle.members().keys().map(|key| (key.to_string(), circle.weight(key, gathered.whose)));
        let is_own = edge.0 == gathered.trust.reader;
        answer::pool::Cut {
            is_own,
            from: edge.0.to_string(),
            to: edge.1.to_string(),
            weights: weights.collect(),
        }
    };
    edges.iter().take(MOST_CUTS).map(|(edge, _)| cut(edge)).collect()
}
