//! Verdicts in words.

use crate::kind::KindWords;
use crate::words::bench::VerdictFacts;
use propagule_app::outcome::judged::VerdictSaid;

fn facts(said: &VerdictSaid) -> VerdictFacts<'_> {
    let outcome = KindWords::of(said.kind).outcome(said.stage);
    VerdictFacts { pair: &said.pair, family: &said.family, outcome }
}

/// The verdict and its reason.
pub(super) fn reason(said: &VerdictSaid) -> String {
    facts(said).said()
}

/// The whole sentence.
pub(super) fn sentence(said: &VerdictSaid) -> String {
    facts(said).sentence()
}
