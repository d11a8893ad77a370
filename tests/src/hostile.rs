//! A peer that speaks the protocols and keeps none of their rules.

use anyhow::Context;
use futures::StreamExt;
use libp2p::swarm::{NetworkBehaviour, SwarmEvent};
use libp2p::{Multiaddr, Swarm, gossipsub, identify, noise, tcp, yamux};
use propagule_protocol::NetworkId;

/// What it speaks: gossip without judging, and enough of identify to be met.
#[derive(NetworkBehaviour)]
struct Behaviour {
    gossip: gossipsub::Behaviour,
    identify: identify::Behaviour,
}

/// A connected hostile peer.
pub struct Hostile {
    swarm: Swarm<Behaviour>,
    topic: gossipsub::TopicHash,
}

impl Hostile {
    /// Connects to `address` and waits until that node listens to the network's gossip.
    ///
    /// # Errors
    /// When the node cannot be reached.
    pub async fn connect(address: &str, network: NetworkId) -> anyhow::Result<Self> {
        let short = &network.to_string()[..8];
        let topic = gossipsub::IdentTopic::new(format!("propagule/1/{short}"));
        // A node of another network would be left at once.
        let version = format!("/propagule/1/{short}");
        let mut swarm = libp2p::SwarmBuilder::with_new_identity()
            .with_tokio()
            .with_tcp(tcp::Config::default().nodelay(true), noise::Config::new, yamux::Config::default)?
            .with_behaviour(|key| Behaviour {
                gossip: gossip().expect("constant settings fit together"),
                identify: identify::Behaviour::new(identify::Config::new(version, key.public())),
            })?
            .build();
        swarm.behaviour_mut().gossip.subscribe(&topic)?;
        swarm.dial(address.parse::<Multiaddr>()?)?;
        let mut hostile = Self { swarm, topic: topic.hash() };
        hostile.wait_for_listener().await?;
        Ok(hostile)
    }

    async fn wait_for_listener(&mut self) -> anyhow::Result<()> {
        loop {
            match self.swarm.select_next_some().await {
                SwarmEvent::Behaviour(BehaviourEvent::Gossip(gossipsub::Event::Subscribed { .. })) => {
                    return Ok(());
                }
                SwarmEvent::OutgoingConnectionError { error, .. } => return Err(error.into()),
                SwarmEvent::ConnectionClosed { .. } => anyhow::bail!("the node left"),
                _ => {}
            }
        }
    }

    /// Gossips any bytes.
    ///
    /// # Errors
    /// When they could not be sent.
    pub fn gossip(&mut self, bytes: Vec<u8>) -> anyhow::Result<()> {
        let sent = self.swarm.behaviour_mut().gossip.publish(self.topic.clone(), bytes);
        sent.map(|_| ()).context("the hostile peer publishes")
    }

    /// Keeps the connection going for ever.
    pub async fn keep_going(&mut self) {
        loop {
            self.swarm.select_next_some().await;
        }
    }
}

fn gossip() -> anyhow::Result<gossipsub::Behaviour> {
    let config = gossipsub::ConfigBuilder::default()
        .protocol_id_prefix("/propagule/gossip")
        .validation_mode(gossipsub::ValidationMode::Anonymous)
        .max_transmit_size(1 << 20)
        .message_id_fn(|message| gossipsub::MessageId::from(message.data.clone()))
        .build()?;
    gossipsub::Behaviour::new(gossipsub::MessageAuthenticity::Anonymous, config).map_err(anyhow::Error::msg)
}
