//! What an entry is called.

use crate::kind::KindWords;
use propagule_bench::What;

/// What an entry is, in the words of a kind.
pub fn what(what: &What, words: &KindWords) -> String {
    match what {
        What::Counted { stage: Some(stage), .. } => words.name(*stage).to_owned(),
        What::Looked { .. } => "checked, no change".to_owned(),
        What::Counted { .. } => "check".to_owned(),
        What::WrapCut { .. } => words.trade("tape cut").to_owned(),
        What::Suckers { .. } => "rootstock suckers".to_owned(),
        What::Stood { .. } => "bench".to_owned(),
        What::Cared { .. } => "log".to_owned(),
        other => other.word().to_owned(),
    }
}
