//! What a piece and a success are called for the question and the kind of propagation.

use propagule_evidence::{Family, Outcome, Stage};

/// Words for one answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wording {
    /// One piece: cutting, graft, seed.
    pub piece: &'static str,
    /// Several pieces.
    pub pieces: &'static str,
    /// As a heading: rooted, taken.
    pub done: &'static str,
    /// "None of 12 …": rooted, took.
    pub did: &'static str,
    /// "4 in 100 …": root, take.
    pub verb: &'static str,
}

const fn pieces(family: Family) -> (&'static str, &'static str) {
    match family {
        Family::Mixed => ("piece", "pieces"),
        Family::Cuttings => ("cutting", "cuttings"),
        Family::Grafts => ("graft", "grafts"),
        Family::Buds => ("bud", "buds"),
        Family::Seed => ("seed", "seeds"),
        Family::Layers => ("layer", "layers"),
        Family::Division => ("division", "divisions"),
    }
}

const fn rooted(family: Family) -> (&'static str, &'static str, &'static str) {
    match family {
        Family::Grafts | Family::Buds => ("taken", "took", "take"),
        Family::Seed => ("germinated", "germinated", "germinate"),
        _ => ("rooted", "rooted", "root"),
    }
}

impl Wording {
    /// Words for `outcome` of pieces of this family.
    pub const fn new(family: Family, outcome: Outcome) -> Self {
        let (piece, pieces) = pieces(family);
        let (done, did, verb) = match outcome {
            Outcome::Rooted => rooted(family),
            Outcome::Alive => ("alive", "stayed alive", "stay alive"),
            Outcome::Callused => ("callused", "callused", "callus"),
            Outcome::Established => ("established", "established", "establish"),
            Outcome::Final => ("finished", "were finished", "become finished plants"),
        };
        Self { piece, pieces, done, did, verb }
    }
}

/// "rooted at lift", "finished at the final count".
pub fn question_words(wording: Wording, stage: Stage) -> String {
    let stage = match stage {
        Stage::Lift => "at lift",
        Stage::Season => "at the end of the season",
        Stage::Spring => "in spring",
        Stage::Final => "at the final count",
    };
    format!("{} {stage}", wording.done)
}

/// What is done with a piece of this family to start it.
pub const fn start_verb(family: Family) -> &'static str {
    match family {
        Family::Cuttings => "Stick",
        Family::Grafts => "Graft",
        Family::Buds => "Bud",
        Family::Seed => "Sow",
        Family::Layers => "Layer",
        Family::Mixed | Family::Division => "Start",
    }
}
