//! The libp2p behaviours of a node and their settings.

use std::collections::HashSet;
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr};

use libp2p::identity::Keypair;
use libp2p::request_response::{self, ProtocolSupport};
use libp2p::swarm::NetworkBehaviour;
use libp2p::swarm::behaviour::toggle::Toggle;
use libp2p::{
    StreamProtocol, allow_block_list, autonat, connection_limits, dcutr, gossipsub, identify, mdns, ping,
    relay,
};
use propagule_protocol::NetworkId;
use propagule_protocol::limits::GOSSIP_BYTES;
use sha2::{Digest, Sha256};

use super::Setup;
use super::codec::ExchangeCodec;
use super::discreet::Discreet;
use super::doorkeeper::Doorkeeper;
use super::visiting::room;
use crate::limits;
use crate::spread::Seats;
use crate::timing::Timing;

/// Everything that a node speaks. Limits stand first, so that they refuse before others see a peer.
#[derive(NetworkBehaviour)]
pub(super) struct Behaviour {
    pub connections: connection_limits::Behaviour,
    pub doorkeeper: Doorkeeper,
    pub blocked: allow_block_list::Behaviour<allow_block_list::BlockedPeers>,
    pub gossip: gossipsub::Behaviour,
    pub exchange: request_response::Behaviour<ExchangeCodec>,
    pub identify: Discreet,
    pub ping: ping::Behaviour,
    pub relay_client: relay::client::Behaviour,
    pub relay_server: relay::Behaviour,
    pub hole_punching: dcutr::Behaviour,
    pub reach_client: autonat::v2::client::Behaviour,
    pub reach_server: autonat::v2::server::Behaviour,
    pub nearby: Toggle<mdns::tokio::Behaviour>,
}

/// First eight hex digits of the network id, in the names of protocols and topic.
fn short_name(network: NetworkId) -> String {
    propagule_files::hex::encode(&network.0[..4])
}

/// The one topic of a network.
pub(super) fn topic(network: NetworkId) -> gossipsub::IdentTopic {
    gossipsub::IdentTopic::new(format!("propagule/1/{}", short_name(network)))
}

/// What this node says it speaks, with the network's name.
pub(super) fn protocol_version(network: NetworkId) -> String {
    format!("/propagule/1/{}", short_name(network))
}

impl Behaviour {
    /// # Errors
    /// When the system does not let nodes nearby be looked for.
    pub(super) fn new(
        key: &Keypair,
        setup: &Setup,
        relay_client: relay::client::Behaviour,
    ) -> std::io::Result<Self> {
        let (own, timing) = (key.public().to_peer_id(), &setup.timing);
        let nearby = setup
            .ways
            .find_nearby
            .then(|| mdns::tokio::Behaviour::new(mdns::Config::default(), own))
            .transpose()?;
        let mut relay_server = relay::Behaviour::new(own, relay_config(timing));
        // Off until it is known whether this node can be reached.
        relay_server.set_status(Some(relay::Status::Disable));
        Ok(Self {
            connections: connection_limits::Behaviour::new(connection_limits(setup.connections)),
            doorkeeper: Doorkeeper::new(setup.ways.allowed.clone(), setup.loopback_exempt),
            blocked: allow_block_list::Behaviour::default(),
            gossip: gossip(setup.network, timing, setup.loopback_exempt),
            exchange: exchange(setup.network, timing),
            identify: Discreet::new(identify_config(key, setup.network), setup.clock),
            ping: ping::Behaviour::new(
                ping::Config::new().with_interval(timing.ping).with_timeout(timing.ping * 2),
            ),
            relay_client,
            relay_server,
            hole_punching: dcutr::Behaviour::new(own),
            reach_client: autonat::v2::client::Behaviour::default(),
            reach_server: autonat::v2::server::Behaviour::default(),
            nearby: nearby.into(),
        })
    }
}

fn exchange(network: NetworkId, timing: &Timing) -> request_response::Behaviour<ExchangeCodec> {
    let name = StreamProtocol::try_from_owned(format!("/propagule/exchange/1/{}", short_name(network)))
        .expect("a protocol name that begins with a slash is valid");
    let config = request_response::Config::default()
        .with_request_timeout(timing.reply)
        .with_max_concurrent_streams(limits::STREAMS_PER_PEER);
    request_response::Behaviour::with_codec(ExchangeCodec, [(name, ProtocolSupport::Full)], config)
}

