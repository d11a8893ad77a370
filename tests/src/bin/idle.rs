//! Measures the memory of a node that holds records, after a restart and one exchange.
//!
//! `cargo run --release -p propagule-tests --bin idle -- --records 100000`
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use std::fs::File;
use std::io::BufWriter;

use anyhow::ensure;
use propagule_network::bundle::Writer;
use propagule_tests::Grower;
use propagule_tests::argument;
use propagule_tests::grower::wait_until;
use propagule_tests::invented::{network, record_of};

fn main() -> anyhow::Result<()> {
    let records = argument("--records", 100_000)?;
    let bar = if records <= 100_000 { 40 } else { 150 };
    let (holder, peer) = (Grower::new()?, Grower::new()?);
    let path = holder.desk().join("all.bundle");
    let mut writer = Writer::new(BufWriter::new(File::create_new(&path)?), network())?;
    // Of one author no more are taken in on one day.
    let authors = records / 50;
    for number in 0..records {
        writer.add(&record_of(number % authors, number, (number % 25) as u16).bytes)?;
    }
    writer.finish()?;
    for grower in [&holder, &peer] {
        grower.run(&["bundle", "in", &path.display().to_string()])?;
    }
    let peer_node = peer.serve()?;
    holder.run(&["peers", "add", peer_node.address()])?;
    let node = holder.serve()?;
    wait_until("one exchange", || {
        let status = holder.json(&["peers", "list"])?;
        Ok(status["running"]["peers"][0]["is_in_step"] == true)
    })?;
    let memory = node.memory_mb()?;
    println!("idle: {records} records, {memory} MB after a restart and one exchange (bar {bar} MB)");
    ensure!(memory <= bar, "short of the bar");
    Ok(())
}
