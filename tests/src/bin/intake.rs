//! Measures how fast a node takes records in from a peer on loopback: scan, verify, flush, index.
//!
//! `cargo run --release -p propagule-tests --bin intake -- --records 200000 --authors 4000`
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use std::fs::File;
use std::io::BufWriter;
use std::path::Path;
use std::time::{Duration, Instant};

use anyhow::ensure;
use propagule_network::bundle::Writer;
use propagule_tests::invented::{network, record_of};
use propagule_tests::{Grower, Node, argument};

/// Share of what two cores can verify that a node must take in.
const BAR: f64 = 0.2;
/// The longest that a run may take.
const PATIENCE: Duration = Duration::from_mins(15);

fn main() -> anyhow::Result<()> {
    let (records, authors) = (argument("--records", 20_000)?, argument("--authors", 400)?);
    let (giver, taker) = (Grower::new()?, Grower::new()?);
    let all = sign_all(records, authors);
    let verified = verify_rate(&all[..all.len().min(20_000)])?;
    let path = giver.desk().join("all.bundle");
    write_bundle(&path, &all)?;
    giver.run(&["bundle", "in", &path.display().to_string()])?;
    let giving = giver.serve()?;
    taker.run(&["peers", "add", giving.address()])?;
    let taking = taker.serve()?;
    let (seconds, peak) = watch(&taker, &taking, records)?;
    let rate = records as f64 / seconds;
    let share = rate / verified;
    println!(
        "intake: {records} records of {authors} authors in {seconds:.1} s, {rate:.0} a second; two cores verify \
         {verified:.0} a second; share {share:.2} (bar {BAR}); peak memory {peak} MB"
    );
    ensure!(share >= BAR, "short of the bar");
    Ok(())
}

/// Of one author at most 60 are taken in on one day.
fn sign_all(records: u64, authors: u64) -> Vec<Vec<u8>> {
    (0..records).map(|number| record_of(number % authors, number, (number % 25) as u16).bytes).collect()
}

/// Records that two threads judge in a second.
fn verify_rate(sample: &[Vec<u8>]) -> anyhow::Result<f64> {
    let begun = Instant::now();
    let (left, right) = sample.split_at(sample.len() / 2);
    let judge = |part: &[Vec<u8>]| {
        part.iter().filter(|bytes| propagule_protocol::judge(bytes, &network()).is_ok()).count()
    };
    let good = std::thread::scope(|scope| {
        let other = scope.spawn(|| judge(right));
        judge(left) + other.join().expect("judging does not panic")
    });
    ensure!(good == sample.len(), "all records are valid");
    Ok(good as f64 / begun.elapsed().as_secs_f64())
}

fn write_bundle(path: &Path, records: &[Vec<u8>]) -> anyhow::Result<()> {
    let mut writer = Writer::new(BufWriter::new(File::create_new(path)?), network())?;
    for record in records {
        writer.add(record)?;
    }
    writer.finish()?;
    Ok(())
}

/// Seconds from the node's being ready to its holding everything, and the most memory seen, in MB.
fn watch(taker: &Grower, node: &Node, records: u64) -> anyhow::Result<(f64, u64)> {
    let begun = Instant::now();
    let mut peak = 0;
    while taker.count("/records")? < records {
        peak = peak.max(node.memory_mb()?);
        ensure!(begun.elapsed() < PATIENCE, "the records did not arrive in time");
        std::thread::sleep(Duration::from_millis(50));
    }
    Ok((begun.elapsed().as_secs_f64(), peak))
}
