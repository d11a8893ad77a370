//! A node killed at random points while it takes records in: what it acknowledged is there.
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use std::time::Duration;

use anyhow::{Context, ensure};
use propagule_node::app::{BenchRequest, Common, Enter, Reply, Request};
use propagule_node::paper::dates::When;
use propagule_protocol::RecordId;
use propagule_tests::Grower;
use propagule_tests::invented::record;

const KILLS: u64 = 50;
const BENCH_KILLS: u64 = 20;
/// Records handed in at once; each part is acknowledged as a whole.
const PART: u64 = 8;
/// A kill comes within this time of the node's being ready.
const LONGEST_LIFE_MICROSECONDS: u64 = 60_000;

/// Numbers that look random and are the same in every run (`SplitMix64`, from memory).
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        (z ^ (z >> 31)) % limit
    }
}

fn hex(bytes: &[u8]) -> String {
    let digit = |value: u8| char::from_digit(value.into(), 16).expect("a value below 16");
    bytes.iter().flat_map(|byte| [digit(byte >> 4), digit(byte & 15)]).collect()
}

/// Hands parts in until the node is gone; returns the ids that it acknowledged.
async fn feed(grower: &Grower, next: &mut u64) -> Vec<RecordId> {
    let mut acknowledged = Vec::new();
    loop {
        let records: Vec<_> =
            (*next..*next + PART).map(|series| record(1, series, (series % 25) as u16)).collect();
        let request =
            Request::BundleIn { records: records.iter().map(|signed| hex(&signed.bytes)).collect() };
        *next += PART;
        match grower.ask(request).await {
            Ok(Reply::Report(report)) if report.json["new"] == PART => {
                acknowledged.extend(records.iter().map(|signed| signed.id));
            }
            _ => return acknowledged,
        }
    }
}

/// Every id that the node holds now.
fn held(grower: &Grower) -> anyhow::Result<std::collections::BTreeSet<RecordId>> {
    let path = grower.desk().join("all.bundle");
    grower.run(&["bundle", "out", &path.display().to_string()])?;
    let file = std::io::BufReader::new(std::fs::File::open(&path)?);
    let network = propagule_tests::invented::network();
    let mut reader = propagule_node::bundle::Reader::new(file, network)?;
    let mut ids = std::collections::BTreeSet::new();
    while let Some(bytes) = reader.next_record()? {
        ids.insert(propagule_protocol::reopen(&bytes, &network)?.id);
    }
    std::fs::remove_file(path)?;
    Ok(ids)
}

/// Enters looks, each under a name of its own, until the node is gone; returns the names that it acknowledged.
async fn look(grower: &Grower, next: &mut u64) -> Vec<String> {
    let mut acknowledged = Vec::new();
    loop {
        let once = format!("look-{next}");
        *next += 1;
        let common = Common {
            on: When::day("2026-06-20".parse().expect("a day")),
            note: None,
            files: Vec::new(),
            once: Some(once.clone()),
        };
        let enter = Enter {
            trial: "L1".to_owned(),
            stage: None,
            counts: Vec::new(),
            in_order: None,
            rest: None,
            is_blind: false,
            common,
        };
        match grower.ask(Request::Bench(Box::new(BenchRequest::Enter(enter)))).await {
            Ok(Reply::Report(report)) if report.json["saved"] == true => acknowledged.push(once),
            _ => return acknowledged,
        }
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn no_acknowledged_entry_of_the_bench_is_lost_in_twenty_kills() -> anyhow::Result<()> {
    let grower = Grower::new()?;
    grower.run(&["trial", "new", "L1", "Lumetta rosea", "--pieces", "10"])?;
    grower.run(&["stick", "L1", "--on", "2026-06-06"])?;
    let mut dice = Dice(20_261_126);
    let (mut acknowledged, mut next) = (Vec::new(), 0);
    for round in 0..BENCH_KILLS {
        let mut node = grower.serve().with_context(|| format!("round {round}"))?;
        let life = Duration::from_micros(dice.below(LONGEST_LIFE_MICROSECONDS));
        let killer = tokio::task::spawn_blocking(move || {
            std::thread::sleep(life);
            node.kill()
        });
        acknowledged.extend(look(&grower, &mut next).await);
        killer.await??;
    }
    let history = grower.run(&["trial", "history", "L1", "--json"])?;
    let lost = acknowledged.iter().filter(|once| !history.contains(&format!("\"{once}\""))).count();
    println!("{BENCH_KILLS} kills, {} entries acknowledged, {lost} lost", acknowledged.len());
    ensure!(acknowledged.len() > 20, "the node lived long enough to acknowledge something");
    ensure!(lost == 0, "{lost} acknowledged entries are gone");
    Ok(())
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn no_acknowledged_record_is_lost_in_fifty_kills() -> anyhow::Result<()> {
    let grower = Grower::new()?;
    let mut dice = Dice(20_261_125);
    let (mut acknowledged, mut next) = (Vec::new(), 0);
    for round in 0..KILLS {
        let mut node = grower.serve().with_context(|| format!("round {round}"))?;
        let life = Duration::from_micros(dice.below(LONGEST_LIFE_MICROSECONDS));
        let killer = tokio::task::spawn_blocking(move || {
            std::thread::sleep(life);
            node.kill()
        });
        acknowledged.extend(feed(&grower, &mut next).await);
        killer.await??;
    }
    let held = held(&grower)?;
    let lost = acknowledged.iter().filter(|id| !held.contains(id)).count();
    println!("{KILLS} kills, {} records acknowledged, {} held, {lost} lost", acknowledged.len(), held.len());
    ensure!(acknowledged.len() > 100, "the node lived long enough to acknowledge something");
    ensure!(lost == 0, "{lost} acknowledged records are gone");
    Ok(())
}
