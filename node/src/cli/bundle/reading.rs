//! `propagule bundle import`

use std::fs::File;
use std::io::BufReader;
use std::path::Path;

use super::super::{Context, ask};
use super::{broken, network};
use crate::ui::Progress;
use propagule_app::outcome::Outcome;
use propagule_app::outcome::bundle::{BundleOutcome, BundleTaken, Tally};
use propagule_app::{Reply, Request};
use propagule_files::fault::Fault;
use propagule_files::hex;
use propagule_network::bundle::{BundleError, Reader};
use propagule_present::outcome as present;

/// Record bytes sent to the home at once.
const PART_BYTES: usize = 400 << 10;

pub(super) async fn take(context: &Context, path: &Path, as_known: bool) -> Result<(), Fault> {
    let network = network(context).await?;
    let file = File::open(path).map_err(|e| Fault::file("read", path, e))?;
    let length = file.metadata().map_or(0, |found| found.len());
    let mut reader = Reader::new(BufReader::new(file), network).map_err(|e| broken(path, &e))?;
    let mut tally = Tally::default();
    let mut progress = Progress::new(context.ui, "reading", length);
    loop {
        let (part, ended) = next_part(&mut reader);
        if !part.is_empty() {
            tokio::select! {
                handed = hand_in(context, part, as_known, &mut tally) => handed?,
                // A part is in as a whole or will be judged again; either way nothing is lost.
                _ = tokio::signal::ctrl_c() => return Err(interrupted(context, path, &tally, progress)),
            }
        }
        progress.at(reader.bytes());
        match ended {
            None => {}
            Some(Ok(())) => break,
            Some(Err(e)) => {
                drop(progress);
                note(context, path, tally);
                return Err(broken(path, &e));
            }
        }
    }
    drop(progress);
    ask::show_outcome(context, &outcome(path, tally))
}

fn outcome(path: &Path, tally: Tally) -> Outcome {
    Outcome::Bundle(BundleOutcome::In(BundleTaken { file: path.display().to_string(), tally }))
}

/// Says on the way what is in by now.
fn note(context: &Context, path: &Path, tally: Tally) {
    context.ui.note(present::report(&outcome(path, tally), context.ui.width()).text.trim_end());
}

fn interrupted(context: &Context, path: &Path, tally: &Tally, progress: Progress) -> Fault {
    drop(progress);
    note(context, path, tally.clone());
    Fault::user("bundle-interrupted").with("path", path.display())
}

/// Records up to the size of a part, and whether the bundle has ended, well or badly.
fn next_part(reader: &mut Reader<BufReader<File>>) -> (Vec<String>, Option<Result<(), BundleError>>) {
    let (mut part, mut total) = (Vec::new(), 0);
    while total < PART_BYTES {
        match reader.next_record() {
            Ok(Some(record)) => {
                total += record.len();
                part.push(hex::encode(&record));
            }
            Ok(None) => return (part, Some(Ok(()))),
            Err(e) => return (part, Some(Err(e))),
        }
    }
    (part, None)
}

async fn hand_in(
    context: &Context,
    records: Vec<String>,
    as_known: bool,
    tally: &mut Tally,
) -> Result<(), Fault> {
    match ask::ask(context, Request::BundleIn { records, as_known }).await? {
        Reply::Taken(more) => tally.add(more),
        _ => return Err(ask::unexpected()),
    }
    Ok(())
}
