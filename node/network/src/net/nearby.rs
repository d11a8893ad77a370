//! Nodes that announce themselves in the local network.

use std::collections::{BTreeMap, BTreeSet};

use libp2p::{Multiaddr, PeerId};

use super::address::{Reach, is_relayed, reach_of};
use crate::limits::NEARBY;

/// Addresses of the local network that nodes announced.
#[derive(Debug, Default)]
pub(super) struct Nearby {
    known: BTreeMap<PeerId, BTreeSet<Multiaddr>>,
    /// Addresses announced and not expired, also those left out.
    announced: usize,
}

impl Nearby {
    /// Takes in what was announced; false when somebody floods.
    ///
    /// Addresses elsewhere are left out: an announcement could send all nodes of a network to a victim.
    pub(super) fn found(&mut self, own: PeerId, announced: Vec<(PeerId, Multiaddr)>) -> bool {
        self.announced += announced.len();
        if self.announced > NEARBY {
            self.known.clear();
            return false;
        }
        let is_near =
            |address: &Multiaddr| !is_relayed(address) && reach_of(address) == Some(Reach::Neighbourhood);
        for (peer, address) in
            announced.into_iter().filter(|(peer, address)| *peer != own && is_near(address))
        {
            self.known.entry(peer).or_default().insert(address);
        }
        true
    }

    pub(super) fn expired(&mut self, gone: Vec<(PeerId, Multiaddr)>) {
        self.announced = self.announced.saturating_sub(gone.len());
        for (peer, address) in gone {
            let Some(addresses) = self.known.get_mut(&peer) else { continue };
            addresses.remove(&address);
            if addresses.is_empty() {
                self.known.remove(&peer);
            }
        }
    }

    /// A node is of another network, or another program's.
    pub(super) fn forget(&mut self, peer: &PeerId) {
        self.known.remove(peer);
    }

    /// Everybody nearby, with addresses.
    pub(super) fn all(&self) -> impl Iterator<Item = (PeerId, Vec<Multiaddr>)> + '_ {
        self.known.iter().map(|(peer, addresses)| (*peer, addresses.iter().cloned().collect()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn announced(address: &str) -> (PeerId, Multiaddr) {
        (PeerId::random(), address.parse().expect("an address"))
    }

    #[test]
    fn only_nodes_of_the_local_network_are_taken_up() {
        let (mut nearby, own) = (Nearby::default(), PeerId::random());
        let near = announced("/ip4/192.168.1.9/tcp/48620");
        let mut list = vec![near.clone(), (own, near.1.clone())];
        list.extend(
            ["/ip4/203.0.113.9/tcp/80", "/ip4/127.0.0.1/tcp/22", "/dns4/router/tcp/80"].map(announced),
        );
        assert!(nearby.found(own, list));
        assert_eq!(nearby.all().collect::<Vec<_>>(), [(near.0, vec![near.1.clone()])]);
        nearby.expired(vec![near]);
        assert_eq!(nearby.all().count(), 0);
    }

    #[test]
    fn who_floods_is_noticed_and_nothing_of_it_is_kept() {
        let (mut nearby, own) = (Nearby::default(), PeerId::random());
        let one = || announced("/ip4/192.168.1.9/tcp/48620");
        assert!(nearby.found(own, (0..NEARBY).map(|_| one()).collect()));
        assert!(!nearby.found(own, vec![one()]));
        assert_eq!(nearby.all().count(), 0);
        let mut calm = Nearby::default();
        for _ in 0..10 {
            let many: Vec<_> = (0..NEARBY).map(|_| one()).collect();
            assert!(calm.found(own, many.clone()), "what expires makes room");
            calm.expired(many);
        }
    }
}
