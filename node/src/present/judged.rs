//! Verdicts in words.

use propagule_app::outcome::judged::VerdictSaid;
use propagule_present::kind::KindWords;
use propagule_present::words::bench::VerdictFacts;

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
