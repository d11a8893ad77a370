//! What may happen to a home: kills, flipped bits, cut files, full disks. Each says what it did to what had been
//! acknowledged.

mod bench;
mod cuts;
mod disk;
mod flips;
mod kills;
mod refetch;

use std::collections::BTreeSet;
use std::io::BufReader;
use std::path::Path;

use anyhow::{Context, ensure};
use propagule_app::Reply;
use propagule_app::Request;
use propagule_app::home::Home;
use propagule_network::bundle::Reader;
use propagule_network::store::{OpenReport, Store, Verified};
use propagule_protocol::{NetworkId, RecordId, reopen};

pub use bench::bench_kills;
pub use cuts::cuts;
pub use disk::full_disk;
pub use flips::flips;
pub use kills::kills;
pub use refetch::refetch;

use crate::Grower;
use crate::dice::hex;
use crate::invented::{network, record, record_of};

/// What a kind of accident came to.
#[derive(Clone, Copy, Debug, Default)]
pub struct Tally {
    /// Accidents.
    pub accidents: u64,
    /// Records or entries that had been acknowledged before them.
    pub acknowledged: u64,
    /// Of these, gone and named.
    pub named: u64,
    /// Of these, gone without a word.
    pub lost: u64,
    /// Accidents that did damage and were not noticed.
    pub unnoticed: u64,
}

impl Tally {
    /// Whether nothing went wrong that must not.
    pub fn is_good(&self) -> bool {
        self.lost == 0 && self.unnoticed == 0 && self.acknowledged > 0
    }
}

impl std::fmt::Display for Tally {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { accidents, acknowledged, named, lost, unnoticed } = self;
        write!(
            f,
            "{accidents} times, {acknowledged} acknowledged, {named} gone and named, {lost} gone without a word, \
             {unnoticed} unnoticed"
        )
    }
}

/// Disk quota of the homes here.
const QUOTA: u64 = 1 << 30;

/// Records handed in at once; each part is acknowledged as a whole.
const PART: u64 = 8;

/// Of one author at most 60 records are taken in on one day.
fn author_of(series: u64) -> u64 {
    1_000 + series / 48
}

/// Hands parts in until the node is gone or refuses; returns the ids that it acknowledged.
async fn feed(grower: &Grower, next: &mut u64) -> Vec<RecordId> {
    let mut acknowledged = Vec::new();
    loop {
        let records: Vec<_> = (*next..*next + PART)
            .map(|series| record_of(author_of(series), series, (series % 25) as u16))
            .collect();
        let request = Request::BundleIn {
            records: records.iter().map(|signed| hex(&signed.bytes)).collect(),
            as_known: false,
        };
        *next += PART;
        match grower.ask(request).await {
            Ok(Reply::Taken(tally)) if tally.new == PART => {
                acknowledged.extend(records.iter().map(|signed| signed.id));
            }
            _ => return acknowledged,
        }
    }
}

/// Every id that the home holds now, by a bundle.
fn held(grower: &Grower) -> anyhow::Result<BTreeSet<RecordId>> {
    let path = grower.desk().join("all.bundle");
    grower.run(&["bundle", "out", &path.display().to_string()])?;
    let mut reader = Reader::new(BufReader::new(std::fs::File::open(&path)?), network())?;
    let mut ids = BTreeSet::new();
    while let Some(bytes) = reader.next_record()? {
        ids.insert(reopen(&bytes, &network())?.id);
    }
    std::fs::remove_file(path)?;
    Ok(ids)
}

/// A home with `count` records, made by the program, and their ids.
fn filled(count: u64) -> anyhow::Result<(Grower, BTreeSet<RecordId>)> {
    let grower = Grower::new()?;
    let path = grower.desk().join("fill.bundle");
    let mut writer = propagule_network::bundle::Writer::new(std::fs::File::create_new(&path)?, network())?;
    let mut ids = BTreeSet::new();
    for series in 0..count {
        let signed = record((series % 7) as u8 + 1, series, (series % 25) as u16);
        writer.add(&signed.bytes)?;
        ids.insert(signed.id);
    }
    writer.finish()?;
    let taken = grower.json(&["bundle", "in", &path.display().to_string()])?;
    ensure!(taken["new"] == count, "{taken}");
    Ok((grower, ids))
}

/// Opens the records of the home in `folder` as the program does.
fn open(folder: &Path) -> anyhow::Result<(Store, OpenReport)> {
    let home = Home::open(folder)?;
    let network: NetworkId = home.network();
    Store::open(folder, home.id(), network, QUOTA).context("the store opens")
}

/// A copy of a home in a folder of its own.
fn copy(from: &Path) -> anyhow::Result<tempfile::TempDir> {
    let folder = tempfile::tempdir()?;
    copy_into(from, folder.path())?;
    Ok(folder)
}

fn copy_into(from: &Path, to: &Path) -> anyhow::Result<()> {
    for entry in std::fs::read_dir(from)? {
        let entry = entry?;
        let (path, target) = (entry.path(), to.join(entry.file_name()));
        if entry.file_type()?.is_dir() {
            std::fs::create_dir(&target)?;
            copy_into(&path, &target)?;
        } else if entry.file_type()?.is_file() {
            std::fs::copy(&path, &target)?;
        }
    }
    Ok(())
}

/// Counts what is gone of `all` after an accident, and how much of that was named.
fn settle(
    tally: &mut Tally,
    all: &BTreeSet<RecordId>,
    store: &Store,
    found: &Verified,
) -> anyhow::Result<()> {
    let named: BTreeSet<RecordId> = found.losses.iter().flat_map(|loss| loss.records.clone()).collect();
    let is_unknown = found.losses.iter().any(|loss| loss.is_unknown);
    tally.acknowledged += all.len() as u64;
    for id in all {
        let is_here = store.record(id)?.is_some_and(|signed| signed.id == *id);
        if !is_here && (named.contains(id) || is_unknown) {
            tally.named += 1;
        } else if !is_here {
            tally.lost += 1;
        }
    }
    Ok(())
}
