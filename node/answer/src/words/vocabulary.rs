//! What a piece and a success are called for the question and the kind of propagation.

use propagule_evidence::{Family, Outcome, Stage};
use serde::{Deserialize, Serialize};

/// In which words an answer is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Wording {
    /// Whose words.
    pub family: Family,
    /// What counts as a success.
    pub outcome: Outcome,
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
        Self { family, outcome }
    }

    /// One piece: cutting, graft, seed.
    pub const fn piece(self) -> &'static str {
        pieces(self.family).0
    }

    /// Several pieces.
    pub const fn pieces(self) -> &'static str {
        pieces(self.family).1
    }

    /// As a heading: rooted, taken.
    pub const fn done(self) -> &'static str {
        self.success().0
    }

    /// "None of 12 …": rooted, took.
    pub const fn did(self) -> &'static str {
        self.success().1
    }

    /// "4 in 100 …": root, take.
    pub const fn verb(self) -> &'static str {
        self.success().2
    }

    const fn success(self) -> (&'static str, &'static str, &'static str) {
        match self.outcome {
            Outcome::Rooted => rooted(self.family),
            Outcome::Alive => ("alive", "stayed alive", "stay alive"),
            Outcome::Callused => ("callused", "callused", "callus"),
            Outcome::Established => ("established", "established", "establish"),
            Outcome::Final => ("finished", "were finished", "become finished plants"),
        }
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
    format!("{} {stage}", wording.done())
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
