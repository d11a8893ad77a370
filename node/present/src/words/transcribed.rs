//! Works in print that were transcribed more than once, and not alike.

use std::collections::BTreeMap;

use super::sentences::and;
use crate::number::grouped;
use propagule_answer::pool::PrintedAnswer;

/// Works that stand in an answer several times with differing counts; those with the same counts are one there already.
pub fn transcribed_twice(answer: &PrintedAnswer) -> Vec<String> {
    let rows = answer.methods.iter().flat_map(|method| &method.rows);
    differing(rows.map(|row| {
        let cited = answer.cited.iter().find(|work| work.source == row.source);
        let address = cited.and_then(|work| work.address.as_deref()).unwrap_or(&row.source);
        // A record names its trial by who signed it; a table that was read has a grade and no such name.
        let is_record = row.grade.is_none();
        let by = row.trial.split('/').next().filter(|_| is_record).unwrap_or_default();
        (address, by, row.rooted, row.started)
    }))
}

/// From rows with an address, who transcribed them, successes and how many were started.
fn differing<'a>(rows: impl Iterator<Item = (&'a str, &'a str, u32, u32)>) -> Vec<String> {
    let mut works: BTreeMap<String, BTreeMap<&str, (u32, u32)>> = BTreeMap::new();
    for (address, by, rooted, started) in rows {
        // Each DOI begins with 10 (ISO 26324).
        let Some(at) = address.find("10.") else { continue };
        let sum = works.entry(address[at..].to_lowercase()).or_default().entry(by).or_default();
        *sum = (sum.0 + rooted, sum.1 + started);
    }
    works.iter().filter(|(_, by)| by.len() > 1).map(|(doi, by)| said(doi, by)).collect()
}

fn said(doi: &str, by: &BTreeMap<&str, (u32, u32)>) -> String {
    let count = |(rooted, started): &(u32, u32)| {
        format!("{} of {}", grouped((*rooted).into()), grouped((*started).into()))
    };
    let counts: Vec<String> = by.values().map(count).collect();
    format!(
        "doi:{doi} stands here {} times with differing counts: {}. They are slips, or other trials of that work. Look it \
         up before you rely on either.",
        by.len(),
        and(&counts)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_work_that_two_transcribed_differently_is_named_with_both_counts() {
        let rows = [
            ("https://doi.org/10.1000/182", "", 20, 40),
            ("https://doi.org/10.1000/182", "", 1, 40),
            ("doi:10.1000/182", "a", 22, 80),
            ("doi:10.1000/7", "a", 1, 2),
            ("doi:10.1000/7", "a", 2, 2),
            ("H01", "", 3, 4),
            ("H01", "a", 3, 5),
        ];
        assert_eq!(
            differing(rows.into_iter()),
            [
                "doi:10.1000/182 stands here 2 times with differing counts: 21 of 80 and 22 of 80. They are slips, or other \
              trials of that work. Look it up before you rely on either."
            ]
        );
        assert!(differing(rows.into_iter().filter(|(_, by, ..)| by.is_empty())).is_empty());
    }
}
