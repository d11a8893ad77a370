//! From a checked table to rows for one species and one question.

use propagule_files::fault::Fault;
use std::collections::{BTreeMap, BTreeSet};

use propagule_protocol::Taxon;

use super::{CsvEvidence, CsvRow, Sites};
use crate::left_out::{EvidenceNote, WhyLeftOut, leave_out};
use crate::row::{Evidence, EvidenceRow, FacetWords, Question, RowFlags};
use propagule_files::closest;

/// That the table has no trial of that name, with those of names like it, else the first ones there.
fn no_such_trial(file: &str, asked: &str, labels: &[String]) -> Fault {
    Fault::user("trial-not-in-table").with("asked", asked).with("file", file).near(&instead_of(asked, labels))
}

/// A species name in the form that decides whether two are the same.
pub fn species_key(name: &str) -> String {
    Taxon::parse(name).map_or_else(|_| name.trim().to_lowercase(), |taxon| taxon.species_key())
}

impl CsvEvidence {
    /// Species in the table, sorted, each once.
    pub fn species(&self) -> Vec<String> {
        self.rows.iter().filter_map(|row| row.species.clone()).collect::<BTreeSet<_>>().into_iter().collect()
    }

    /// Rows for `species` and `question`. A table without a column of species is about one species, which
    /// is taken to be the one asked for.
    ///
    /// # Errors
    /// When the species cannot be told or is not there.
    pub fn select(&self, species: Option<&str>, question: Question) -> Result<Evidence, Fault> {
        let wanted = self.wanted_species(species)?;
        let of_species = self.rows.iter().filter(|row| match (&row.species, &wanted) {
            (Some(name), Some(wanted)) => species_key(name) == *wanted,
            _ => true,
        });
        let mut evidence = Evidence::default();
        for row in of_species {
            if (row.stage, row.outcome) == (question.stage, question.outcome) {
                evidence.rows.push(evidence_row(row));
            } else {
                leave_out(&mut evidence.left_out, WhyLeftOut::OtherCount, 1);
            }
        }
        if !self.unused_columns.is_empty() {
            evidence.notes.push(EvidenceNote::UnusedColumns(self.unused_columns.clone()));
        }
        Ok(evidence)
    }

    /// Counted rows of each species by its key; nothing where the table has no column of species.
    pub fn every_species(&self, question: Question) -> BTreeMap<String, Vec<EvidenceRow>> {
        let mut species: BTreeMap<String, Vec<EvidenceRow>> = BTreeMap::new();
        let asked =
            self.rows.iter().filter(|row| (row.stage, row.outcome) == (question.stage, question.outcome));
        for row in asked {
            let Some(name) = &row.species else { continue };
            species.entry(species_key(name)).or_default().push(evidence_row(row));
        }
        species
    }

    /// A row of the trial named GROWER/TRIAL.
    ///
    /// # Errors
    /// When the table has none.
    pub fn find_trial(&self, asked: &str) -> Result<&CsvRow, Fault> {
        let label = |row: &CsvRow| format!("{}/{}", row.grower, row.trial);
        self.rows.iter().find(|row| label(row) == asked).ok_or_else(|| {
            let labels: BTreeSet<String> = self.rows.iter().map(label).collect();
            no_such_trial(&self.file, asked, &labels.into_iter().collect::<Vec<_>>())
        })
    }

    fn wanted_species(&self, asked: Option<&str>) -> Result<Option<String>, Fault> {
        if !self.has_species {
            return Ok(None);
        }
        let species = self.species();
        let keys: BTreeSet<String> = species.iter().map(|name| species_key(name)).collect();
        match asked {
            Some(asked) if keys.contains(&species_key(asked)) => Ok(Some(species_key(asked))),
            Some(asked) => Err(Fault::user("species-not-in-table")
                .with("file", &self.file)
                .with("asked", asked)
                .near(&instead_of(asked, &species))),
            None if keys.len() > 1 => Err(Fault::user("table-of-several-species")
                .with("file", &self.file)
                .with("first", &species[0])
                .with_data("species", &species)),
            None => Ok(keys.into_iter().next()),
        }
    }
}

/// Up to three names like `asked`, else the first three there are.
fn instead_of(asked: &str, names: &[String]) -> Vec<String> {
    let close = closest(asked, names.iter().map(String::as_str), 3);
    if close.is_empty() { names.iter().take(3).cloned().collect() } else { close }
}

fn evidence_row(row: &CsvRow) -> EvidenceRow {
    let mut facets = FacetWords::from([("method".to_owned(), row.method.clone())]);
    if !row.medium.eq_ignore_ascii_case("unknown") {
        facets.insert("medium".to_owned(), row.medium.clone());
    }
    EvidenceRow {
        grower: row.grower.clone(),
        publisher: row.grower.clone(),
        trial: format!("{}/{}", row.grower, row.trial),
        arm: row.arm.clone(),
        facets,
        phases: Vec::new(),
        first_seen: Vec::new(),
        life: None,
        started: row.stuck,
        succeeded: row.rooted,
        lost: row.lost.unwrap_or(0),
        alive: row.alive,
        pending: false,
        weeks: None,
        region: None,
        site: None,
        own: false,
        weight: 1.0,
        pots: Vec::new(),
        flags: RowFlags { unit_is_piece: true, ..RowFlags::default() },
    }
}

impl Evidence {
    /// Marks the rows of the grower with that label as the reader's own.
    pub fn mark_own(&mut self, grower: &str) {
        for row in &mut self.rows {
            row.own = row.grower == grower;
        }
    }

    /// Gives each row its grower's site; names the growers that have none.
    pub fn set_sites(&mut self, sites: &Sites) {
        let mut missing = BTreeSet::new();
        for row in &mut self.rows {
            row.site = sites.get(&row.grower).copied();
            if row.site.is_none() {
                missing.insert(row.grower.clone());
            }
        }
        if !missing.is_empty() {
            self.notes.push(EvidenceNote::NoSite(missing.into_iter().collect()));
        }
    }
}
