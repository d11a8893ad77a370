//! `propagule bundle in`

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs::File;
use std::io::BufReader;
use std::path::Path;

use serde_json::json;

use super::super::{Context, ask};
use super::{broken, network};
use crate::app::{Reply, Report, Request};
use crate::ui::Progress;
use propagule_files::fault::Fault;
use propagule_files::hex;
use propagule_network::bundle::{BundleError, Reader};

/// Record bytes sent to the home at once.
const PART_BYTES: usize = 400 << 10;

/// What became of the records of a bundle.
#[derive(Debug, Default)]
struct Tally {
    new: u64,
    known: u64,
    aside: u64,
    dropped: u64,
    refused: BTreeMap<String, u64>,
}

pub(super) async fn take(context: &Context, path: &Path) -> Result<(), Fault> {
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
                handed = hand_in(context, part, &mut tally) => handed?,
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
                context.ui.note(tally.text(path).trim_end());
                return Err(broken(path, &e));
            }
        }
    }
    drop(progress);
    let json = json!({
        "format": "propagule.bundle/1",
        "file": path.display().to_string(),
        "new": tally.new,
        "known": tally.known,
        "aside": tally.aside,
        "dropped": tally.dropped,
        "refused": tally.refused,
    });
    context.ui.show(&Report { text: tally.text(path), json })
}

fn interrupted(context: &Context, path: &Path, tally: &Tally, progress: Progress) -> Fault {
    drop(progress);
    context.ui.note(tally.text(path).trim_end());
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

async fn hand_in(context: &Context, records: Vec<String>, tally: &mut Tally) -> Result<(), Fault> {
    let Reply::Report(report) = ask::ask(context, Request::BundleIn { records }).await? else {
        return Err(ask::unexpected());
    };
    let number = |key: &str| report.json[key].as_u64().unwrap_or(0);
    tally.new += number("new");
    tally.known += number("known");
    tally.aside += number("aside");
    tally.dropped += number("dropped");
    for (reason, count) in report.json["refused"].as_object().into_iter().flatten() {
        *tally.refused.entry(reason.clone()).or_default() += count.as_u64().unwrap_or(0);
    }
    Ok(())
}

impl Tally {
    fn text(&self, path: &Path) -> String {
        let refused: u64 = self.refused.values().sum();
        let mut text = format!(
            "{}: {} new records, {} known already, {} kept aside, {refused} refused\n",
            path.display(),
            self.new,
            self.known,
            self.aside
        );
        for (reason, count) in &self.refused {
            // Writing to a string cannot fail.
            let _ = writeln!(text, "  refused {count} × {reason}");
        }
        if self.dropped > 0 {
            let _ = writeln!(text, "  not kept, since the disk quota is used up: {}", self.dropped);
        }
        text
    }
}
