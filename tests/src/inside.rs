//! Nodes inside this process: the real network shell over stores in memory.

use std::sync::Arc;
use std::time::Duration;

use anyhow::{Context, ensure};
use libp2p::Multiaddr;
use propagule_files::clock::Clock;
use propagule_network::admission::Admittance;
use propagule_network::intake::{Counts, Gate};
use propagule_network::net::NetworkKey;
use propagule_network::net::{Book, Client, GuardFile, NetStatus, Setup, Ways, start};
use propagule_network::spread::Stage;
use propagule_network::store::{Arrival, Intake, Records};
use propagule_network::timing::Timing;
use propagule_protocol::Signed;

use crate::invented::network;

/// Where the clocks of all nodes in this process stand.
///
/// # Panics
/// Never: the timestamp is a constant.
pub fn clock() -> Clock {
    Clock::Fixed("2026-11-26T12:00:00Z".parse().expect("a timestamp"))
}

/// The longest that a test waits for what must happen.
const PATIENCE: Duration = Duration::from_mins(1);
/// Between two looks.
const LOOK: Duration = Duration::from_millis(10);

/// A node in this process.
#[derive(Clone, Debug)]
pub struct Inside {
    /// Handle on its event loop.
    pub client: Client,
    /// Where it is reached, with its id at the end.
    pub address: Multiaddr,
    /// What came in.
    pub gate: Arc<Gate>,
}

impl Inside {
    /// Goes on the network of the stories with a key made from `number`.
    ///
    /// # Errors
    /// When it cannot listen.
    pub async fn start(number: u64, store: Arc<dyn Records>, timing: Timing) -> anyhow::Result<Self> {
        Self::start_with(number, store, timing, Ways::default()).await
    }

    /// The same, with ways to find peers and let them in.
    ///
    /// # Errors
    /// When it cannot listen.
    pub async fn start_with(
        number: u64,
        store: Arc<dyn Records>,
        timing: Timing,
        ways: Ways,
    ) -> anyhow::Result<Self> {
        Self::begin(number, store, (timing, ways), true).await
    }

    /// The same, where peers on this machine count by their addresses like those from elsewhere.
    ///
    /// # Errors
    /// When it cannot listen.
    pub async fn start_counting(
        number: u64,
        store: Arc<dyn Records>,
        timing: Timing,
    ) -> anyhow::Result<Self> {
        Self::begin(number, store, (timing, Ways::default()), false).await
    }

    async fn begin(
        number: u64,
        store: Arc<dyn Records>,
        (timing, ways): (Timing, Ways),
        loopback_exempt: bool,
    ) -> anyhow::Result<Self> {
        let admission = Admittance::in_memory(timing.known_after);
        let gate = Arc::new(Gate::new(network(), clock(), admission));
        let mut key = NetworkKey::new([7; 32]);
        key[..8].copy_from_slice(&number.to_be_bytes());
        let setup = Setup {
            key,
            network: network(),
            listen: vec!["/ip4/127.0.0.1/tcp/0".parse()?],
            timing,
            loopback_exempt,
            connections: propagule_network::limits::CONNECTIONS,
            share_kib_s: 1_024,
            ways,
            book: Book::in_memory(),
            guards: GuardFile::in_memory(),
            store,
            gate: Arc::clone(&gate),
            clock: clock(),
        };
        let client = start(setup).await.map_err(|failure| anyhow::anyhow!("{failure}"))?;
        let status = client.status().await?;
        let address = status.addresses.first().context("it listens somewhere")?.parse()?;
        Ok(Self { client, address, gate })
    }

    /// Dials another node.
    ///
    /// # Errors
    /// When this node has ended.
    pub async fn dial(&self, other: &Multiaddr) -> anyhow::Result<()> {
        Ok(self.client.dial(vec![other.clone()]).await?)
    }

    /// How it stands.
    ///
    /// # Errors
    /// When this node has ended.
    pub async fn status(&self) -> anyhow::Result<NetStatus> {
        Ok(self.client.status().await?)
    }

    /// Waits until it stands as wanted.
    ///
    /// # Errors
    /// When it does not come to stand so, or has ended.
    pub async fn until(&self, is_so: impl Fn(&NetStatus) -> bool) -> anyhow::Result<NetStatus> {
        let look = async {
            let mut looks = tokio::time::interval(LOOK);
            loop {
                looks.tick().await;
                let status = self.status().await?;
                if is_so(&status) {
                    return anyhow::Ok(status);
                }
            }
        };
        tokio::time::timeout(PATIENCE, look).await.context("the node does not come to stand so")?
    }

    /// Waits until it has counted as wanted.
    ///
    /// # Errors
    /// When it does not come to that, or has ended.
    pub async fn until_counted(&self, is_so: impl Fn(&Counts) -> bool) -> anyhow::Result<Counts> {
        self.until(|_| is_so(&self.gate.counts())).await?;
        Ok(self.gate.counts())
    }

    /// Puts an own record into the set and gossips it at once.
    ///
    /// # Errors
    /// When the store refuses it, or this node has ended.
    pub async fn publish(&self, store: &dyn Records, signed: Signed) -> anyhow::Result<()> {
        let arrival = Arrival::Accepted { signed: Box::new(signed), own: Some(Stage::Open) };
        let taken = store.append(&[arrival])?;
        ensure!(taken == [Intake::New], "{taken:?}");
        Ok(self.client.announce().await?)
    }
}

/// Memory of this process in KB, as the system counts it.
///
/// # Errors
/// When the system does not tell.
pub fn own_memory_kb() -> anyhow::Result<u64> {
    let status = std::fs::read_to_string("/proc/self/status")?;
    let line =
        status.lines().find_map(|line| line.strip_prefix("VmRSS:")).context("the system counts memory")?;
    Ok(line.trim().trim_end_matches(" kB").trim().parse()?)
}
