//! An archive becomes a home again.

use std::path::Path;

use propagule_protocol::{AuthorKey, Judged, NetworkId, judge};

use crate::home::{Archived, Restoring, to_be_named};
use crate::outcome::Outcome;
use crate::outcome::archive::Restored;
use propagule_bench::Bench;
use propagule_bench::archive::{Bounds, EVENTS, Files, KEYS, Manifest, RECORDS, TRUST, Trust, unpack};
use propagule_files::fault::Fault;
use propagule_files::hex;
use propagule_files::journal::HomeId;
use propagule_network::spread::Stage;
use propagule_network::store::{Arrival, Intake, Store};

/// Records that are taken in with one flush.
const AT_ONCE: usize = 100;

/// An archive that was read and found whole.
struct Read<'a> {
    id: HomeId,
    manifest: Manifest,
    files: &'a Files,
    trust: Trust,
    lines: Vec<&'a str>,
    records: Vec<Arrival>,
}

/// Makes a home at `place` of an archive; `file` is its name, for messages.
///
/// # Errors
/// When the archive is not whole or something stands at `place`; then nothing is there that was not there before.
pub fn restore(file: &str, bytes: &[u8], place: &Path, command: &str) -> Result<Outcome, Fault> {
    let (manifest, files) = unpack(file, bytes, Bounds::USUAL)?;
    let read = Read::of(file, manifest, &files)?;
    let restoring = Restoring::begin(place, command)?;
    read.put(&restoring)?;
    restoring.finish(read.id, &read.manifest.network)?;
    let manifest = &read.manifest;
    Ok(Outcome::Restored(Restored {
        file: file.to_owned(),
        home: place.display().to_string(),
        named_home: to_be_named(place),
        home_id: manifest.home_id.clone(),
        made_on: manifest.made_on.clone(),
        events: manifest.rows(EVENTS),
        records: manifest.count_in(RECORDS),
        with_keys: manifest.count_in(KEYS) > 0,
    }))
}

impl<'a> Read<'a> {
    fn of(file: &str, manifest: Manifest, files: &'a Files) -> Result<Self, Fault> {
        let id = hex::decode(&manifest.home_id).and_then(|id| id.try_into().ok()).map(HomeId);
        let id = id.ok_or_else(|| Fault::user("archive-home-id-malformed").with("file", file))?;
        let trust: Option<Trust> = serde_json::from_slice(&files[TRUST]).ok();
        let trust = trust.filter(|trust| trust.format == Trust::FORMAT).ok_or_else(|| {
            Fault::user("archive-file-of-other-form")
                .with("file", file)
                .with("name", TRUST)
                .with("form", Trust::FORMAT)
        })?;
        let text = std::str::from_utf8(&files[EVENTS])
            .map_err(|_| Fault::user("archive-file-not-text").with("file", file).with("name", EVENTS))?;
        let lines: Vec<&str> = text.lines().collect();
        let is_event = |line: &str| {
            serde_json::from_str::<serde_json::Value>(line).is_ok_and(|v| v["event"].is_string())
        };
        if let Some(number) = lines.iter().position(|line| !is_event(line)) {
            return Err(Fault::user("archive-line-no-event")
                .with("file", file)
                .with("line", number + 1)
                .with("name", EVENTS));
        }
        let records = records(file, &manifest, files, &trust)?;
        Ok(Self { id, manifest, files, trust, lines, records })
    }

    fn put(&self, restoring: &Restoring) -> Result<(), Fault> {
        let folder = restoring.folder();
        Bench::write_lines(folder, self.id, &self.lines)?;
        self.put_records(folder)?;
        for (name, text) in self.files {
            if let Some(name) = name.strip_prefix(KEYS) {
                restoring.put_key(name, text)?;
            }
        }
        for (name, value) in [("peers.json", &self.trust.peers), ("allowed.json", &self.trust.allowed)] {
            if let Some(value) = value {
                restoring
                    .put_file(name, &serde_json::to_vec_pretty(value).expect("JSON values serialise"))?;
            }
        }
        if let Some(settings) = &self.trust.settings {
            restoring.put_file("config.toml", settings.as_bytes())?;
        }
        let has_keys = self.manifest.count_in(KEYS) > 0;
        let authors: Vec<AuthorKey> = if has_keys { Vec::new() } else { self.trust.authors.clone() };
        Archived { last: self.manifest.made_on.parse().ok(), authors }.write(folder)
    }

    fn put_records(&self, folder: &Path) -> Result<(), Fault> {
        let network = NetworkId::of(&self.manifest.network);
        let (store, _) = Store::open(folder, self.id, network, u64::MAX)?;
        for some in self.records.chunks(AT_ONCE) {
            let kept = store.append(some)?;
            if kept.iter().any(|intake| *intake != Intake::New) {
                return Err(Fault::user("archive-contradictory"));
            }
        }
        Ok(store.flush()?)
    }
}

/// The own records, each judged as one that a peer had sent.
fn records(file: &str, manifest: &Manifest, files: &Files, trust: &Trust) -> Result<Vec<Arrival>, Fault> {
    let network = NetworkId::of(&manifest.network);
    let mut arrivals = Vec::new();
    for (name, bytes) in files.iter().filter(|(name, _)| name.starts_with(RECORDS)) {
        let Ok(Judged::Accepted(signed)) = judge(bytes, &network) else {
            return Err(Fault::user("archive-record-unreadable").with("file", file).with("name", name));
        };
        let id = hex::encode(signed.id.as_bytes());
        if *name != format!("{RECORDS}{id}.cbor") {
            return Err(Fault::user("archive-record-misnamed")
                .with("file", file)
                .with("name", name)
                .with("id", id));
        }
        let stage = trust.outbox.get(&id).and_then(|stage| Stage::decode(&hex::decode(stage)?));
        arrivals.push(Arrival::Accepted { signed, own: stage });
    }
    Ok(arrivals)
}
