//! The pooled rate of a species from the records held here.

use std::sync::Arc;

use propagule_protocol::Taxon;

use super::evidence::{gather, nothing_held, parse_species, perhaps_meant, species_held};
use super::lessons::{self, Lesson};
use super::memo::{AnswerKey, Gathered};
use super::outcome::Outcome;
use super::outcome::answers::PoolOutcome;
use super::{App, PoolQuestion, Reply, Scope, plant, printed};
use propagule_answer as answer;
use propagule_answer::learnt::Learning;
use propagule_answer::pool::{Beside, PoolAnswer};
use propagule_answer::question::{AskedOfPrint, Given};
use propagule_evidence::{Edge, Grouping, Question, Whose, csv, group};
use propagule_files::fault::Fault;

/// Pools.
pub(super) fn pool(app: &App, question: &PoolQuestion) -> Result<Reply, Fault> {
    let taxon = parse_species(&question.species)?;
    let gathered = gather(app, &taxon, question.count, question.scope)?;
    let answer = answered_beside_print(app, &taxon, &gathered, question)?;
    let is_printed = answer.printed.as_ref().is_some_and(|printed| printed.arms > 0);
    if gathered.is_empty() && !is_printed && answer.never_tried.is_empty() {
        return Err(nothing_held(app, &taxon));
    }
    let answer = PoolAnswer::clone(&answer);
    let synonyms = plant::also_counted(app, &taxon);
    Ok(Reply::done(Outcome::Pool(Box::new(PoolOutcome { answer, synonyms }))))
}

/// The growers' answer, with what stands in print beside it: that is put in afterwards, so it can change nothing there.
pub(super) fn answered_beside_print(
    app: &App,
    taxon: &Taxon,
    gathered: &Gathered,
    question: &PoolQuestion,
) -> Result<Arc<PoolAnswer>, Fault> {
    let growers = PoolQuestion { printed: AskedOfPrint::NotAsked, ..question.clone() };
    let answer = answered(app, taxon, gathered, &growers)?;
    let Some(printed) = printed::beside(app, taxon, gathered, question)? else { return Ok(answer) };
    Ok(Arc::new(PoolAnswer { printed: Some(printed), ..PoolAnswer::clone(&answer) }))
}

/// The answer, remembered; where nothing of the species is held it says so, names what is, and what its relatives teach.
fn answered(
    app: &App,
    taxon: &Taxon,
    gathered: &Gathered,
    question: &PoolQuestion,
) -> Result<Arc<PoolAnswer>, Fault> {
    let question = PoolQuestion { species: taxon.to_string(), ..question.clone() };
    // Nothing is borrowed for a name that is likely misspelt.
    let learning = if gathered.is_empty() && !perhaps_meant(taxon).is_empty() {
        Learning::NotAsked
    } else {
        learning(app, taxon, gathered, (question.count, question.scope, &question.grouping))?
    };
    if gathered.is_empty() {
        let given = Given { species_held: species_held(app)?, learning, ..gathered.given() };
        let beside = Beside { given, ..Beside::default() };
        return Ok(Arc::new(answer::pool::pool_beside(&gathered.evidence, &beside, &question)?));
    }
    let evidence = gathered.key.clone();
    let key = AnswerKey { question: question.clone(), evidence, own: Vec::new(), learning: learning.clone() };
    app.memos.pool.get(key, || {
        let cuts = if question.detail { cuts(gathered) } else { Vec::new() };
        let (everybody, with_new) = (gathered.everybody.as_ref(), gathered.with_new.as_ref());
        let given = Given { learning, ..gathered.given() };
        let beside = Beside { given, everybody, with_new, cuts };
        Ok(answer::pool::pool_beside(&gathered.evidence, &beside, &question)?)
    })
}

/// What other plants teach about the species, for a question.
pub(super) fn learning(
    app: &App,
    taxon: &Taxon,
    gathered: &Gathered,
    (count, scope, grouping): (Question, Scope, &Grouping),
) -> Result<Learning, Fault> {
    let species = app.synonyms().accepted(taxon).species_key();
    let lesson = Lesson { count, scope, whose: gathered.whose, grouping: grouping.clone() };
    lessons::learning(app, lesson, &species)
}

/// The rows that are counted, as a table that `pool --from` reads.
pub(super) fn evidence(app: &App, question: &PoolQuestion) -> Result<Reply, Fault> {
    let taxon = parse_species(&question.species)?;
    let gathered = gather(app, &taxon, question.count, question.scope)?;
    if gathered.is_empty() {
        return Err(nothing_held(app, &taxon));
    }
    let counted = gathered.evidence.rows.iter().filter(|row| !row.pending);
    let groups = group(counted, &question.grouping, &mut Vec::new());
    let rows = csv::table(&taxon.to_string(), &groups, question.count);
    Ok(Reply::Table(rows))
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
