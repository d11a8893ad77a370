//! What peers say of this node's addresses, honest and not.

use libp2p::core::ConnectedPoint;
use libp2p::swarm::ConnectionId;
use libp2p::{Multiaddr, PeerId};

use super::super::peers::{Connection, Peers};
use super::*;

const OUTSIDE: &str = "/ip4/203.0.113.7/tcp/48620";

fn address(text: &str) -> Multiaddr {
    text.parse().expect("an address")
}

/// A connection from `remote` that came in at `local`; by a relay first, where asked for.
fn came(local: &str, remote: &str, by_relay: bool) -> Connection {
    let (mut peers, peer, id) = (Peers::new(true), PeerId::random(), ConnectionId::new_unchecked(2));
    if by_relay {
        let circuit = address(&format!("{OUTSIDE}/p2p/{}/p2p-circuit", PeerId::random()));
        let send_back_addr = address(&format!("/p2p/{peer}"));
        let relayed = ConnectedPoint::Listener { local_addr: circuit, send_back_addr };
        assert!(peers.connected(peer, ConnectionId::new_unchecked(1), (&relayed, false)));
    }
    let endpoint = ConnectedPoint::Listener { local_addr: address(local), send_back_addr: address(remote) };
    assert!(peers.connected(peer, id, (&endpoint, false)));
    peers.connection(&peer, id).expect("it was just made")
}

fn at_home() -> Reached {
    let mut reached = Reached::default();
    reached.listens(&address("/ip4/127.0.0.1/tcp/48620"));
    reached.listens(&address("/ip4/192.168.1.4/tcp/48620"));
    reached
}

#[test]
fn behind_a_router_two_peers_in_different_places_must_say_the_same() {
    let mut reached = at_home();
    let from =
        |number: usize| came("/ip4/192.168.1.4/tcp/48620", &format!("/ip4/198.51.100.{number}/tcp/5"), false);
    for number in 1..WITNESSES {
        assert!(!reached.witnessed(&from(number), &address(OUTSIDE)));
        assert!(!reached.witnessed(&from(number), &address(OUTSIDE)), "one who repeats itself is still one");
    }
    let last = from(WITNESSES);
    assert!(!reached.witnessed(&last, &address("/ip4/203.0.113.9/tcp/1")), "they say different things");
    assert!(reached.witnessed(&last, &address(OUTSIDE)));
}

#[test]
fn at_a_public_address_of_the_machine_who_came_is_proof() {
    let mut reached = at_home();
    reached.listens(&address(OUTSIDE));
    let peer = came(OUTSIDE, "/ip4/198.51.100.1/tcp/5", false);
    assert!(!reached.witnessed(&peer, &address("/ip4/203.0.113.7/tcp/80")), "not an address it listens on");
    assert!(reached.witnessed(&peer, &address(OUTSIDE)));
}

#[test]
fn what_a_relay_helped_to_make_what_is_near_and_what_is_relayed_proves_nothing() {
    let local = "/ip4/192.168.1.4/tcp/48620";
    for (remote, by_relay, said) in [
        ("/ip4/198.51.100.1/tcp/5", true, OUTSIDE),
        ("/ip4/192.168.1.9/tcp/5", false, OUTSIDE),
        ("/ip4/198.51.100.1/tcp/5", false, "/ip4/192.168.1.4/tcp/48620"),
    ] {
        let mut reached = at_home();
        for _ in 0..3 {
            assert!(!reached.witnessed(&came(local, remote, by_relay), &address(said)), "{remote} {said}");
        }
        assert!(reached.witnesses.is_empty());
    }
}

#[test]
fn whoever_names_addresses_without_end_fills_nothing() {
    let mut reached = at_home();
    for number in 0..CANDIDATES * 3 {
        let peer = came("/ip4/192.168.1.4/tcp/48620", "/ip4/198.51.100.1/tcp/5", false);
        reached.witnessed(&peer, &address(&format!("/ip4/203.0.113.7/tcp/{}", 1_000 + number)));
    }
    assert_eq!(reached.witnesses.len(), CANDIDATES as usize);
}

#[test]
fn the_standing_follows_what_was_shown() {
    let mut reached = Reached::default();
    reached.listens(&address("/ip4/127.0.0.1/tcp/48620"));
    reached.tried_in_vain();
    assert_eq!((reached.standing(), reached.wants_relay()), (ReachedFrom::Machine, false));
    let mut reached = at_home();
    assert_eq!((reached.standing(), reached.wants_relay()), (ReachedFrom::NotKnown, false));
    reached.tried_in_vain();
    assert_eq!((reached.standing(), reached.wants_relay()), (ReachedFrom::LocalNetwork, true));
    let relayed = address(&format!("{OUTSIDE}/p2p/{}/p2p-circuit", PeerId::random()));
    reached.is_confirmed(relayed.clone());
    assert_eq!(reached.standing(), ReachedFrom::Relay);
    reached.is_confirmed(address(OUTSIDE));
    assert_eq!((reached.standing(), reached.wants_relay()), (ReachedFrom::Anywhere, false));
    assert_eq!(reached.listens_no_more(&address("/ip4/127.0.0.1/tcp/48620")), None);
    let stale = reached.listens_no_more(&address("/ip4/192.168.1.4/tcp/48620"));
    assert_eq!(stale, Some(vec![address(OUTSIDE)]), "in another network nothing tried holds");
    reached.expired(&relayed);
    assert!(!reached.is_public());
}

#[test]
fn an_invite_names_what_others_can_use_and_the_machine_only_alone() {
    let mut reached = Reached::default();
    let here = address("/ip4/127.0.0.1/tcp/48620");
    reached.listens(&here);
    assert_eq!(reached.to_hand_out(6), [&here]);
    let near = address("/ip4/192.168.1.4/tcp/48620");
    reached.listens(&near);
    assert_eq!(reached.to_hand_out(6), [&near]);
    let relayed = address(&format!("{OUTSIDE}/p2p/{}/p2p-circuit", PeerId::random()));
    assert!(!reached.listens(&relayed), "what a relay says it listens on is its own word");
    reached.is_confirmed(relayed.clone());
    reached.is_confirmed(address(OUTSIDE));
    assert_eq!(reached.to_hand_out(6), [&address(OUTSIDE), &relayed, &near]);
    assert_eq!(reached.to_hand_out(2).len(), 2);
}
