//! Measures how fast a running node answers about one species among many records.
//!
//! `cargo run --release -p propagule-tests --bin query -- --records 1000000 --of-species 2000`
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use std::fs::File;
use std::io::BufWriter;
use std::path::Path;
use std::time::{Duration, Instant};

use anyhow::{Context, ensure};
use propagule_app::home::Home;
use propagule_app::{PoolQuestion, Reply, Request};
use propagule_network::bundle::Writer;
use propagule_node::socket;
use propagule_tests::invented::{network, record_of_species};
use propagule_tests::{Grower, argument};

const ASKED: &str = "Morus nigra";
const OTHER: &str = "Ribes nigrum";
/// Growers of the species.
const GROWERS: u64 = 500;
/// Times that a remembered answer is asked for.
const AGAIN: usize = 21;

/// Bars of the design in milliseconds: remembered, the first time, with the start of a process.
const BARS: [u128; 3] = [50, 1_500, 700];

#[tokio::main]
async fn main() -> anyhow::Result<()> {
    let records = argument("--records", 1_000_000)?;
    let of_species = argument("--of-species", 2_000)?;
    ensure!(of_species <= records, "--of-species is more than --records");
    let grower = Grower::new()?;
    fill(&grower, records, of_species)?;
    let node = grower.serve()?;
    let home = Home::open(&grower.home())?;
    // The harness gives every grower a runtime folder of its own.
    let socket = propagule_app::home::socket_path_below(&home, Some(grower.desk().join("runtime")));
    let first = timed(&socket).await?;
    let mut again = Vec::new();
    for _ in 0..AGAIN {
        again.push(timed(&socket).await?);
    }
    let mut whole = Vec::new();
    for _ in 0..AGAIN {
        let begun = Instant::now();
        grower.run(&["pool", ASKED])?;
        whole.push(begun.elapsed());
    }
    ensure!(node.stop()?, "the node did not stop by itself");
    let figures = [median(again), first, median(whole)].map(|time| time.as_millis());
    let [remembered, first, whole] = figures;
    println!(
        "query: {of_species} of {records} records: {remembered} ms remembered (bar {}), {first} ms the first time (bar {}), \
         {whole} ms with the start of a process (bar {})",
        BARS[0], BARS[1], BARS[2]
    );
    ensure!(figures.iter().zip(BARS).all(|(figure, bar)| *figure <= bar), "short of a bar");
    Ok(())
}

/// Records of many growers, brought in by a bundle.
fn fill(grower: &Grower, records: u64, of_species: u64) -> anyhow::Result<()> {
    let path = grower.desk().join("all.bundle");
    let mut writer = Writer::new(BufWriter::new(File::create_new(&path)?), network())?;
    // Of one author no more are taken in on one day.
    let others = records / 50 + 1;
    for number in 0..records {
        let (species, author) =
            if number < of_species { (ASKED, number % GROWERS) } else { (OTHER, GROWERS + number % others) };
        writer.add(&record_of_species(species, author, number, (number % 25) as u16).bytes)?;
    }
    writer.finish()?;
    grower.run(&["bundle", "in", &path.display().to_string()]).context("the records come in")?;
    Ok(())
}

/// One question over the node's socket.
async fn timed(socket: &Path) -> anyhow::Result<Duration> {
    let begun = Instant::now();
    let reply = socket::call_at(socket, Request::Pool(PoolQuestion::about(ASKED)))
        .await
        .map_err(|e| anyhow::anyhow!("{e}"))?;
    let took = begun.elapsed();
    ensure!(matches!(reply, Some(Reply::Done(_))), "the node does not answer");
    Ok(took)
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}
