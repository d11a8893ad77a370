//! What a piece and a success are called for the question and the kind of propagation.

use propagule_answer::said::Wording;
use propagule_evidence::{Family, Outcome, Stage};

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

/// What a piece and a success are called.
pub trait PieceWords {
    /// One piece: cutting, graft, seed.
    fn piece(self) -> &'static str;
    /// Several pieces.
    fn pieces(self) -> &'static str;
    /// As a heading: rooted, taken.
    fn done(self) -> &'static str;
    /// "None of 12 …": rooted, took.
    fn did(self) -> &'static str;
    /// "4 in 100 …": root, take.
    fn verb(self) -> &'static str;
}

impl PieceWords for Wording {
    fn piece(self) -> &'static str {
        pieces(self.family).0
    }

    fn pieces(self) -> &'static str {
        pieces(self.family).1
    }

    fn done(self) -> &'static str {
        success(self).0
    }

    fn did(self) -> &'static str {
        success(self).1
    }

    fn verb(self) -> &'static str {
        success(self).2
    }
}

const fn success(wording: Wording) -> (&'static str, &'static str, &'static str) {
    match wording.outcome {
        Outcome::Rooted => rooted(wording.family),
        Outcome::Alive => ("alive", "stayed alive", "stay alive"),
        Outcome::Callused => ("callused", "callused", "callus"),
        Outcome::Established => ("established", "established", "establish"),
        Outcome::Final => ("finished", "were finished", "become finished plants"),
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
