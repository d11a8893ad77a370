//! `propagule bundle`

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs::File;
use std::io::{BufReader, BufWriter};
use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use propagule_protocol::NetworkId;
use serde_json::json;

use super::{Context, ask};
use crate::app::{Reply, Report, Request};
use crate::bundle::{BundleError, Reader, Writer};
use crate::error::Failure;
use crate::hex;

/// Record bytes sent to the home at once.
const PART_BYTES: usize = 400 << 10;

/// Records in a file, to hand over without a connection
#[derive(Debug, Args)]
pub(crate) struct BundleArgs {
    #[command(subcommand)]
    command: BundleCommand,
}

#[derive(Debug, Subcommand)]
enum BundleCommand {
    /// Write all records that this home holds into a new file
    ///
    /// Examples:
    ///   propagule bundle out records.bundle
    ///   propagule --home ./other bundle out other.bundle
    #[command(verbatim_doc_comment)]
    Out {
        /// The file to make; an existing one is never overwritten
        file: PathBuf,
    },
    /// Take in the records of a bundle file; each is judged as if it came over the network
    ///
    /// Examples:
    ///   propagule bundle in records.bundle
    ///   propagule bundle in records.bundle --json
    #[command(verbatim_doc_comment)]
    In {
        /// The file
        file: PathBuf,
    },
}

pub(super) async fn cmd_bundle(context: &Context, args: BundleArgs) -> Result<(), Failure> {
    match args.command {
        BundleCommand::Out { file } => write(context, &file).await,
        BundleCommand::In { file } => read(context, &file).await,
    }
}

async fn write(context: &Context, path: &Path) -> Result<(), Failure> {
    let network = network(context).await?;
    let file = File::create_new(path).map_err(|e| {
        let exists = e.kind() == std::io::ErrorKind::AlreadyExists;
        let failure = Failure::file("make", path, e);
        if exists {
            failure.hint("choose another name: an existing file is never overwritten")
        } else {
            failure
        }
    })?;
    let written = fill(context, path, file, network).await;
    if written.is_err() {
        // Half a bundle helps nobody and would be in the way of the next try.
        let _ = std::fs::remove_file(path);
    }
    let count = written?;
    context.ui.show(&Report {
        text: format!("Wrote {count} records to {}\n", path.display()),
        json: json!({ "format": "propagule.bundle/1", "file": path.display().to_string(), "records": count }),
    })
}

/// Writes all records of the home into the new file, and says how many.
async fn fill(context: &Context, path: &Path, file: File, network: NetworkId) -> Result<u64, Failure> {
    let mut writer = Writer::new(BufWriter::new(file), network).map_err(|e| broken(path, &e))?;
    let mut after = None;
    loop {
        let Reply::Records { records, next } = ask::ask(context, Request::BundleOut { after }).await? else {
            return Err(ask::unexpected());
        };
        for record in &records {
            let bytes = hex::decode(record).ok_or_else(ask::unexpected)?;
            writer.add(&bytes).map_err(|e| broken(path, &e))?;
        }
        if next.is_none() {
            break;
        }
        after = next;
    }
    writer.finish().map_err(|e| broken(path, &e))
}

async fn network(context: &Context) -> Result<NetworkId, Failure> {
    match ask::ask(context, Request::NetworkId).await? {
        Reply::NetworkId(network) => Ok(network),
        _ => Err(ask::unexpected()),
    }
}

/// What became of the records of a bundle.
#[derive(Debug, Default)]
struct Tally {
    new: u64,
    known: u64,
    aside: u64,
    refused: BTreeMap<String, u64>,
}

async fn read(context: &Context, path: &Path) -> Result<(), Failure> {
    let network = network(context).await?;
    let file = File::open(path).map_err(|e| Failure::file("read", path, e))?;
    let mut reader = Reader::new(BufReader::new(file), network).map_err(|e| broken(path, &e))?;
    let mut tally = Tally::default();
    loop {
        let (part, ended) = next_part(&mut reader);
        if !part.is_empty() {
            hand_in(context, part, &mut tally).await?;
        }
        match ended {
            None => {}
            Some(Ok(())) => break,
            Some(Err(e)) => {
                context.ui.note(tally.text(path).trim_end());
                return Err(broken(path, &e));
            }
        }
    }
    let json = json!({
        "format": "propagule.bundle/1",
        "file": path.display().to_string(),
        "new": tally.new,
        "known": tally.known,
        "aside": tally.aside,
        "refused": tally.refused,
    });
    context.ui.show(&Report { text: tally.text(path), json })
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

async fn hand_in(context: &Context, records: Vec<String>, tally: &mut Tally) -> Result<(), Failure> {
    let Reply::Report(report) = ask::ask(context, Request::BundleIn { records }).await? else {
        return Err(ask::unexpected());
    };
    let number = |key: &str| report.json[key].as_u64().unwrap_or(0);
    tally.new += number("new");
    tally.known += number("known");
    tally.aside += number("aside");
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
        text
    }
}

fn broken(path: &Path, error: &BundleError) -> Failure {
    let failure = Failure::expected(format!("{}: {error}", path.display()));
    match error {
        BundleError::OtherNetwork => {
            failure.hint("use the home that belongs to that network: propagule --home FOLDER bundle in FILE")
        }
        BundleError::NotABundle => failure.hint("a bundle is made by: propagule bundle out FILE"),
        BundleError::Io(_) => failure.hint("look at the disk's free space and the file's mode"),
        _ => failure.hint("ask for the file again; what was whole has been kept"),
    }
}
