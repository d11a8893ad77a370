//! Pairs of arms of which several things differ at once: listed, and never ranked.

use std::collections::BTreeMap;

use propagule_analysis::verdict::{Reason, Verdict, judge};
use propagule_protocol::Facet;

use super::{comparable_alone, judged};
use crate::pool::TogetherAnswer;
use crate::said::AnswerSaid;
use propagule_evidence::EvidenceRow;

/// What always went together, with the number of trials in which it did, sorted by its words.
pub(super) fn together(trials: &BTreeMap<&str, Vec<&EvidenceRow>>) -> Vec<TogetherAnswer> {
    let mut found: BTreeMap<(String, String, Vec<String>), usize> = BTreeMap::new();
    for rows in trials.values() {
        let rows: Vec<&EvidenceRow> = rows.iter().copied().filter(|row| comparable_alone(row)).collect();
        if rows.len() < 2 {
            continue;
        }
        for pair in judge(&judged::trial(&rows)).pairs {
            let is_together = matches!(&pair.reason, Reason::Together(_));
            let ([first], [second]) = (&pair.first.arms[..], &pair.second.arms[..]) else { continue };
            let facets = differing(rows[*first], rows[*second]);
            if pair.verdict != Verdict::Confounded || !is_together || facets.len() < 2 {
                continue;
            }
            let (one, other) = (said(rows[*first], &facets), said(rows[*second], &facets));
            let (one, other) = if one <= other { (one, other) } else { (other, one) };
            *found.entry((one, other, facets)).or_default() += 1;
        }
    }
    found
        .into_iter()
        .map(|((first, second, facets), trials)| TogetherAnswer {
            sentence: AnswerSaid::Together { first: first.clone(), second: second.clone(), trials },
            verdict: Verdict::Confounded,
            first,
            second,
            facets,
            trials,
        })
        .collect()
}

/// Names of facets that differ, in the order of the schema; a table's method first.
fn differing(one: &EvidenceRow, other: &EvidenceRow) -> Vec<String> {
    let names = one.facets.keys().chain(other.facets.keys());
    let mut names: Vec<&String> =
        names.filter(|name| one.facets.get(*name) != other.facets.get(*name)).collect();
    let place = |name: &&String| {
        let of_schema = Facet::ALL.iter().position(|facet| Some(*facet) == Facet::from_name(name));
        (name.as_str() != "method", of_schema.unwrap_or(usize::MAX), (*name).clone())
    };
    names.sort_by_key(place);
    names.dedup();
    names.into_iter().cloned().collect()
}

fn said(row: &EvidenceRow, facets: &[String]) -> String {
    let word = |facet: &String| row.facets.get(facet).map_or("not given", String::as_str);
    facets.iter().map(word).collect::<Vec<_>>().join(" + ")
}
