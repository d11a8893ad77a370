//! How much one stranger draws from a node: bytes of answers and processor time, when it waits as it is told and asks for
//! as much as it can; and how soon it is blocked when it does not wait.
//!
//! `cargo run --release -p propagule-tests --bin drain -- --seconds 60`
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use std::fs::File;
use std::io::BufWriter;
use std::time::{Duration, Instant};

use anyhow::{Context, ensure};
use libp2p::{Multiaddr, PeerId};
use propagule_network::bundle::Writer;
use propagule_network::limits::FETCH_IDS;
use propagule_network::sync::{Decline, Question, Reply};
use propagule_protocol::{Month, RecordId};
use propagule_tests::handmade::{Handmade, Manner, Told};
use propagule_tests::invented::{network, record_of};
use propagule_tests::{Grower, argument};
use tokio::task::block_in_place;

/// MiB and seconds of processor time that one stranger may draw in a minute.
const BARS: (f64, f64) = (40.0, 4.0);
/// Questions before somebody who does not wait is blocked: a burst, some that may have been under way each time, and
/// twenty that may not.
const IMPATIENT_BAR: u32 = 200;
/// The longest that a peer waits for an answer.
const PATIENCE: Duration = Duration::from_secs(30);

struct Stranger {
    peer: Handmade,
    to: PeerId,
    asked: u64,
    drawn: u64,
}

#[tokio::main(flavor = "multi_thread", worker_threads = 2)]
async fn main() -> anyhow::Result<()> {
    let (seconds, records) = (argument("--seconds", 60)?, argument("--records", 20_000)?);
    let giver = Grower::new()?;
    let ids = block_in_place(|| fill(&giver, records))?;
    let node = block_in_place(|| giver.serve())?;
    let address: Multiaddr = node.address().parse()?;
    let before = node.processor_seconds()?;
    let mut patient = Stranger::new(&address).await?;
    let begun = Instant::now();
    patient.draw(&ids, begun + Duration::from_secs(seconds)).await?;
    let took = node.processor_seconds()? - before;
    let drawn = patient.drawn as f64 / f64::from(1 << 20);
    let until_blocked = Stranger::new(&address).await?.ask_on().await?;
    println!(
        "drain: {records} records, {seconds} s: one stranger drew {drawn:.1} MiB (bar {} in a minute) with {} KiB of \
         questions and {took:.1} s of processor time (bar {}); without waiting it was blocked after {until_blocked} \
         questions (bar {IMPATIENT_BAR})",
        BARS.0,
        patient.asked >> 10,
        BARS.1,
    );
    let minutes = (seconds as f64 / 60.0).max(1.0);
    ensure!(drawn <= BARS.0 * minutes && took <= BARS.1 * minutes, "over the bar");
    ensure!(until_blocked <= IMPATIENT_BAR, "over the bar");
    Ok(())
}

/// Puts records into a grower's home, and gives the ids of some.
fn fill(giver: &Grower, records: u64) -> anyhow::Result<Vec<RecordId>> {
    let path = giver.desk().join("all.bundle");
    let mut writer = Writer::new(BufWriter::new(File::create_new(&path)?), network())?;
    let mut ids = Vec::new();
    for number in 0..records {
        let signed = record_of(number % 500, number, (number % 25) as u16);
        writer.add(&signed.bytes)?;
        ids.push(signed.id);
    }
    writer.finish()?;
    giver.run(&["bundle", "in", &path.display().to_string()])?;
    ids.truncate(FETCH_IDS);
    Ok(ids)
}

fn framed(message: &[u8]) -> Vec<u8> {
    [&(message.len() as u32).to_be_bytes()[..], message].concat()
}

impl Stranger {
    async fn new(address: &Multiaddr) -> anyhow::Result<Self> {
        let short = &network().to_string()[..8];
        let mut peer = Handmade::new(&format!("/propagule/exchange/1/{short}"), Manner::Asks)?;
        peer.connect(address).await?;
        let to = propagule_network::net::peer_of(address).context("an address with an id")?;
        Ok(Self { peer, to, asked: 0, drawn: 0 })
    }

    /// The reply to one question; none where the connection is shut.
    async fn ask(&mut self, question: &Question) -> anyhow::Result<Option<Reply>> {
        let bytes = framed(&question.encode());
        self.asked += bytes.len() as u64;
        self.peer.ask(self.to, bytes).await?;
        let heard = self.peer.hear(|told| matches!(told, Told::Answer(_) | Told::NoAnswer | Told::Shut(_)));
        match tokio::time::timeout(PATIENCE, heard).await.context("it answers")?? {
            Told::Answer(bytes) => {
                self.drawn += bytes.len() as u64;
                Ok(Some(Reply::decode(&bytes[4..])?))
            }
            _ => Ok(None),
        }
    }

    /// Draws as much as it can, in every way, and waits as long as it is told.
    async fn draw(&mut self, ids: &[RecordId], until: Instant) -> anyhow::Result<()> {
        // Version 1 of the reconciliation protocol: a list of ids up to infinity, which is empty: "send me yours".
        let send_all = vec![0x61, 0, 0, 2, 0];
        let month = Month::new(2026, 10).context("a month")?;
        let mix = [
            Question::Fetch(ids.to_vec()),
            Question::Reconcile(month, send_all),
            Question::Months(network()),
            Question::Fetch(ids.to_vec()),
        ];
        for question in mix.iter().cycle() {
            let left = until.saturating_duration_since(Instant::now());
            if left.is_zero() {
                return Ok(());
            }
            if let Some(Reply::Declined(Decline::OverBudget(seconds))) = self.ask(question).await? {
                tokio::time::sleep(Duration::from_secs(seconds.into()).min(left)).await;
            }
        }
        Ok(())
    }

    /// Asks on whatever it is told, and gives the number of questions after which it is cut off.
    async fn ask_on(mut self) -> anyhow::Result<u32> {
        let mut questions = 0;
        while questions < IMPATIENT_BAR * 10 {
            questions += 1;
            if self.ask(&Question::Peers).await?.is_none() {
                break;
            }
        }
        Ok(questions)
    }
}
