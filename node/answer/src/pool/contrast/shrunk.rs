//! All pairs of a facet's words at once, shrunk towards no difference: what allows for many comparisons.

use std::collections::{BTreeMap, BTreeSet};

use propagule_analysis::FitError;
use propagule_analysis::shrunk::{CLEAR_SHRUNK, ShrunkEffects, ShrunkEstimate, ShrunkSpreads};
use propagule_analysis::verdict::Verdict;

use super::comparable_alone;
use crate::parallel;
use crate::pool::strata::{Compared, Held, compare, rest};
use crate::pool::{ContrastAnswer, ShrunkAnswer};
use crate::said::AnswerSaid;
use propagule_evidence::EvidenceRow;

/// A facet's words and what the engine makes of them.
#[derive(Clone, Debug)]
pub(in crate::pool) struct ShrunkFacet {
    words: Vec<String>,
    compared: Compared,
}

impl ShrunkFacet {
    /// The words that stand beside another one; `None` where none do.
    pub(in crate::pool) fn effects(&self) -> Option<&ShrunkEffects> {
        self.compared.fit.effects.as_ref()
    }

    /// Means of the spreads; `None` where nothing was compared.
    pub(in crate::pool) fn spreads(&self) -> Option<&ShrunkSpreads> {
        self.compared.fit.spreads.as_ref()
    }

    /// Trials that it was fitted to, and those that hold two words side by side.
    pub(in crate::pool) fn trials(&self) -> (usize, usize) {
        (self.compared.trials, self.compared.of_trials)
    }

    /// What may be said of two words, and what moved with them.
    pub(in crate::pool) fn verdict(&self, first: &str, second: &str) -> Option<Verdict> {
        let place = |word: &str| self.words.binary_search_by(|known| known.as_str().cmp(word)).ok();
        let (a, b) = (place(first)?, place(second)?);
        Some(self.compared.fit.pair(a.min(b), a.max(b))?.verdict)
    }

    /// The first word against the second, where anything may be printed of them.
    pub(in crate::pool) fn estimate(&self, first: &str, second: &str) -> Option<ShrunkAnswer> {
        let place = |word: &str| self.words.binary_search_by(|known| known.as_str().cmp(word)).ok();
        let (a, b) = (place(first)?, place(second)?);
        let estimate = self.compared.fit.pair(a.min(b), a.max(b))?.estimate?;
        let estimate = if a < b { estimate } else { turned(&estimate) };
        let Compared { trials, of_trials, .. } = self.compared;
        Some(ShrunkAnswer { estimate, trials, of_trials })
    }
}

fn turned(estimate: &ShrunkEstimate) -> ShrunkEstimate {
    let [low, middle, high] = estimate.log_or_q;
    ShrunkEstimate {
        log_or_mean: -estimate.log_or_mean,
        log_or_sd: estimate.log_or_sd,
        log_or_q: [-high, -middle, -low],
        prob_first_better: 1.0 - estimate.prob_first_better,
        prob_first_better_next_trial: 1.0 - estimate.prob_first_better_next_trial,
    }
}

/// Fits facets one by one; those without two known words are left out.
pub(in crate::pool) fn shrunk_facets(
    names: &BTreeSet<&str>,
    trials: &BTreeMap<&str, Vec<&EvidenceRow>>,
    capped: bool,
) -> Result<BTreeMap<String, ShrunkFacet>, FitError> {
    let rows: Vec<&EvidenceRow> =
        trials.values().flatten().copied().filter(|row| comparable_alone(row)).collect();
    let names: Vec<&str> = names.iter().copied().collect();
    let fitted = parallel::map(&names, |name| shrunk_facet(name, &rows, capped));
    let named = names.iter().zip(fitted).map(|(name, fit)| Ok(fit?.map(|fit| ((*name).to_owned(), fit))));
    named.filter_map(Result::transpose).collect()
}

fn shrunk_facet(name: &str, rows: &[&EvidenceRow], capped: bool) -> Result<Option<ShrunkFacet>, FitError> {
    let words: BTreeSet<&String> = rows.iter().filter_map(|row| row.facets.get(name)).collect();
    let words: Vec<String> = words.into_iter().cloned().collect();
    if words.len() < 2 {
        return Ok(None);
    }
    let held = |row: &&'_ EvidenceRow| -> Option<usize> { words.binary_search(row.facets.get(name)?).ok() };
    let arms = rows.iter().filter_map(|row| {
        let level = held(row)?;
        Some(Held { row, level, rest: rest(row, |other| other == name) })
    });
    let compared = compare(words.len(), &arms.collect::<Vec<_>>(), capped)?;
    Ok(Some(ShrunkFacet { words, compared }))
}

/// Where an answer holds several pairs, each of them has to be clear among all as well; of one trial alone its own verdicts
/// stand, which are corrected for all that it asks.
pub(super) fn allow_for_many(
    answers: &mut [ContrastAnswer],
    facets: &BTreeMap<String, ShrunkFacet>,
    rests_on_one_trial: bool,
) {
    if answers.len() < 2 {
        return;
    }
    for answer in answers {
        let facet = facets.get(&answer.facet);
        answer.shrunk = facet.and_then(|facet| facet.estimate(&answer.first, &answer.second));
        let needs_it = match answer.verdict {
            Verdict::Likely => true,
            Verdict::Better => !rests_on_one_trial,
            _ => false,
        };
        let AnswerSaid::Contrast(said) = &mut answer.sentence else { continue };
        if let Some(shrunk) = &answer.shrunk {
            said.prob_first_better = nearer_even(said.prob_first_better, shrunk.estimate.prob_first_better);
            said.from_trials =
                (shrunk.trials < shrunk.of_trials).then_some([shrunk.trials, shrunk.of_trials]);
        }
        let leads = match answer.verdict {
            Verdict::Better => said.first_is_better == Some(true),
            _ => answer.fit.prob_first_better > 0.5,
        };
        if needs_it && !is_clear(answer.shrunk.as_ref(), leads) {
            (answer.verdict, said.verdict) = (Verdict::CannotTell, Verdict::CannotTell);
        }
    }
}

/// The smaller of both probabilities that one side is better.
fn nearer_even(a: f64, b: f64) -> f64 {
    if (a - 0.5).abs() <= (b - 0.5).abs() { a } else { b }
}

fn is_clear(shrunk: Option<&ShrunkAnswer>, first_leads: bool) -> bool {
    shrunk.is_some_and(|shrunk| {
        let first = shrunk.estimate.prob_first_better;
        (if first_leads { first } else { 1.0 - first }) >= CLEAR_SHRUNK
    })
}
