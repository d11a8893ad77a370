//! The reader's own trials as evidence, straight from the bench: they need not be published.

use propagule_protocol::anonymise::anonymise;
use propagule_protocol::place::{Climate, Hemisphere, Place};
use propagule_protocol::{AuthorKey, Relation, Summary, Taxon};

use super::App;
use propagule_bench::Trial;
use propagule_bench::summarise::summarise;
use propagule_evidence::{EvidenceRow, HeldTrial, Question, RecordOptions, from_records};

/// An own trial as the network would hold it; a parent was looked up at the bench before the summary names it.
pub(crate) fn held(author: AuthorKey, summary: &Summary) -> HeldTrial<'_> {
    HeldTrial {
        author,
        summary,
        own: true,
        trusts_marks: true,
        weight: 1.0,
        muted: false,
        equivocated: false,
        shrunk: false,
        opened_early: false,
        opened: None,
        is_regraft: summary.parent.is_some_and(|parent| parent.relation == Relation::Regraft),
    }
}

/// Arms of the own trials of a species as they stand on the bench, published or not. They say nothing about climate:
/// a place need not be known to plan.
pub(super) fn bench_rows(
    app: &App,
    author: AuthorKey,
    taxon: &Taxon,
    question: Question,
    with_regrafts: bool,
) -> Vec<EvidenceRow> {
    let synonyms = app.synonyms();
    let taxon = &synonyms.accepted(taxon);
    let is_of = |trial: &&Trial| {
        Taxon::parse(&trial.species)
            .is_ok_and(|own| synonyms.accepted(&own).species_key() == taxon.species_key())
    };
    let trials: Vec<Trial> = {
        let bench = app.bench();
        let put_in = bench.trials().filter(|trial| !trial.is_planned);
        put_in.filter(is_of).map(|trial| bench.as_it_stands(trial)).collect()
    };
    // A record needs some zone; nothing that is asked of these rows looks at it.
    let anywhere = Place { hemisphere: Hemisphere::North, climate: Climate::None, zone: "8b".parse().ok() };
    let summaries = trials.iter().filter_map(|trial| {
        let private = summarise(trial, 0).ok()?;
        let summary = anonymise(&private, &anywhere, app.clock.month()).ok()?.summary;
        Some(Summary { taxon: synonyms.accepted(&summary.taxon), ..summary })
    });
    let summaries: Vec<Summary> = summaries.collect();
    let held: Vec<HeldTrial<'_>> = summaries.iter().map(|summary| held(author, summary)).collect();
    from_records(&held, &RecordOptions { question, with_regrafts, ..RecordOptions::new(taxon.clone()) }).rows
}

/// Puts rows of the bench in the place of those published of the same trials under any own key, and adds those never
/// published.
pub(super) fn put_in_place(rows: &mut Vec<EvidenceRow>, own: Vec<EvidenceRow>) {
    rows.retain(|row| !(row.own && own.iter().any(|bench| series(&bench.trial) == series(&row.trial))));
    rows.extend(own);
}

/// The part of a trial's label that stays the same under another key.
fn series(trial: &str) -> &str {
    trial.rsplit('/').next().unwrap_or(trial)
}
