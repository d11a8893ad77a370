//! Nodes inside this process: the real network shell over stores in memory, honest ones and such that lie.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use anyhow::{Context, ensure};
use libp2p::Multiaddr;
use propagule_node::clock::{Clock, Timing};
use propagule_node::home::NetworkKey;
use propagule_node::intake::Gate;
use propagule_node::net::{Book, Client, NetStatus, Setup, Ways, start};
use propagule_node::spread::{Dice, SeededDice, Stage};
use propagule_node::store::{Arrival, Intake, Memory, MonthRow, MonthSums, Records, StoreError};
use propagule_node::sync::LocalSet;
use propagule_protocol::{Month, RecordId, Signed};

use crate::invented::network;

/// Disk quota of a node that has none to fear.
const QUOTA: u64 = 1 << 30;

/// A store in memory that writes down when each record came.
#[derive(Debug)]
pub struct Watched {
    inner: Memory,
    arrivals: Mutex<HashMap<RecordId, Instant>>,
}

impl Default for Watched {
    fn default() -> Self {
        Self { inner: Memory::new(QUOTA), arrivals: Mutex::default() }
    }
}

impl Watched {
    /// When a record came.
    pub fn arrival(&self, id: &RecordId) -> Option<Instant> {
        self.arrivals.lock().unwrap_or_else(PoisonError::into_inner).get(id).copied()
    }

    /// Number of records in the set.
    pub fn count(&self) -> u64 {
        self.inner.count()
    }
}

macro_rules! same_set_as_inner {
    ($name:ident) => {
        impl LocalSet for $name {
            fn months(&self) -> Vec<MonthRow> {
                self.inner.months()
            }

            fn ids_in_month(&self, month: Month) -> Result<Vec<RecordId>, StoreError> {
                self.inner.ids_in_month(month)
            }

            fn knows(&self, id: &RecordId) -> Result<bool, StoreError> {
                self.inner.knows(id)
            }

            fn bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
                self.inner.bytes(id)
            }
        }
    };
}

macro_rules! outbox_of_inner {
    () => {
        fn own_bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
            self.inner.own_bytes(id)
        }

        fn outbox(&self) -> Result<Vec<(RecordId, Stage)>, StoreError> {
            self.inner.outbox()
        }

        fn note_stage(&self, id: &RecordId, stage: Stage) -> Result<(), StoreError> {
            self.inner.note_stage(id, stage)
        }

        fn mark_handed_on(&self, id: &RecordId) -> Result<(), StoreError> {
            self.inner.mark_handed_on(id)
        }

        fn has_room(&self) -> bool {
            self.inner.has_room()
        }
    };
}

same_set_as_inner!(Watched);

impl Records for Watched {
    fn append(&self, batch: &[Arrival]) -> Result<Vec<Intake>, StoreError> {
        let taken = self.inner.append(batch)?;
        let now = Instant::now();
        let mut arrivals = self.arrivals.lock().unwrap_or_else(PoisonError::into_inner);
        let new = batch.iter().zip(&taken).filter(|(_, intake)| **intake == Intake::New);
        new.for_each(|(arrival, _)| {
            arrivals.entry(*arrival.id()).or_insert(now);
        });
        Ok(taken)
    }

    outbox_of_inner!();
}

/// A set that is another one each time it is looked at, and of which nothing can be had.
#[derive(Debug)]
pub struct NeverTheSame {
    inner: Memory,
    dice: Mutex<SeededDice>,
}

impl NeverTheSame {
    /// From a seed.
    pub fn new(seed: u64) -> Self {
        Self { inner: Memory::new(QUOTA), dice: Mutex::new(SeededDice(seed)) }
    }

    fn ids(&self) -> Vec<RecordId> {
        let mut dice = self.dice.lock().unwrap_or_else(PoisonError::into_inner);
        let mut id = || {
            let mut id = [0; 32];
            id.chunks_exact_mut(8).for_each(|part| part.copy_from_slice(&dice.roll().to_be_bytes()));
            RecordId(id)
        };
        (0..5_000).map(|_| id()).collect()
    }
}

impl LocalSet for NeverTheSame {
    fn months(&self) -> Vec<MonthRow> {
        let mut sums = MonthSums::default();
        self.ids().iter().take(50).for_each(|id| {
            sums.add(Month(1_521), id);
        });
        sums.rows()
    }

    fn ids_in_month(&self, _: Month) -> Result<Vec<RecordId>, StoreError> {
        Ok(self.ids())
    }

    fn knows(&self, _: &RecordId) -> Result<bool, StoreError> {
        Ok(true)
    }

    fn bytes(&self, _: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(None)
    }
}

impl Records for NeverTheSame {
    fn append(&self, batch: &[Arrival]) -> Result<Vec<Intake>, StoreError> {
        Ok(vec![Intake::Known; batch.len()])
    }

    outbox_of_inner!();
}

/// A peer that takes very long over every answer.
#[derive(Debug)]
pub struct Slow {
    inner: Memory,
    wait: Duration,
}

impl Slow {
    /// Takes so long.
    pub fn new(wait: Duration) -> Self {
        Self { inner: Memory::new(QUOTA), wait }
    }
}

impl LocalSet for Slow {
    fn months(&self) -> Vec<MonthRow> {
        std::thread::sleep(self.wait);
        vec![MonthRow { month: Month(1_521), count: 9, fingerprint: [1; 16] }]
    }

    fn ids_in_month(&self, _: Month) -> Result<Vec<RecordId>, StoreError> {
        std::thread::sleep(self.wait);
        Ok(Vec::new())
    }

    fn knows(&self, _: &RecordId) -> Result<bool, StoreError> {
        Ok(true)
    }

    fn bytes(&self, _: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(None)
    }
}

impl Records for Slow {
    fn append(&self, batch: &[Arrival]) -> Result<Vec<Intake>, StoreError> {
        Ok(vec![Intake::Known; batch.len()])
    }

    outbox_of_inner!();
}

/// Where the clocks of all nodes in this process stand.
///
/// # Panics
/// Never: the timestamp is a constant.
pub fn clock() -> Clock {
    Clock::Fixed("2026-11-26T12:00:00Z".parse().expect("a timestamp"))
}

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
        let gate = Arc::new(Gate::new(network(), clock()));
        let mut key = NetworkKey::new([7; 32]);
        key[..8].copy_from_slice(&number.to_be_bytes());
        let setup = Setup {
            key,
            network: network(),
            listen: vec!["/ip4/127.0.0.1/tcp/0".parse()?],
            timing,
            loopback_exempt: true,
            ways,
            book: Book::in_memory(),
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
