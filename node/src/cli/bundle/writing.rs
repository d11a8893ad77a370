//! `propagule bundle export` and `propagule bundle request`

use std::collections::HashSet;
use std::fs::File;
use std::io::{BufReader, BufWriter};
use std::path::Path;

use propagule_protocol::{Month, NetworkId, RecordId, reopen};
use tempfile::NamedTempFile;

use super::super::{Context, ask};
use super::{broken, months, network};
use crate::ui::Progress;
use propagule_app::outcome::Outcome;
use propagule_app::outcome::bundle::{BundleOutcome, RecordsWritten};
use propagule_app::{Reply, Request};
use propagule_files::fault::Fault;
use propagule_files::hex;
use propagule_network::bundle::{BundleError, RequestWriter, ShortId, Wanted, Writer};
use propagule_network::store::MonthRow;

/// Which records to write.
struct Choice {
    network: NetworkId,
    since: Month,
    wanted: Option<Wanted>,
    /// Records that are looked through, for the bar.
    total: u64,
    /// Months in which the other node has everything.
    skip: HashSet<Month>,
}

pub(super) async fn out(
    context: &Context,
    path: &Path,
    since: Month,
    missing_for: Option<&Path>,
) -> Result<(), Fault> {
    let file = begin(path)?;
    let network = network(context).await?;
    let wanted = missing_for.map(|path| read_request(path, network)).transpose()?;
    let rows = months(context).await?;
    let choice = choose(network, since, wanted, &rows);
    let count = or_interrupted(fill(context, path, &file, &choice)).await?;
    keep(file, path)?;
    ask::show_outcome(context, &Outcome::Bundle(BundleOutcome::Out(written(path, count))))
}

pub(super) async fn request(context: &Context, path: &Path) -> Result<(), Fault> {
    let file = begin(path)?;
    let network = network(context).await?;
    let rows = months(context).await?;
    let count = or_interrupted(fill_request(context, path, &file, network, &rows)).await?;
    keep(file, path)?;
    ask::show_outcome(context, &Outcome::BundleRequest(written(path, count)))
}

fn written(path: &Path, records: u64) -> RecordsWritten {
    RecordsWritten { file: path.display().to_string(), records }
}

/// A file beside the one to make: it gets its name only once it is whole.
fn begin(path: &Path) -> Result<NamedTempFile, Fault> {
    if path.exists() {
        return Err(exists(path));
    }
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    std::fs::metadata(folder).map_err(|e| Fault::file("make", path, e))?;
    // Its own words would name the file beside it.
    let plain = |e: std::io::Error| std::io::Error::from(e.kind());
    NamedTempFile::new_in(folder).map_err(|e| Fault::file("make", path, plain(e)))
}

fn exists(path: &Path) -> Fault {
    let what = if path.is_dir() { "folder" } else { "file" };
    Fault::usage("file-name-taken").with("path", path.display()).with("what", what)
}

fn keep(file: NamedTempFile, path: &Path) -> Result<(), Fault> {
    file.as_file().sync_all().map_err(|e| Fault::file("write", path, e))?;
    file.persist_noclobber(path).map(drop).map_err(|e| match e.error.kind() {
        std::io::ErrorKind::AlreadyExists => exists(path),
        _ => Fault::file("make", path, e.error),
    })
}

/// Runs to the end, or until Ctrl-C; the unfinished file then goes.
async fn or_interrupted<T>(work: impl Future<Output = Result<T, Fault>>) -> Result<T, Fault> {
    tokio::select! {
        done = work => done,
        _ = tokio::signal::ctrl_c() => {
            Err(Fault::user("interrupted"))
        }
    }
}

fn read_request(path: &Path, network: NetworkId) -> Result<Wanted, Fault> {
    let file = File::open(path).map_err(|e| Fault::file("read", path, e))?;
    Wanted::read(BufReader::new(file), network).map_err(|e| broken(path, &e))
}

fn choose(network: NetworkId, since: Month, wanted: Option<Wanted>, rows: &[MonthRow]) -> Choice {
    let has = |row: &&MonthRow| wanted.as_ref().is_some_and(|wanted| wanted.has_month(row));
    let skip: HashSet<Month> = rows.iter().filter(has).map(|row| row.month).collect();
    let total = rows.iter().filter(|row| row.month >= since).map(|row| u64::from(row.count)).sum();
    Choice { network, since, wanted, total, skip }
}

/// Writes the chosen records of the home into the new file, and says how many.
async fn fill(context: &Context, path: &Path, file: &NamedTempFile, choice: &Choice) -> Result<u64, Fault> {
    let out = BufWriter::new(file.as_file());
    let mut writer = Writer::new(out, choice.network).map_err(|e| broken(path, &e))?;
    let mut progress = Progress::new(context.ui, "writing", choice.total);
    let (mut after, mut seen) = (None, 0);
    loop {
        let request = Request::BundleOut { after, since: choice.since };
        let Reply::Records { records, next } = ask::ask(context, request).await? else {
            return Err(ask::unexpected());
        };
        for record in &records {
            let bytes = hex::decode(record).ok_or_else(ask::unexpected)?;
            if choice.takes(&bytes) {
                writer.add(&bytes).map_err(|e| broken(path, &e))?;
            }
        }
        seen += records.len() as u64;
        progress.at(seen);
        if next.is_none() {
            break;
        }
        after = next;
    }
    writer.finish().map_err(|e| broken(path, &e))
}

impl Choice {
    fn takes(&self, bytes: &[u8]) -> bool {
        let Some(wanted) = &self.wanted else { return true };
        let lacks = |month: Month, id: &RecordId| !self.skip.contains(&month) && !wanted.has(id);
        // A record that cannot be read here is for the other node to judge.
        reopen(bytes, &self.network).map_or(true, |signed| lacks(signed.head().signed, &signed.id))
    }
}

async fn fill_request(
    context: &Context,
    path: &Path,
    file: &NamedTempFile,
    network: NetworkId,
    rows: &[MonthRow],
) -> Result<u64, Fault> {
    let out = BufWriter::new(file.as_file());
    let wrong = |e: BundleError| broken(path, &e);
    let mut writer = RequestWriter::new(out, network).map_err(wrong)?;
    let mut progress =
        Progress::new(context.ui, "writing", rows.iter().map(|row| u64::from(row.count)).sum());
    let mut count = 0;
    for row in rows {
        let Reply::ShortIds(text) = ask::ask(context, Request::ShortIds { month: row.month }).await? else {
            return Err(ask::unexpected());
        };
        let ids: Vec<ShortId> = hex::decode(&text)
            .ok_or_else(ask::unexpected)?
            .chunks_exact(8)
            .map(|id| id.try_into().expect("chunks of eight"))
            .collect();
        writer.add(row, &ids).map_err(wrong)?;
        count += ids.len() as u64;
        progress.at(count);
    }
    writer.finish().map_err(wrong)?;
    Ok(count)
}
