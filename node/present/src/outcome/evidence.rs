//! The evidence itself in words: whose a trial is, what to mind with it, where it stood.

use crate::kind::described;
use crate::kind::units;
use propagule_evidence::RowFlags;
use propagule_protocol::place::Midpoints;

use crate::words;
use propagule_app::reading::WhoseTrial;

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
