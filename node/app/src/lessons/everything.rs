//! All records that teach something, as they stand.

use std::collections::{BTreeMap, BTreeSet};

use propagule_protocol::{RecordId, Taxon, state};
use sha2::{Digest, Sha256};

use super::{Lesson, Stamp};
use crate::App;
use crate::evidence::{standing, trust_of};
use propagule_answer::behind::set_apart;
use propagule_answer::learnt::{Corpora, Trust};
use propagule_bench::KnownGrower;
use propagule_evidence::{Evidence, RecordOptions, Whose, every_species_from_set};
use propagule_files::fault::Fault;

/// Most records that are read; beyond them whole species are left out, in an order that only this home knows.
const MOST_RECORDS: usize = 200_000;

/// A hash over everything that may change what is learnt.
pub(super) fn stamp(app: &App) -> Result<Stamp, Fault> {
    let mut hash = Sha256::new();
    for row in app.store.months() {
        hash.update(row.month.0.to_le_bytes());
        hash.update(row.fingerprint);
    }
    for id in hidden(app)? {
        hash.update(id.0);
    }
    for key in app.keys().public() {
        hash.update(key.0);
    }
    for grower in app.bench().growers() {
        hash.update(grower.key.0);
        hash.update([u8::from(grower.trusted), u8::from(grower.muted)]);
    }
    for (synonym, accepted) in app.synonyms().pairs() {
        hash.update(format!("{synonym}={accepted};"));
    }
    let (day, changes) = standing::changes(app);
    hash.update(day.to_le_bytes());
    hash.update(changes.to_le_bytes());
    Ok(hash.finalize().into())
}

/// Own records that nobody else may learn of yet.
fn hidden(app: &App) -> Result<BTreeSet<RecordId>, Fault> {
    Ok(app.store.outbox()?.into_iter().map(|(id, _)| id).collect())
}

fn ids(app: &App) -> Result<Vec<RecordId>, Fault> {
    let mut ids: BTreeSet<RecordId> = hidden(app)?;
    if app.store.count() <= MOST_RECORDS as u64 {
        ids.extend(app.store.all_ids()?);
        return Ok(ids.into_iter().collect());
    }
    let mut species = app.store.species()?;
    species.sort_by_cached_key(|key| -> [u8; 32] {
        Sha256::new().chain_update(app.home.id().0).chain_update(key).finalize().into()
    });
    for key in species {
        ids.extend(app.store.evidence_ids(&key)?);
        if ids.len() >= MOST_RECORDS {
            break;
        }
    }
    Ok(ids.into_iter().collect())
}

/// The evidence of all species for a lesson, strangers set apart as in every answer.
pub(super) fn corpora(app: &App, lesson: &Lesson) -> Result<Corpora, Fault> {
    let Lesson { count, scope, whose, grouping } = lesson;
    let records = app.store.records(&ids(app)?)?;
    let known: Vec<KnownGrower> = app.bench().growers().cloned().collect();
    let resolved = state::resolve(&records);
    let trust = trust_of(&resolved, &app.keys().current().author(), &app.keys().public(), &known);
    let circle = trust.circle();
    let options = RecordOptions {
        question: *count,
        transcribed: scope.transcribed,
        opened_only: scope.opened_only,
        with_regrafts: scope.with_regrafts,
        now: None,
        ..RecordOptions::new(Taxon::default())
    };
    let mut species = every_species_from_set(&resolved, &circle, *whose, &options, &app.synonyms());
    if *whose == Whose::Everybody {
        let rows = species.values().flat_map(|evidence| evidence.rows.iter().cloned()).collect();
        let all = Evidence { rows, ..Evidence::default() };
        let standings = standing::of(app, &resolved, &all, &circle)?;
        let left = set_apart(all, &standings, scope.unchecked).evidence;
        let left: BTreeSet<String> = left.rows.into_iter().map(|row| row.publisher).collect();
        for evidence in species.values_mut() {
            evidence.rows.retain(|row| left.contains(&row.publisher));
        }
    }
    let trust = match whose {
        Whose::Everybody => Trust::Everybody,
        _ => Trust::Circle,
    };
    let rows: BTreeMap<&str, _> =
        species.iter().map(|(key, evidence)| (key.as_str(), evidence.rows.as_slice())).collect();
    Ok(Corpora::new(rows, grouping, trust, &app.home.id().0))
}
