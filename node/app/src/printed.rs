//! Trials in print: those built into the program, and the tables in the folder `printed` of a home.

use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};

use propagule_protocol::Taxon;

use super::memo::Gathered;
use super::{App, PoolQuestion};
use propagule_answer::pool::{PrintGiven, PrintedAnswer, printed};
use propagule_evidence::WhyLeftOut;
use propagule_evidence::printed::{self as print, PrintedTable, PrintedTrials, read_printed, shipped};
use propagule_files::fault::Fault;

/// The folder of a home that holds its own tables.
const FOLDER: &str = "printed";

/// Bytes of one table; a larger one is no table of trials.
const MOST_BYTES: u64 = 4 * 1024 * 1024;

/// What stands in print of the species, beside the evidence gathered; `None` where nothing does and nothing was asked.
pub(super) fn beside(
    app: &App,
    taxon: &Taxon,
    gathered: &Gathered,
    question: &PoolQuestion,
) -> Result<Option<PrintedAnswer>, Fault> {
    let trials = of_home(app.home().path());
    let synonyms = app.synonyms();
    let taxon = synonyms.accepted(taxon);
    let tables = trials.of(&synonyms.one_species(&taxon.species_key()), &taxon);
    let beside = print::beside(&tables, &gathered.evidence, &taxon, question.count);
    let question = PoolQuestion { species: taxon.to_string(), ..question.clone() };
    let given = PrintGiven {
        beside: &beside,
        trials: &trials,
        growers: &gathered.evidence,
        no_grower: has_no_grower(gathered),
    };
    Ok(printed(&given, &question)?)
}

/// Whether no grower's own result of the species is held: what growers transcribed from print is none.
fn has_no_grower(gathered: &Gathered) -> bool {
    let all = gathered.everybody.as_ref().unwrap_or(&gathered.evidence);
    all.rows.is_empty() && all.left_out.iter().all(|line| line.why == WhyLeftOut::Transcribed)
}

/// The trials built in, with those of the tables of the home at `path`.
pub(super) fn of_home(path: &Path) -> PrintedTrials {
    shipped().with(tables(&path.join(FOLDER)).into_iter().map(|path| {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let name = format!("{FOLDER}/{name}");
        let table = read(&path, &name);
        (name, table)
    }))
}

/// Tables of a folder in the order of their names; none where there is no such folder.
fn tables(folder: &Path) -> Vec<PathBuf> {
    let listed = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut tables: Vec<PathBuf> = listed.map(|entry| entry.path()).collect();
    tables.retain(|path| path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv")));
    tables.sort();
    tables
}

fn read(path: &Path, name: &str) -> Result<PrintedTable, Fault> {
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes))
        .map_err(|error| Fault::file("read", path, error))?;
    if bytes.len() as u64 > MOST_BYTES {
        let most = MOST_BYTES >> 20;
        return Err(Fault::user("table-too-large").with("path", path.display()).with("most", most));
    }
    read_printed(name, &bytes)
}