/// The library's own rates a peer and an address stay as they are. It refuses a circuit only when the peer has
/// more than the number given, so that one less is given.
fn relay_config(timing: &Timing) -> relay::Config {
    relay::Config {
        max_reservations: limits::RELAY_PLACES,
        max_reservations_per_peer: 1,
        max_circuits: limits::RELAY_CIRCUITS,
        max_circuits_per_peer: limits::RELAY_CIRCUITS_PER_PEER - 1,
        max_circuit_duration: timing.circuit,
        max_circuit_bytes: limits::RELAY_CIRCUIT_BYTES,
        ..relay::Config::default()
    }
}

/// Who comes finds a connection while those that make way for it are being closed. What this node opens itself has its own.
fn connection_limits(all: u32) -> connection_limits::ConnectionLimits {
    let all = all.min(limits::CONNECTIONS);
    let Seats { places, anteroom } = room(all);
    let made_way = (all / 8).max(1);
    let inward = (places + anteroom) as u32 + made_way;
    let pending = limits::PENDING_IN * all / limits::CONNECTIONS;
    connection_limits::ConnectionLimits::default()
        .with_max_established_outgoing(Some(all.saturating_sub((places + anteroom) as u32)))
        .with_max_established_incoming(Some(inward))
        .with_max_established_per_peer(Some(limits::CONNECTIONS_PER_PEER))
        .with_max_pending_incoming(Some(pending))
        .with_max_pending_outgoing(Some(limits::PENDING_OUT))
}

/// The same agent text for every version and home, and no addresses to strangers but those that
/// the world reaches.
fn identify_config(key: &Keypair, network: NetworkId) -> identify::Config {
    identify::Config::new(protocol_version(network), key.public())
        .with_agent_version("propagule".to_owned())
        .with_cache_size(0)
        .with_hide_listen_addrs(true)
}

/// Gossip without a source: no author, no sequence number, and nothing forwarded before it is judged.
///
/// A message is known by the hash of all its bytes. The record id would leave out the signature, and
/// then a forged copy, seen first, would keep the true one from being forwarded.
fn gossip(network: NetworkId, timing: &Timing, loopback_exempt: bool) -> gossipsub::Behaviour {
    let mut behaviour =
        gossipsub::Behaviour::new(gossipsub::MessageAuthenticity::Anonymous, gossip_config(network, timing))
            .expect("anonymous messages and anonymous validation go together");
    behaviour
        .with_peer_score(score_params(network, loopback_exempt), gossipsub::PeerScoreThresholds::default())
        .expect("the score parameters are constants that fit together");
    behaviour.subscribe(&topic(network)).expect("one topic is within every limit");
    behaviour
}

fn gossip_config(network: NetworkId, timing: &Timing) -> gossipsub::Config {
    gossipsub::ConfigBuilder::default()
        .protocol_id_prefix("/propagule/gossip")
        .heartbeat_interval(timing.heartbeat)
        .validation_mode(gossipsub::ValidationMode::Anonymous)
        .validate_messages()
        .max_transmit_size(limits::GOSSIP_READ_BYTES)
        .max_transmit_size_for_topic(GOSSIP_BYTES, topic(network).hash())
        .max_publish_messages(limits::GOSSIP_PACKET)
        .duplicate_cache_time(limits::GOSSIP_SEEN)
        .message_id_fn(|message| gossipsub::MessageId::from(Sha256::digest(&message.data).to_vec()))
        .build()
        .expect("the settings are constants that fit together")
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the library's own defaults, which are for networks of far more traffic.
    #[test]
    fn gossip_remembers_for_a_while_and_its_packets_have_an_end() {
        let config = gossip_config(NetworkId([5; 32]), &Timing::home());
        let usual = gossipsub::Config::default();
        assert_eq!(config.duplicate_cache_time(), limits::GOSSIP_SEEN);
        assert_eq!(config.max_publish_messages(), limits::GOSSIP_PACKET);
        assert!(usual.duplicate_cache_time() > limits::GOSSIP_SEEN);
        assert!(usual.max_publish_messages() > limits::GOSSIP_PACKET);
    }
}
