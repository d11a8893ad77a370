//! What goes into an archive.

use std::collections::BTreeMap;
use std::path::Path;

use propagule_protocol::Signed;
use zeroize::Zeroizing;

use crate::App;
use crate::home::Archived;
use propagule_bench::archive::{EVENTS, Files, KEYS, RECORDS, TABLES, TRUST, Trust};
use propagule_bench::{Bench, tidy};
use propagule_files::fault::Fault;
use propagule_files::hex;
use propagule_files::table;

/// All files of an archive but its manifest.
pub(super) fn everything(app: &App, with_keys: bool) -> Result<Files, Fault> {
    let mut files = Files::new();
    let bench = app.bench();
    files.insert(EVENTS.to_owned(), Bench::lines(app.home().path(), app.home().id())?.into_bytes());
    let records = own_records(app)?;
    files.insert(TRUST.to_owned(), trust(app, &bench, &records)?);
    let table = table::as_csv(&tidy::table(&bench))?;
    drop(bench);
    files.insert(format!("{TABLES}{}", tidy::TABLE), table.into_bytes());
    files.insert(format!("{TABLES}{}", tidy::DESCRIPTOR), tidy::DESCRIPTOR_TEXT.into());
    for record in records {
        files.insert(format!("{RECORDS}{}.cbor", hex::encode(record.id.as_bytes())), record.bytes);
    }
    if with_keys {
        for (name, text) in key_files(app.home().path())? {
            files.insert(format!("{KEYS}{name}"), text.to_vec());
        }
    }
    Ok(files)
}

/// Records of every kind that a key of this home signed, those that are still hidden among them.
fn own_records(app: &App) -> Result<Vec<Signed>, Fault> {
    let mut authors = app.keys().public();
    authors.extend(Archived::read(app.home().path())?.authors);
    let mut ids = Vec::new();
    for author in &authors {
        ids.extend(app.store().summaries_signed_by(author)?);
    }
    let mut records = app.store().records(&ids)?;
    let others = app.store().records(&app.store().signer_ids()?)?;
    records.extend(others.into_iter().filter(|record| authors.contains(&record.author)));
    records.sort_by_key(|record| record.id);
    records.dedup_by_key(|record| record.id);
    Ok(records)
}

fn trust(app: &App, bench: &Bench, records: &[Signed]) -> Result<Vec<u8>, Fault> {
    let mut authors: Vec<_> = records.iter().map(|record| record.author).collect();
    authors.sort_unstable();
    authors.dedup();
    let stages: BTreeMap<_, _> = app.store().outbox()?.into_iter().collect();
    let outbox = records.iter().filter_map(|record| Some((record.id, stages.get(&record.id)?)));
    let pairs = |(synonym, accepted): (&str, &str)| (synonym.to_owned(), accepted.to_owned());
    let trust = Trust {
        format: Trust::FORMAT.to_owned(),
        authors,
        growers: bench.growers().cloned().collect(),
        synonyms: bench.synonyms().pairs().map(pairs).collect(),
        columns: bench.all_columns(),
        peers: json_file(&app.home().peer_book())?,
        allowed: json_file(&app.home().allowed_nodes())?,
        settings: text_file(&app.home().path().join("config.toml"))?,
        outbox: outbox
            .map(|(id, stage)| (hex::encode(id.as_bytes()), hex::encode(&stage.encode())))
            .collect(),
    };
    Ok(serde_json::to_vec_pretty(&trust).expect("plain fields serialise"))
}

fn text_file(path: &Path) -> Result<Option<String>, Fault> {
    match std::fs::read_to_string(path) {
        Ok(text) => Ok(Some(text)),
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(e) => Err(Fault::file("read", path, e)),
    }
}

fn json_file(path: &Path) -> Result<Option<serde_json::Value>, Fault> {
    let Some(text) = text_file(path)? else { return Ok(None) };
    let read = serde_json::from_str(&text).map(Some);
    read.map_err(|e| Fault::environment("file-damaged").with("path", path.display()).because(e))
}

/// A key file: its name, and its text, which does not stay in memory.
type KeyFile = (String, Zeroizing<Vec<u8>>);

/// Every key file.
fn key_files(home: &Path) -> Result<Vec<KeyFile>, Fault> {
    let folder = home.join("keys");
    let mut keys = Vec::new();
    for entry in std::fs::read_dir(&folder).map_err(|e| Fault::file("list", &folder, e))?.flatten() {
        let path = entry.path();
        let name = entry.file_name().to_string_lossy().into_owned();
        if path.extension().is_some_and(|ending| ending == "key") {
            keys.push((
                name,
                Zeroizing::new(std::fs::read(&path).map_err(|e| Fault::file("read", &path, e))?),
            ));
        }
    }
    keys.sort_by(|one, other| one.0.cmp(&other.0));
    Ok(keys)
}
