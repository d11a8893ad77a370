//! A pooled answer with what a screen shows beside it: own counts, facets to choose from.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::evidence::{gather, parse_species};
use crate::memo::Gathered;
use crate::{App, PoolQuestion, bench_rows, plant, pool};
use propagule_answer::pool::{MethodAnswer, PoolAnswer};
use propagule_evidence::{EvidenceRow, Grouping, MethodGroup, Whose, group};
use propagule_files::fault::Fault;

/// A pooled answer with what stands beside it on a screen.
#[derive(Clone, Debug)]
pub struct SpeciesView {
    /// The answer.
    pub answer: Arc<PoolAnswer>,
    /// Own successes and pieces by method, as they stand on the bench, published or not.
    pub own: BTreeMap<String, (u32, u32)>,
    /// Trials held, counted or not.
    pub trials: usize,
    /// Words of each facet that differs between arms, the most usual first.
    pub words: Vec<(String, Vec<String>)>,
    /// Names of other plants that the reader takes for this one.
    pub also: Vec<String>,
    /// Whether this home has a circle, so that everybody's figures differ from its own.
    pub has_circle: bool,
}

/// Most words of a facet that are offered.
const WORDS_OFFERED: usize = 12;

/// Pools one species.
pub fn species(app: &App, question: &PoolQuestion) -> Result<SpeciesView, Fault> {
    let taxon = parse_species(&question.species)?;
    let gathered = gather(app, &taxon, question.count, question.scope)?;
    let answer = pool::answered_beside_print(app, &taxon, &gathered, question)?;
    let own = bench_rows::bench_rows(
        app,
        gathered.trust.reader,
        &taxon,
        question.count,
        question.scope.with_regrafts,
    );
    let trials: std::collections::BTreeSet<&str> =
        gathered.evidence.rows.iter().map(|row| row.trial.as_str()).collect();
    Ok(SpeciesView {
        own: own_counts(&gathered, own, &question.grouping, &answer.methods),
        trials: trials.len(),
        words: words(&gathered.evidence.rows),
        also: plant::also_counted(app, &taxon),
        has_circle: gathered.whose != Whose::Everybody || !gathered.trust.circle().is_empty(),
        answer,
    })
}

/// Own counts of each method that the answer has.
fn own_counts(
    gathered: &Gathered,
    own: Vec<EvidenceRow>,
    grouping: &Grouping,
    methods: &[MethodAnswer],
) -> BTreeMap<String, (u32, u32)> {
    let mut rows: Vec<EvidenceRow> = gathered.evidence.rows.iter().filter(|row| row.own).cloned().collect();
    bench_rows::put_in_place(&mut rows, own);
    let counted = rows.iter().filter(|row| !row.pending);
    let groups = group(counted, grouping, &mut Vec::new());
    let of = |group: &MethodGroup<'_>| {
        // A label names the weeks of moves over all arms, which the own arms alone do not span.
        let same = |method: &&MethodAnswer| method.method == group.label;
        let same_facets: Vec<&MethodAnswer> =
            methods.iter().filter(|method| method.facets == group.facets).collect();
        let method = methods.iter().find(same).or(match same_facets.as_slice() {
            [only] => Some(*only),
            _ => None,
        })?;
        let sum = |count: fn(&EvidenceRow) -> u32| group.rows.iter().map(|row| count(row)).sum();
        Some((method.method.clone(), (sum(|row| row.succeeded), sum(|row| row.started))))
    };
    groups.iter().filter_map(of).collect()
}

/// Words of each facet that has several.
fn words(rows: &[EvidenceRow]) -> Vec<(String, Vec<String>)> {
    let mut held: BTreeMap<&str, BTreeMap<&str, usize>> = BTreeMap::new();
    for (facet, word) in rows.iter().flat_map(|row| &row.facets) {
        *held.entry(facet).or_default().entry(word).or_default() += 1;
    }
    let several = held.into_iter().filter(|(_, words)| words.len() > 1);
    let ranked = several.map(|(facet, words)| {
        let mut words: Vec<(&str, usize)> = words.into_iter().collect();
        words.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(b.0)));
        let words = words.into_iter().take(WORDS_OFFERED).map(|(word, _)| word.to_owned());
        (facet.to_owned(), words.collect())
    });
    ranked.collect()
}
