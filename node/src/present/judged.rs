//! Verdicts in words.

use crate::answer::words::bench::VerdictFacts;
use crate::answer::words::kind::KindWords;
use crate::app::outcome::judged::VerdictSaid;

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
