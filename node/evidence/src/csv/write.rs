//! Evidence as a table that can be read again.

use crate::{EvidenceRow, MethodGroup, Question};

/// Columns written, in their order; those behind the first fourteen are kept aside by a reader.
const COLUMNS: [&str; 17] = [
    "grower", "trial", "arm", "method", "medium", "region", "stuck", "rooted", "species", "alive", "dead",
    "lost", "stage", "outcome", "weeks", "weight", "facets",
];

/// One row for every arm that is counted, under a heading; `method` is the label of its group.
pub fn table(species: &str, groups: &[MethodGroup<'_>], question: Question) -> Vec<Vec<String>> {
    let heading = COLUMNS.map(str::to_owned).to_vec();
    let rows = groups
        .iter()
        .flat_map(|group| group.rows.iter().map(move |row| cells(species, &group.label, row, question)));
    std::iter::once(heading).chain(rows).collect()
}

fn cells(species: &str, method: &str, row: &EvidenceRow, question: Question) -> Vec<String> {
    let trial = row.trial.rsplit('/').next().unwrap_or(&row.trial);
    let number = |value: Option<u32>| value.map_or_else(String::new, |value| value.to_string());
    let medium = row.facets.get("medium").map_or("unknown", String::as_str);
    vec![
        row.grower.clone(),
        trial.to_owned(),
        row.arm.clone(),
        method.to_owned(),
        medium.to_owned(),
        region_words(row),
        row.started.to_string(),
        row.succeeded.to_string(),
        species.to_owned(),
        number(row.alive),
        String::new(),
        row.lost.to_string(),
        question.stage.to_string(),
        question.outcome.to_string(),
        row.weeks.map_or_else(String::new, |weeks| weeks.to_string()),
        row.weight.to_string(),
        row.facets.iter().map(|(facet, word)| format!("{facet}={word}")).collect::<Vec<_>>().join("; "),
    ]
}

/// Middles of the published bins, in words; "unknown" where there are none.
fn region_words(row: &EvidenceRow) -> String {
    let Some(region) = &row.region else { return "unknown".to_owned() };
    let parts = [
        region.coldest.map(|t| format!("coldest month {t:.0} °C")),
        region.hottest.map(|t| format!("hottest month {t:.0} °C")),
        region.ln_rain.map(|rain| format!("rain {:.0} mm", rain.exp())),
        region.zone.map(|t| format!("winter minimum {t:.0} °C")),
    ];
    let known: Vec<String> = parts.into_iter().flatten().collect();
    if known.is_empty() { "unknown".to_owned() } else { known.join(", ") }
}
