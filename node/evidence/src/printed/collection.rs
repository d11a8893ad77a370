//! All printed trials that may answer: those built into the program, and those of a home's own tables.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use propagule_files::fault::{Fault, Problem};
use propagule_files::hex;
use propagule_files::table::TableOf;
use propagule_protocol::Taxon;
use sha2::{Digest, Sha256};

use super::{PrintedArm, PrintedSource, PrintedTable, read_printed};

/// The tables built into the program, each with its name.
const SHIPPED: [(&str, &[u8]); 2] = [
    ("trials.csv", include_bytes!("../../printed/trials.csv")),
    ("sources.csv", include_bytes!("../../printed/sources.csv")),
];

/// The edition of the tables built in. A wrong row is mended by the next release, with the next number.
const VERSION: u16 = 1;
/// The day on which the last of them was read.
const DATE: &str = "2026-11-28";

/// Which tables are built in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edition {
    /// Counts up with every change.
    pub version: u16,
    /// The day on which the last source was read.
    pub date: &'static str,
    /// SHA-256 over the bytes of both tables, trials first, in hexadecimal digits.
    pub sha256: String,
}

impl Edition {
    /// What this program holds.
    pub fn shipped() -> Self {
        let mut hash = Sha256::new();
        for (_, bytes) in SHIPPED {
            hash.update(bytes);
        }
        Self { version: VERSION, date: DATE, sha256: hex::encode(&hash.finalize()) }
    }
}

/// Printed trials with their sources.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PrintedTrials {
    arms: Vec<PrintedArm>,
    sources: BTreeMap<String, PrintedSource>,
    unused: Vec<Fault>,
}

/// The trials built into the program.
pub fn shipped() -> &'static PrintedTrials {
    static SHIPPED_TRIALS: OnceLock<PrintedTrials> = OnceLock::new();
    SHIPPED_TRIALS.get_or_init(|| {
        let read = |(name, bytes): (&str, &[u8])| (name.to_owned(), read_printed(name, bytes));
        PrintedTrials::default().with(SHIPPED.map(read))
    })
}

impl PrintedTrials {
    /// These and those of further tables, each with its name. An arm needs its source in some table; what is wrong with a
    /// table is kept beside.
    #[must_use]
    pub fn with(&self, tables: impl IntoIterator<Item = (String, Result<PrintedTable, Fault>)>) -> Self {
        let mut all = self.clone();
        let mut read = Vec::new();
        for (name, table) in tables {
            match table {
                Ok(mut table) => {
                    all.unused.extend(table.unused.take());
                    for source in std::mem::take(&mut table.sources) {
                        all.sources.entry(source.id.clone()).or_insert(source);
                    }
                    read.push((name, table.arms));
                }
                Err(error) => all.unused.push(error),
            }
        }
        for (name, arms) in read {
            all.add(&name, arms);
        }
        all
    }

    fn add(&mut self, name: &str, arms: Vec<(u64, PrintedArm)>) {
        for (line, arm) in arms {
            let Some(source) = self.sources.get(&arm.source) else {
                self.unused.push(without_source(name, line, &arm.source));
                continue;
            };
            let is_same = |other: &PrintedArm| {
                (&other.source, &other.trial, &other.arm) == (&arm.source, &arm.trial, &arm.arm)
            };
            if !self.arms.iter().any(is_same) {
                let doi = source.doi();
                self.arms.push(PrintedArm { doi, ..arm });
            }
        }
    }

    /// All arms, in the order of their tables.
    pub fn arms(&self) -> &[PrintedArm] {
        &self.arms
    }

    /// All sources, by label.
    pub fn sources(&self) -> impl Iterator<Item = &PrintedSource> {
        self.sources.values()
    }

    /// The source with this label.
    pub fn source(&self, id: &str) -> Option<&PrintedSource> {
        self.sources.get(id)
    }

    /// What is wrong with rows and tables that are not used.
    pub fn unused(&self) -> &[Fault] {
        &self.unused
    }

    /// The arms of these species, by their keys; of one cultivar where `asked` names it.
    pub fn of(&self, species: &[String], asked: &Taxon) -> Vec<&PrintedArm> {
        let is_cultivar = |arm: &PrintedArm| {
            asked.cultivar.is_none() || arm.facets.get("cultivar") == asked.cultivar.as_ref()
        };
        let is_of = |arm: &&PrintedArm| species.contains(&arm.taxon.species_key()) && is_cultivar(arm);
        self.arms.iter().filter(is_of).collect()
    }
}

fn without_source(file: &str, line: u64, source: &str) -> Fault {
    let fault = Fault::user("printed-source-missing").with("source", source);
    TableOf::Printed.refused_for(file, Problem::of_cell(line, "source_id", fault))
}
