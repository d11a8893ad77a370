//! Verdicts in words.

use crate::kind::KindWords;
use crate::words::bench::VerdictFacts;
use propagule_app::outcome::judged::VerdictSaid;

fn facts(said: &VerdictSaid) -> VerdictFacts<'_> {
    VerdictFacts {
        pair: &said.pair,
        family: &said.family,
        words: KindWords::of(said.kind),
        stage: said.stage,
    }
}

/// The verdict and its reason.
pub(super) fn reason(said: &VerdictSaid) -> String {
    facts(said).said()
}

/// The whole sentence.
pub(super) fn sentence(said: &VerdictSaid) -> String {
    facts(said).sentence()
}
