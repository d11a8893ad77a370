//! Peers that connect and say nothing.

use std::time::Duration;

use futures::StreamExt;
use libp2p::identity::Keypair;
use libp2p::swarm::{SwarmEvent, dummy};
use libp2p::{Multiaddr, noise, tcp, yamux};
use tokio::sync::mpsc;

/// What became of a connection.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Knock {
    /// It stands.
    Open,
    /// It was refused, or ended by the other side.
    Shut,
}

/// Connections to one node, each of a task that goes on until this is dropped.
#[derive(Debug)]
pub struct Knocking {
    tasks: tokio::task::JoinSet<()>,
    tell: mpsc::Sender<Knock>,
    told: mpsc::Receiver<Knock>,
    /// Connections that stand.
    pub open: usize,
    /// Connections that do not.
    pub shut: usize,
}

impl Default for Knocking {
    fn default() -> Self {
        let (tell, told) = mpsc::channel(64);
        Self { tasks: tokio::task::JoinSet::new(), tell, told, open: 0, shut: 0 }
    }
}

impl Knocking {
    /// Connects once more as the peer of `key`, and waits until that is done or refused.
    ///
    /// # Errors
    /// When no connection could be begun.
    pub async fn knock(&mut self, key: Keypair, address: &Multiaddr) -> anyhow::Result<()> {
        let before = self.open + self.shut;
        let mut swarm = libp2p::SwarmBuilder::with_existing_identity(key)
            .with_tokio()
            .with_tcp(tcp::Config::default().nodelay(true), noise::Config::new, yamux::Config::default)?
            .with_behaviour(|_| dummy::Behaviour)?
            .with_swarm_config(|config| config.with_idle_connection_timeout(Duration::from_mins(10)))
            .build();
        swarm.dial(address.clone())?;
        let tell = self.tell.clone();
        self.tasks.spawn(async move {
            loop {
                let knock = match swarm.select_next_some().await {
                    SwarmEvent::ConnectionEstablished { .. } => Knock::Open,
                    SwarmEvent::ConnectionClosed { .. } | SwarmEvent::OutgoingConnectionError { .. } => {
                        Knock::Shut
                    }
                    _ => continue,
                };
                if tell.send(knock).await.is_err() || knock == Knock::Shut {
                    return;
                }
            }
        });
        while self.open + self.shut == before {
            self.hear().await;
        }
        Ok(())
    }

    /// Waits for one more thing to happen.
    pub async fn hear(&mut self) {
        match self.told.recv().await.expect("this end sends too") {
            Knock::Open => self.open += 1,
            Knock::Shut => {
                self.shut += 1;
                self.open = self.open.saturating_sub(1);
            }
        }
    }
}
