//! The evidence that this home holds on a species.

pub(super) mod standing;
#[cfg(test)]
mod tests;

use std::collections::BTreeSet;
use std::sync::Arc;

use propagule_protocol::state::{self, Resolved};
use propagule_protocol::{AuthorKey, RecordId, Signed, Taxon, names};

use super::App;
use super::memo::{EvidenceKey, Gathered};
use super::naming;
use propagule_answer::behind::{SetApart, set_apart};
use propagule_answer::question::Scope;
use propagule_bench::KnownGrower;
use propagule_bench::doing::Doing;
use propagule_evidence::{Question, RecordOptions, Trust, Whose, from_set};
use propagule_files::fault::Fault;

/// A plant name as asked for, parsed; with "did you mean" where it does not parse.
pub(super) fn parse_species(text: &str) -> Result<Taxon, Fault> {
    // Nothing is saved, and the answer shows the name that was read.
    naming::read(Doing::Plant, text, true).map(|named| named.taxon)
}

/// Rows on `taxon` for `question`, with records of the network as they stand now.
pub(super) fn gather(
    app: &App,
    taxon: &Taxon,
    question: Question,
    scope: Scope,
) -> Result<Arc<Gathered>, Fault> {
    let synonyms = app.synonyms();
    let taxon = &synonyms.accepted(taxon);
    let ids = ids_of(app, &synonyms.one_species(&taxon.species_key()))?;
    let own = app.keys().public();
    let known: Vec<KnownGrower> = app.bench().growers().cloned().collect();
    let month = app.clock.month();
    let key = EvidenceKey::new(&ids, (&own, &known), taxon, (question, scope), month);
    let key = key.judged_by(standing::changes(app));
    app.memos.evidence.get(key.clone(), || {
        let records = app.store.records(&ids)?;
        let options = RecordOptions {
            question,
            transcribed: scope.transcribed,
            opened_only: scope.opened_only,
            with_regrafts: scope.with_regrafts,
            now: Some(month),
            ..RecordOptions::new(taxon.clone())
        };
        let resolved = state::resolve(&records);
        let trust = trust_of(&resolved, &app.keys().current().author(), &own, &known);
        let circle = trust.circle();
        let whose = scope.whose.unwrap_or(if circle.is_empty() { Whose::Everybody } else { Whose::Circle });
        let rows = |whose| from_set(&resolved, &circle, whose, &options, &synonyms);
        let data_until = data_until(&records);
        if whose != Whose::Everybody {
            let (evidence, everybody) = (rows(whose), Some(rows(Whose::Everybody)));
            return Ok(Gathered {
                key,
                evidence,
                everybody,
                with_new: None,
                behind: None,
                whose,
                trust,
                data_until,
            });
        }
        let all = rows(whose);
        let standings = standing::of(app, &resolved, &all, &circle)?;
        let SetApart { evidence, with_new, behind } = set_apart(all, &standings, scope.unchecked);
        let behind = Some(behind);
        Ok(Gathered { key, evidence, everybody: None, with_new, behind, whose, trust, data_until })
    })
}

/// Ids of the summaries of all these species, and of every record that may act on them.
fn ids_of(app: &App, species: &[String]) -> Result<Vec<RecordId>, Fault> {
    let mut ids: BTreeSet<RecordId> = BTreeSet::new();
    for key in species {
        ids.extend(app.store.evidence_ids(key)?);
    }
    Ok(ids.into_iter().collect())
}

/// Who trusts whom: vouches of the network, and what this home keeps to itself.
///
/// `current` is the key that signs now; all `own` keys, and whoever they belong to, are the reader.
pub(super) fn trust_of(
    resolved: &Resolved<'_>,
    current: &AuthorKey,
    own: &[AuthorKey],
    known: &[KnownGrower],
) -> Trust {
    let mut trust = Trust::nobody(resolved.author_of(current));
    trust.own.extend(own.iter().map(|key| resolved.author_of(key)));
    for pair in resolved.vouches() {
        trust.vouches.entry(pair.author).or_default().insert(pair.subject);
    }
    let authors = |is: fn(&KnownGrower) -> bool| {
        let chosen = known.iter().filter(move |grower| is(grower));
        chosen.map(|grower| resolved.author_of(&grower.key))
    };
    let vouched = trust.own.iter().filter_map(|own| trust.vouches.get(own)).flatten();
    trust.friends = vouched.copied().collect();
    trust.friends.extend(authors(|grower| grower.trusted));
    trust.muted.extend(authors(|grower| grower.muted));
    trust
}

/// Names of all species that summaries are held of.
pub(super) fn species_held(app: &App) -> Result<Vec<String>, Fault> {
    let name = |key: String| Taxon::parse(&key).map_or(key, |taxon| taxon.to_string());
    Ok(app.store.species()?.into_iter().map(name).collect())
}

/// The newest signed month among the records.
fn data_until(records: &[Signed]) -> Option<String> {
    records.iter().map(|signed| signed.body.head().signed).max().map(|month| month.to_string())
}

/// Names that were perhaps meant by one that looks misspelt, or is no scientific one.
pub(super) fn perhaps_meant(taxon: &Taxon) -> Vec<&'static str> {
    let name = taxon.to_string();
    // A scientific name of the list is not misspelt; there is just nothing about it here.
    let listed: Vec<&str> = names::lookup(&name).iter().map(|listed| listed.scientific).collect();
    match &listed[..] {
        [] => names::suggest(&name),
        known if known.contains(&name.as_str()) => Vec::new(),
        by_common_name => by_common_name.iter().copied().take(3).collect(),
    }
}

/// A failure for a species of which this home holds nothing, with names that were perhaps meant.
pub(super) fn nothing_held(app: &App, taxon: &Taxon) -> Fault {
    let failure = Fault::user("species-without-records").with("taxon", taxon);
    let near = perhaps_meant(taxon);
    if !near.is_empty() {
        return failure.near(&near.into_iter().map(str::to_owned).collect::<Vec<_>>());
    }
    match app.store.count() {
        0 => failure.hint_named("get-first-records"),
        held => failure.with("held", held).hint_named("get-more-records"),
    }
}
