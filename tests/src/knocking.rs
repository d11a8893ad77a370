//! Peers that connect and say nothing, or no more than that they belong to a network.

use std::time::Duration;

use futures::StreamExt;
use libp2p::identity::Keypair;
use libp2p::swarm::behaviour::toggle::Toggle;
use libp2p::swarm::{NetworkBehaviour, SwarmEvent};
use libp2p::{Multiaddr, Swarm, identify, noise, tcp, yamux};
use tokio::sync::mpsc;

use crate::invented::network;

/// How much a peer says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Greeting {
    /// Nothing.
    Nothing,
    /// That it belongs to the network of the stories.
    Network,
}

#[derive(NetworkBehaviour)]
struct Behaviour {
    identify: Toggle<identify::Behaviour>,
}

/// A peer that waits for whatever comes.
fn swarm(key: Keypair, says: Greeting) -> anyhow::Result<Swarm<Behaviour>> {
    let version = format!("/propagule/1/{}", &network().to_string()[..8]);
    let names = says == Greeting::Network;
    Ok(libp2p::SwarmBuilder::with_existing_identity(key)
        .with_tokio()
        .with_tcp(tcp::Config::default().nodelay(true), noise::Config::new, yamux::Config::default)?
        .with_behaviour(|key| {
            let config = identify::Config::new(version, key.public());
            Behaviour { identify: names.then(|| identify::Behaviour::new(config)).into() }
        })?
        .with_swarm_config(|config| config.with_idle_connection_timeout(Duration::from_mins(10)))
        .build())
}

/// Connects again and again, each time as another peer, and stays for as long as it is let.
pub async fn refill(address: Multiaddr, says: Greeting, pause: Duration) {
    loop {
        let Ok(mut swarm) = swarm(Keypair::generate_ed25519(), says) else { return };
        if swarm.dial(address.clone()).is_ok() {
            loop {
                match swarm.select_next_some().await {
                    SwarmEvent::ConnectionClosed { .. } | SwarmEvent::OutgoingConnectionError { .. } => break,
                    _ => {}
                }
            }
        }
        tokio::time::sleep(pause).await;
    }
}

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
    pub async fn knock(&mut self, key: Keypair, says: Greeting, address: &Multiaddr) -> anyhow::Result<()> {
        let before = self.open + self.shut;
        let mut swarm = swarm(key, says)?;
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
