//! Groups of connections, what may be told to whom, and when a peer is gone.

use libp2p::core::Endpoint;
use libp2p::core::transport::PortUse;

use super::*;

fn connect(peers: &mut Peers, peer: PeerId, number: usize, address: &str) -> bool {
    peers.connected(peer, ConnectionId::new_unchecked(number), (&dialled(address), false))
}

fn dialled(address: &str) -> ConnectedPoint {
    ConnectedPoint::Dialer {
        address: address.parse().expect("an address"),
        role_override: Endpoint::Dialer,
        port_use: PortUse::Reuse,
    }
}

fn received(local: &str, remote: &str) -> ConnectedPoint {
    ConnectedPoint::Listener {
        local_addr: local.parse().expect("an address"),
        send_back_addr: remote.parse().expect("an address"),
    }
}

#[test]
fn connections_by_way_of_one_relay_are_limited_both_ways() {
    let (relay, other) = (PeerId::random(), PeerId::random());
    let mut peers = Peers::new(true);
    let by = |relay: PeerId, number: usize| {
        let circuit = format!("/ip4/127.0.0.1/tcp/1/p2p/{relay}/p2p-circuit");
        let peer = PeerId::random();
        let endpoint = match number % 2 {
            0 => dialled(&format!("{circuit}/p2p/{peer}")),
            _ => received(&circuit, &format!("/p2p/{peer}")),
        };
        (peer, endpoint)
    };
    let mut admits = |relay: PeerId, number: usize| {
        let (peer, endpoint) = by(relay, number);
        peers.connected(peer, ConnectionId::new_unchecked(number), (&endpoint, false))
    };
    assert_eq!((0..20).filter(|number| admits(relay, *number)).count(), CONNECTIONS_PER_RELAY);
    assert!(admits(other, 20), "another relay has its own");
}

#[test]
fn a_direct_connection_takes_the_place_of_a_relayed_one() {
    let (mut peers, peer) = (Peers::new(true), PeerId::random());
    let circuit = format!("/ip4/203.0.113.1/tcp/1/p2p/{}/p2p-circuit/p2p/{peer}", PeerId::random());
    assert!(connect(&mut peers, peer, 1, &circuit));
    assert!(peers.is_relayed(&peer) && peers.replaced(&peer).is_empty());
    assert!(connect(&mut peers, peer, 2, "/ip4/198.51.100.9/tcp/1"));
    assert!(!peers.is_relayed(&peer));
    assert_eq!(peers.replaced(&peer), [ConnectionId::new_unchecked(1)]);
    assert!(peers.connection(&peer, ConnectionId::new_unchecked(2)).is_some_and(|one| one.came_by_relay));
    assert!(!connect(&mut peers, peer, 3, &circuit), "a relayed one beside a direct one is of no use");
}

#[test]
fn a_relay_nearby_does_not_make_its_peers_neighbours() {
    let (mut peers, peer) = (Peers::new(true), PeerId::random());
    let circuit = format!("/ip4/192.168.1.1/tcp/1/p2p/{}/p2p-circuit/p2p/{peer}", PeerId::random());
    connect(&mut peers, peer, 1, &circuit);
    assert!(!peers.may_be_told(&peer, "/ip4/192.168.1.4/tcp/1"));
    assert!(peers.may_be_told(&peer, "/ip4/203.0.113.4/tcp/1"));
}

#[test]
fn an_address_group_has_a_limit_and_loopback_only_when_configured() {
    for (address, exempt, admitted) in [
        ("/ip4/192.0.2.1/tcp/1", true, CONNECTIONS_PER_ADDRESS_GROUP),
        ("/ip6/2001:db8:1::1/tcp/1", true, CONNECTIONS_PER_ADDRESS_GROUP),
        ("/ip4/127.0.0.1/tcp/1", true, 20),
        ("/ip4/127.0.0.1/tcp/1", false, CONNECTIONS_PER_ADDRESS_GROUP),
    ] {
        let mut peers = Peers::new(exempt);
        let admits = |number: &usize| connect(&mut peers, PeerId::random(), *number, address);
        assert_eq!((0..20).filter(admits).count(), admitted, "{address}");
        let friend = ConnectionId::new_unchecked(20);
        assert!(peers.connected(PeerId::random(), friend, (&dialled(address), true)), "{address}");
    }
}

