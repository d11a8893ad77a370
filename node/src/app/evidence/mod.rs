//! The evidence that this home holds on a species.

#[cfg(test)]
mod tests;

use std::collections::BTreeSet;
use std::sync::Arc;

use propagule_protocol::names::{self, Synonyms};
use propagule_protocol::state::{self, Current, Flags};
use propagule_protocol::{Arm, AuthorKey, RecordId, Signed, Summary, Taxon};
use serde::{Deserialize, Serialize};

use super::App;
use super::memo::{EvidenceKey, Gathered};
use crate::error::Failure;
use crate::evidence::{Evidence, HeldTrial, Question, RecordOptions, from_records};

/// Which records count, beside the question.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Scope {
    /// Also results transcribed from print.
    pub transcribed: bool,
    /// Only trials opened before their first counts.
    pub opened_only: bool,
}

/// A plant name as asked for, parsed; with "did you mean" where it does not parse.
pub(super) fn parse_species(text: &str) -> Result<Taxon, Failure> {
    Taxon::parse(text).map_err(|error| {
        let failure = Failure::expected(error.to_string());
        match error.suggestions() {
            [] => failure.hint("write genus and species, such as: propagule pool \"Morus nigra\""),
            some => failure.hint(format!("did you mean {}?", some.join(", "))),
        }
    })
}

/// Rows on `taxon` for `question`, with records of the network as they stand now.
pub(super) fn gather(
    app: &App,
    taxon: &Taxon,
    question: Question,
    scope: Scope,
) -> Result<Arc<Gathered>, Failure> {
    let synonyms = app.synonyms();
    let taxon = &synonyms.accepted(taxon);
    let ids = ids_of(app, &synonyms.one_species(&taxon.species_key()))?;
    let own = app.keys().public();
    let month = app.clock.month();
    let key = EvidenceKey::new(&ids, &own, taxon, (question, scope), month);
    app.memos.evidence.get(key.clone(), || {
        let records = app.store.records(&ids)?;
        let options = RecordOptions {
            question,
            transcribed: scope.transcribed,
            opened_only: scope.opened_only,
            now: Some(month),
            ..RecordOptions::new(taxon.clone())
        };
        Ok(Gathered {
            key,
            evidence: evidence_of(&records, &own, &options, &synonyms),
            data_until: data_until(&records),
        })
    })
}

/// Ids of the summaries of all these species, and of every record that may act on them.
fn ids_of(app: &App, species: &[String]) -> Result<Vec<RecordId>, Failure> {
    let mut ids: BTreeSet<RecordId> = BTreeSet::new();
    for key in species {
        ids.extend(app.store.evidence_ids(key)?);
    }
    Ok(ids.into_iter().collect())
}

/// `own` are the keys of the reader: whoever one of them belongs to is the reader.
fn evidence_of(
    records: &[Signed],
    own: &[AuthorKey],
    options: &RecordOptions,
    synonyms: &Synonyms,
) -> Evidence {
    let resolved = state::resolve(records);
    let own: BTreeSet<AuthorKey> = own.iter().map(|key| resolved.author_of(key)).collect();
    let standing: Vec<(&Current<'_>, Summary)> =
        resolved.current().map(|current| (current, as_counted(current, synonyms))).collect();
    let held: Vec<HeldTrial<'_>> = standing
        .iter()
        .map(|(current, summary)| HeldTrial {
            author: current.author,
            summary,
            own: own.contains(&current.author),
            trusts_marks: own.contains(&current.author),
            weight: 1.0,
            equivocated: current.flags.has(Flags::EQUIVOCATED),
            shrunk: current.flags.has(Flags::SHRUNK) || current.flags.has(Flags::ARM_VANISHED),
            opened_early: current.was_opened_first(),
            opened: current.opened.then_some(current.first_signed),
        })
        .collect();
    let mut evidence = from_records(&held, options);
    let withdrawn = resolved.withdrawn().filter_map(|withdrawn| withdrawn.was.as_ref());
    let of_species = |was: &&Current<'_>| {
        synonyms.accepted_key(&was.summary.taxon.species_key()) == options.taxon.species_key()
    };
    let taken_back = withdrawn.filter(of_species).filter(|was| was.opened).count();
    if taken_back > 0 {
        evidence.silence.get_or_insert_default().add_withdrawn(taken_back);
    }
    evidence
}

/// The standing summary with the arms of all revisions, each with the largest number ever started, under the name that
/// the reader takes its species for.
fn as_counted(current: &Current<'_>, synonyms: &Synonyms) -> Summary {
    let arms = current.arms.iter().map(|now| Arm { started: now.started, ..now.arm.clone() }).collect();
    Summary { arms, taxon: synonyms.accepted(&current.summary.taxon), ..current.summary.clone() }
}

/// The newest signed month among the records.
fn data_until(records: &[Signed]) -> Option<String> {
    records.iter().map(|signed| signed.body.head().signed).max().map(|month| month.to_string())
}

/// A failure for a species of which this home holds nothing, with names that were perhaps meant.
pub(super) fn nothing_held(app: &App, taxon: &Taxon) -> Failure {
    let failure = Failure::expected(format!("this node holds no record of {taxon}"));
    let name = taxon.to_string();
    // A scientific name of the list is not misspelt; there is just nothing about it here.
    let listed: Vec<&str> = names::lookup(&name).iter().map(|listed| listed.scientific).collect();
    let near = match &listed[..] {
        [] => names::suggest(&name),
        known if known.contains(&name.as_str()) => Vec::new(),
        by_common_name => by_common_name.iter().copied().take(3).collect(),
    };
    if !near.is_empty() {
        return failure.hint(format!("did you mean {}?", near.join(", ")));
    }
    let held = app.store.count();
    let hint = if held == 0 {
        "this node holds no record at all yet: run it with a peer (propagule peers add ADDRESS, then propagule serve), or read a bundle (propagule bundle in FILE)".to_owned()
    } else {
        format!(
            "it holds {held} records of other species; publish your own trial, or exchange with more growers"
        )
    };
    failure.hint(hint)
}
