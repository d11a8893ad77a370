//! The libp2p behaviours of a node and their settings.

use std::collections::HashSet;
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr};

use libp2p::identity::Keypair;
use libp2p::request_response::{self, ProtocolSupport};
use libp2p::swarm::NetworkBehaviour;
use libp2p::{StreamProtocol, allow_block_list, connection_limits, gossipsub, identify, ping};
use propagule_protocol::NetworkId;
use propagule_protocol::limits::GOSSIP_BYTES;
use sha2::{Digest, Sha256};

use super::codec::ExchangeCodec;
use crate::clock::Timing;
use crate::limits;

/// Everything that a node speaks. Limits stand first, so that they refuse before others see a peer.
#[derive(NetworkBehaviour)]
pub(crate) struct Behaviour {
    pub(crate) connections: connection_limits::Behaviour,
    pub(crate) blocked: allow_block_list::Behaviour<allow_block_list::BlockedPeers>,
    pub(crate) gossip: gossipsub::Behaviour,
    pub(crate) exchange: request_response::Behaviour<ExchangeCodec>,
    pub(crate) identify: identify::Behaviour,
    pub(crate) ping: ping::Behaviour,
}

/// First eight hex digits of the network id, in the names of protocols and topic.
fn short_name(network: NetworkId) -> String {
    crate::hex::encode(&network.0[..4])
}

/// The one topic of a network.
pub(crate) fn topic(network: NetworkId) -> gossipsub::IdentTopic {
    gossipsub::IdentTopic::new(format!("propagule/1/{}", short_name(network)))
}

impl Behaviour {
    pub(crate) fn new(key: &Keypair, network: NetworkId, timing: &Timing, loopback_exempt: bool) -> Self {
        let exchange =
            StreamProtocol::try_from_owned(format!("/propagule/exchange/1/{}", short_name(network)))
                .expect("a protocol name that begins with a slash is valid");
        let exchange_config = request_response::Config::default()
            .with_request_timeout(limits::REPLY_TIME)
            .with_max_concurrent_streams(limits::STREAMS_PER_PEER);
        Self {
            connections: connection_limits::Behaviour::new(connection_limits()),
            blocked: allow_block_list::Behaviour::default(),
            gossip: gossip(network, timing, loopback_exempt),
            exchange: request_response::Behaviour::with_codec(
                ExchangeCodec,
                [(exchange, ProtocolSupport::Full)],
                exchange_config,
            ),
            identify: identify::Behaviour::new(identify_config(key, network)),
            ping: ping::Behaviour::default(),
        }
    }
}

fn connection_limits() -> connection_limits::ConnectionLimits {
    connection_limits::ConnectionLimits::default()
        .with_max_established(Some(limits::CONNECTIONS))
        .with_max_established_incoming(Some(limits::CONNECTIONS_IN))
        .with_max_established_per_peer(Some(limits::CONNECTIONS_PER_PEER))
        .with_max_pending_incoming(Some(limits::PENDING_IN))
        .with_max_pending_outgoing(Some(limits::PENDING_OUT))
}

/// The same agent text for every version and home, and no addresses to strangers.
fn identify_config(key: &Keypair, network: NetworkId) -> identify::Config {
    identify::Config::new(format!("/propagule/1/{}", short_name(network)), key.public())
        .with_agent_version("propagule".to_owned())
        .with_hide_listen_addrs(true)
}

/// Gossip without a source: no author, no sequence number, and nothing forwarded before it is judged.
///
/// A message is known by the hash of all its bytes. The record id would leave out the signature, and
/// then a forged copy, seen first, would keep the true one from being forwarded.
fn gossip(network: NetworkId, timing: &Timing, loopback_exempt: bool) -> gossipsub::Behaviour {
    let config = gossipsub::ConfigBuilder::default()
        .protocol_id_prefix("/propagule/gossip")
        .heartbeat_interval(timing.heartbeat)
        .validation_mode(gossipsub::ValidationMode::Anonymous)
        .validate_messages()
        .max_transmit_size(limits::GOSSIP_READ_BYTES)
        .max_transmit_size_for_topic(GOSSIP_BYTES, topic(network).hash())
        .message_id_fn(|message| gossipsub::MessageId::from(Sha256::digest(&message.data).to_vec()))
        .build()
        .expect("the settings are constants that fit together");
    let mut behaviour = gossipsub::Behaviour::new(gossipsub::MessageAuthenticity::Anonymous, config)
        .expect("anonymous messages and anonymous validation go together");
    behaviour
        .with_peer_score(score_params(network, loopback_exempt), gossipsub::PeerScoreThresholds::default())
        .expect("the score parameters are constants that fit together");
    behaviour.subscribe(&topic(network)).expect("one topic is within every limit");
    behaviour
}

/// Scores only time in the mesh, first deliveries and invalid messages: traffic is too thin for the rest.
fn score_params(network: NetworkId, loopback_exempt: bool) -> gossipsub::PeerScoreParams {
    let thin = gossipsub::TopicScoreParams {
        mesh_message_deliveries_weight: 0.0,
        mesh_failure_penalty_weight: 0.0,
        ..gossipsub::TopicScoreParams::default()
    };
    let loopback: [IpAddr; 2] = [Ipv4Addr::LOCALHOST.into(), Ipv6Addr::LOCALHOST.into()];
    gossipsub::PeerScoreParams {
        topics: [(topic(network).hash(), thin)].into(),
        ip_colocation_factor_whitelist: if loopback_exempt { loopback.into() } else { HashSet::new() },
        ..gossipsub::PeerScoreParams::default()
    }
}
