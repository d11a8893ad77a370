//! Who stands behind an answer that everybody's records are asked for: growers whom the reader backs, growers whom this home
//! has known for a month, and strangers, who weigh nothing in it.
//!
//! Anybody makes a thousand keys in a second, and no average of what they claim tells them from a thousand growers. So a
//! figure never rests on strangers alone, and never hides how many of them there are.

mod burst;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::said::AnswerSaid;
use propagule_evidence::Evidence;

pub use crate::said::{BehindFacts, Burst, Leads};

/// Growers without which there is no figure beside growers not known here yet.
pub const FEWEST: usize = 3;

/// How an author stands to the reader's home.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Footing {
    /// The reader, or in the growers it trusts.
    Backed,
    /// First seen here a month ago or earlier, or known by the reader's word.
    Known,
    /// Everybody else.
    New,
}

/// How the authors of an answer stand, and when each was first seen, in days since 1970.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Footings {
    /// By label; the day is none where it is not known.
    pub authors: BTreeMap<String, (Footing, Option<u32>)>,
    /// The day on which the first author of all was seen here.
    pub home_since: Option<u32>,
    /// Today.
    pub today: u32,
    /// Whether anybody but the reader is trusted.
    pub has_circle: bool,
}

/// Who stands behind an answer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StandsBehind {
    /// Growers, and what follows.
    #[serde(flatten)]
    pub facts: BehindFacts,
    /// In words.
    pub sentence: AnswerSaid,
}

impl StandsBehind {
    /// Whether there is no figure, since too few stand behind it.
    pub fn gives_nothing(&self) -> bool {
        self.facts.leads == Leads::Nothing && !self.facts.unchecked
    }
}

/// Evidence with growers not known here yet set apart.
#[derive(Clone, Debug, PartialEq)]
pub struct SetApart {
    /// What counts.
    pub evidence: Evidence,
    /// With growers not known here yet; none where none were set apart.
    pub with_new: Option<Evidence>,
    /// Who stands behind it.
    pub behind: StandsBehind,
}

/// Sets growers not known here yet apart from everybody's evidence. `unchecked` leaves them in, and says so.
pub fn set_apart(all: Evidence, standings: &Footings, unchecked: bool) -> SetApart {
    let of_answer: BTreeSet<&str> = all.rows.iter().map(|row| row.publisher.as_str()).collect();
    let burst = burst::of(&of_answer, standings);
    let standing = |publisher: &str| {
        let (standing, day) = standings.authors.get(publisher).copied().unwrap_or((Footing::New, None));
        let is_of_burst = day.is_some_and(|day| burst.as_ref().is_some_and(|burst| burst.holds(day)));
        if is_of_burst { demoted(standing) } else { standing }
    };
    let growers = |of: Footing| {
        let rows = all.rows.iter().filter(|row| !row.pending && standing(&row.publisher) == of);
        rows.map(|row| row.grower.as_str()).collect::<BTreeSet<_>>().len()
    };
    let [backed, known, new] = [Footing::Backed, Footing::Known, Footing::New].map(growers);
    let leads = match backed + known {
        _ if new == 0 => Leads::All,
        left if left < FEWEST => Leads::Nothing,
        _ => Leads::WithoutNew,
    };
    let counted = || all.rows.iter().filter(|row| !row.pending);
    let facts = BehindFacts {
        backed,
        known,
        new,
        leads,
        has_circle: standings.has_circle,
        unchecked,
        rooted: counted().map(|row| u64::from(row.succeeded)).sum(),
        started: counted().map(|row| u64::from(row.started)).sum(),
        burst: burst.as_ref().map(burst::Window::told),
    };
    let sentence = AnswerSaid::Behind(Box::new(facts.clone()));
    let behind = StandsBehind { facts, sentence };
    if unchecked || leads == Leads::All {
        return SetApart { evidence: all, with_new: None, behind };
    }
    let mut evidence = all.clone();
    evidence.rows.retain(|row| leads == Leads::WithoutNew && standing(&row.publisher) != Footing::New);
    SetApart { evidence, with_new: Some(all), behind }
}

/// What a key of a burst counts as: time alone makes none of them known.
fn demoted(standing: Footing) -> Footing {
    match standing {
        Footing::Backed => Footing::Backed,
        Footing::Known | Footing::New => Footing::New,
    }
}
