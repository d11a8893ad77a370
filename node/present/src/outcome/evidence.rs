//! The evidence itself in words: whose a trial is, what to mind with it, where it stood.

use crate::kind::{self, described, units};
use propagule_answer::said::Wording;
use propagule_evidence::{Outcome, RowFlags};
use propagule_protocol::place::Midpoints;

use crate::words::sentences::number_of;
use crate::words::{self, PieceWords};
use propagule_app::reading::{ArmEvidence, WhoseTrial};

/// A name given at home, with the first letters of the key; a source in print as it stands.
pub fn whose(whose: &WhoseTrial) -> String {
    match whose {
        WhoseTrial::Own => "you".to_owned(),
        WhoseTrial::Printed(source) => source.clone(),
        WhoseTrial::Other { name, key, mark } => {
            let name = name.as_ref().map_or_else(|| key.clone(), |name| format!("{name} ({key})"));
            if mark.is_empty() { name } else { format!("{name}, grower {mark}") }
        }
    }
}

/// What to mind with the arms of a trial, each once.
pub fn marks(flags: &[RowFlags]) -> Vec<String> {
    let mut marks: Vec<String> = Vec::new();
    for mark in flags.iter().flat_map(words::marks) {
        if !marks.contains(&mark) {
            marks.push(mark);
        }
    }
    marks
}

/// In what an arm differs from the others.
pub fn differs(facets: &[(String, String)]) -> String {
    facets.iter().map(|(facet, word)| described(facet, word)).collect::<Vec<_>>().join(", ")
}

/// The middles of a region's bins.
pub fn region(middle: &Midpoints) -> String {
    let degrees = |what: &str, degrees: Option<f64>| {
        degrees.map(|degrees| format!("{what} about {}", units::degrees(degrees)))
    };
    let parts = [
        degrees("coldest month", middle.coldest),
        degrees("hottest month", middle.hottest),
        middle.ln_rain.map(|rain| format!("rain about {} a year", units::rain(rain.exp()))),
        middle.zone.map(|zone| format!("yearly minimum about {}", units::degrees(zone))),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// A treatment of a trial as it was counted.
pub fn treatment(arm: &ArmEvidence, outcome: Outcome) -> String {
    let wording = Wording::new(arm.family, outcome);
    let said = wording.kind();
    let method = kind::method(&arm.method, &arm.facets);
    let besides =
        if arm.differs.is_empty() { String::new() } else { format!(" ({})", differs(&arm.differs)) };
    let count = match arm.succeeded {
        Some(succeeded) => format!("{succeeded} of {} {}", arm.started, wording.did()),
        None => format!("{} {}, not counted yet", said.many(arm.started), said.started),
    };
    let more = [
        (arm.waiting > 0).then(|| format!("{} {}", arm.waiting, said.green)),
        (arm.lost > 0).then(|| format!("{} lost", arm.lost)),
        arm.weeks
            .filter(|_| arm.succeeded.is_some())
            .map(|weeks| format!("after {}", number_of(weeks, "week", "weeks"))),
    ];
    let more: String = more.into_iter().flatten().map(|part| format!(", {part}")).collect();
    format!("Treatment {}, {method}{besides}: {count}{more}", arm.arm)
}

#[cfg(test)]
mod tests {
    use propagule_evidence::Family;

    use super::*;

    fn grafts() -> ArmEvidence {
        ArmEvidence {
            arm: "2".to_owned(),
            method: "whip grafts, semi-ripe".to_owned(),
            facets: [("kind", "graft"), ("wood", "semi-ripe")]
                .map(|(name, word)| (name.to_owned(), word.to_owned()))
                .into(),
            family: Family::Grafts,
            differs: Vec::new(),
            started: 12,
            succeeded: Some(0),
            lost: 1,
            waiting: 3,
            weeks: Some(1),
        }
    }

    #[test]
    fn a_treatment_of_others_speaks_in_the_words_of_its_kind() {
        let arm = grafts();
        assert_eq!(
            treatment(&arm, Outcome::Rooted),
            "Treatment 2, whip grafts, semi-hardwood: 0 of 12 took, 3 still green, not yet taken, 1 lost, after 1 week"
        );
        let waits = ArmEvidence { succeeded: None, lost: 0, waiting: 0, started: 1, ..arm };
        assert_eq!(
            treatment(&waits, Outcome::Rooted),
            "Treatment 2, whip grafts, semi-hardwood: 1 graft grafted, not counted yet"
        );
    }
}