#[test]
fn who_holds_a_range_is_one_group_and_machines_of_the_local_network_are_not() {
    let group = |ip: &str| Group::of(ip.parse().expect("an IP address"), true);
    assert_eq!(group("192.0.2.1"), group("192.0.2.200"));
    assert_ne!(group("192.0.2.1"), group("192.0.3.1"));
    assert_eq!(group("2001:db8:1:2::1"), group("2001:db8:1:3::1"));
    assert_ne!(group("192.168.1.1"), group("192.168.1.2"));
    assert_eq!(group("127.0.0.1"), None);
}

#[test]
fn addresses_of_a_machine_or_a_home_network_stay_there() {
    let (far, near, here) = (PeerId::random(), PeerId::random(), PeerId::random());
    let mut peers = Peers::new(true);
    connect(&mut peers, far, 1, "/ip4/198.51.100.9/tcp/1");
    connect(&mut peers, near, 2, "/ip4/192.168.1.9/tcp/1");
    connect(&mut peers, here, 3, "/ip4/127.0.0.1/tcp/1");
    for (address, told) in [
        ("/ip4/203.0.113.5/tcp/1", [true, true, true]),
        ("/ip4/192.168.1.4/tcp/1", [false, true, true]),
        ("/ip4/127.0.0.1/tcp/9", [false, false, true]),
        ("/dns4/example.org/tcp/9", [false, false, false]),
    ] {
        assert_eq!([far, near, here].map(|peer| peers.may_be_told(&peer, address)), told, "{address}");
    }
}

#[test]
fn conduct_is_charged_to_where_a_peer_comes_from() {
    let from = |address: &str| Origin::of(&dialled(address)).expect("it names a place");
    assert_eq!(from("/ip4/198.51.100.9/tcp/1"), from("/ip4/198.51.100.200/tcp/2"));
    assert_ne!(from("/ip4/198.51.100.9/tcp/1"), from("/ip4/198.51.101.9/tcp/1"));
    assert_ne!(from("/ip4/127.0.0.1/tcp/1"), from("/ip4/127.0.1.1/tcp/1"));
    assert_eq!(from("/ip6/2001:db8:1:2::1/tcp/1"), from("/ip6/2001:db8:1:3::1/tcp/1"));
    assert_ne!(from("/ip6/2001:db8:1::1/tcp/1"), from("/ip6/2001:db8:2::1/tcp/1"));
    let relay = PeerId::random();
    let circuit = format!("/ip4/127.0.0.1/tcp/1/p2p/{relay}/p2p-circuit");
    let (out, inward) = (from(&format!("{circuit}/p2p/{relay}")), received(&circuit, "/ip4/192.0.2.1"));
    assert_eq!((Some(out), Origin::of(&inward)), (Some(Origin::Relay(relay)), Some(out)));

    let mut peers = Peers::new(true);
    for (number, address) in [(2, "198.51.100.1"), (1, "198.51.100.2"), (3, "203.0.113.1")] {
        connect(&mut peers, PeerId::random(), number, &format!("/ip4/{address}/tcp/1"));
    }
    let standing = peers.from(from("/ip4/198.51.100.77/tcp/1"));
    assert_eq!(standing, [1, 2].map(ConnectionId::new_unchecked));
}

#[test]
fn who_is_in_the_same_network_is_a_neighbour_and_who_is_on_this_machine_is_not() {
    for (address, is_near) in
        [("192.168.1.9", true), ("10.0.0.4", true), ("127.0.0.1", false), ("198.51.100.9", false)]
    {
        let (mut peers, peer) = (Peers::new(true), PeerId::random());
        connect(&mut peers, peer, 1, &format!("/ip4/{address}/tcp/1"));
        assert_eq!(peers.is_neighbour(&peer), is_near, "{address}");
    }
}

#[test]
fn a_peer_is_gone_with_its_last_connection() {
    let (mut peers, peer) = (Peers::new(true), PeerId::random());
    connect(&mut peers, peer, 1, "/ip4/127.0.0.1/tcp/1");
    connect(&mut peers, peer, 2, "/ip4/127.0.0.1/tcp/1");
    assert!(!peers.disconnected(peer, ConnectionId::new_unchecked(1)));
    assert!(peers.disconnected(peer, ConnectionId::new_unchecked(2)));
    assert!(!peers.is_connected(&peer));
}
