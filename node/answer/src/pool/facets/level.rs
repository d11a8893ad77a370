//! One facet's words, each held against the one that was tried most.

use std::collections::BTreeSet;

use propagule_analysis::verdict::Verdict;

use super::super::ContrastAnswer;
use super::super::contrast::ShrunkFacet;
use super::columns::single_replicate;
use super::{FacetAnswer, LevelAnswer};
use crate::said::{AnswerSaid, LevelFacts, Standing};
use propagule_evidence::EvidenceRow;

/// A facet with its known words, and what is known of them.
pub(super) struct Levels<'a> {
    pub(super) name: &'a str,
    pub(super) words: &'a [String],
    pub(super) engine: Option<&'a ShrunkFacet>,
    pub(super) contrasts: &'a [ContrastAnswer],
    pub(super) rows: &'a [&'a EvidenceRow],
}

/// A word against the reference.
struct Against {
    standing: Standing,
    verdict: Verdict,
    side_by_side: usize,
    /// Mean, standard deviation and quantiles of the log odds ratio, and the chance of being better.
    figures: Option<(f64, f64, [f64; 3], f64)>,
}

impl Levels<'_> {
    pub(super) fn answer(&self) -> FacetAnswer {
        let pieces = |word: &String| self.of(word).map(|row| u64::from(row.started)).sum::<u64>();
        // Of equal ones the first in order.
        let most = self.words.iter().rev().max_by_key(|word| pieces(word));
        let reference = most.cloned().unwrap_or_default();
        FacetAnswer {
            facet: self.name.to_owned(),
            levels: self.words.iter().map(|word| self.level(&reference, word)).collect(),
            reference,
        }
    }

    fn of<'b>(&'b self, word: &'b String) -> impl Iterator<Item = &'b EvidenceRow> {
        self.rows.iter().copied().filter(move |row| row.facets.get(self.name) == Some(word))
    }

    fn level(&self, reference: &str, word: &String) -> LevelAnswer {
        let against = self.against(reference, word);
        let single_replicate = single_replicate(self.rows, self.name, word);
        let facts = LevelFacts {
            facet: self.name.replace('_', " "),
            reference: reference.to_owned(),
            level: word.clone(),
            standing: against.standing,
            verdict: against.verdict,
            side_by_side: against.side_by_side,
            single_replicate,
            log_or: against.figures.map(|of| of.2),
            better: against.figures.map(|of| of.3),
        };
        let distinct =
            |label: fn(&EvidenceRow) -> &str| self.of(word).map(label).collect::<BTreeSet<_>>().len();
        LevelAnswer {
            level: word.clone(),
            verdict: against.verdict,
            sentence: AnswerSaid::Level(Box::new(facts)),
            log_or_mean: against.figures.map(|of| of.0),
            log_or_sd: against.figures.map(|of| of.1),
            log_or_q: against.figures.map(|of| of.2),
            prob_better_than_reference: against.figures.map(|of| of.3),
            standing: against.standing,
            growers: distinct(|row| &row.grower),
            trials: distinct(|row| &row.trial),
            side_by_side_trials: against.side_by_side,
            single_replicate,
            started: self.of(word).map(|row| u64::from(row.started)).sum(),
            rooted: self.of(word).map(|row| u64::from(row.succeeded)).sum(),
        }
    }

    fn against(&self, reference: &str, word: &str) -> Against {
        let none = |standing, verdict| Against { standing, verdict, side_by_side: 0, figures: None };
        if word == reference {
            let figures = Some((0.0, 0.0, [0.0; 3], 0.0));
            return Against { figures, ..none(Standing::Reference, Verdict::CannotTell) };
        }
        if let Some(pair) = self.pair(reference, word) {
            return of_pair(pair, pair.first == word);
        }
        match self.engine.and_then(|engine| engine.verdict(word, reference)) {
            None | Some(Verdict::NeverCompared) => none(Standing::BetweenGrowers, Verdict::NeverCompared),
            Some(Verdict::Confounded) => none(Standing::Aliased, Verdict::Confounded),
            // Joined through a third word alone.
            Some(verdict) => {
                let found = self.engine.and_then(|engine| engine.estimate(word, reference));
                let figures = found.map(|found| figures(&found.estimate));
                Against { figures, ..none(Standing::WithinGrowers, verdict) }
            }
        }
    }

    fn pair(&self, one: &str, other: &str) -> Option<&ContrastAnswer> {
        let is_it = |pair: &&ContrastAnswer| {
            pair.facet == self.name
                && ((pair.first == one && pair.second == other)
                    || (pair.first == other && pair.second == one))
        };
        self.contrasts.iter().find(is_it)
    }
}

fn figures(found: &propagule_analysis::shrunk::ShrunkEstimate) -> (f64, f64, [f64; 3], f64) {
    (found.log_or_mean, found.log_or_sd, found.log_or_q, found.prob_first_better)
}

/// What the answer's own contrast says, seen from its first word or from its second one.
fn of_pair(pair: &ContrastAnswer, is_first: bool) -> Against {
    let fit = &pair.fit;
    let by_itself = (fit.log_or_mean, fit.log_or_sd, fit.log_or_q, fit.prob_first_better);
    let (mean, sd, q, _) = pair.shrunk.as_ref().map_or(by_itself, |found| figures(&found.estimate));
    let better = match &pair.sentence {
        AnswerSaid::Contrast(said) => said.prob_first_better,
        _ => by_itself.3,
    };
    let figures =
        if is_first { (mean, sd, q, better) } else { (-mean, sd, [-q[2], -q[1], -q[0]], 1.0 - better) };
    Against {
        standing: Standing::WithinGrowers,
        verdict: pair.verdict,
        side_by_side: pair.trials,
        figures: Some(figures),
    }
}
