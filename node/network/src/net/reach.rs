//! From where this node can be reached, as far as peers have shown it.

use std::collections::{BTreeSet, HashMap, HashSet};
use std::net::IpAddr;

use libp2p::Multiaddr;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::address::{AddressGroup, Reach, ip_of, is_relayed, reach_of};
use super::peers::Connection;
use crate::limits::{CANDIDATES, WITNESSES};

/// From where others reach a node.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ReachedFrom {
    /// Nobody has tried yet.
    #[default]
    NotKnown,
    /// It listens on this machine only.
    Machine,
    /// A peer from outside tried and did not come through; who shares the local network does.
    LocalNetwork,
    /// By way of a peer that relays.
    Relay,
    /// At a public address that was tried.
    Anywhere,
}

/// What is known of the addresses of this node.
#[derive(Debug, Default)]
pub(super) struct Reached {
    /// Addresses that it listens on.
    listening: Vec<Multiaddr>,
    /// Public addresses that were tried.
    confirmed: BTreeSet<Multiaddr>,
    /// Addresses at relays.
    relayed: BTreeSet<Multiaddr>,
    /// Who reached this node at an address.
    witnesses: HashMap<Multiaddr, HashSet<AddressGroup>>,
    /// A peer tried and did not come through.
    was_in_vain: bool,
}

impl Reached {
    pub(super) fn listening(&self) -> &[Multiaddr] {
        &self.listening
    }

    /// Public addresses that were tried, and then those at relays.
    pub(super) fn external(&self) -> impl Iterator<Item = &Multiaddr> {
        self.confirmed.iter().chain(&self.relayed)
    }

    pub(super) fn is_public(&self) -> bool {
        !self.confirmed.is_empty()
    }

    /// Whether others could be let in by a relay: some peer tried in vain, and this node is not kept to its
    /// machine.
    pub(super) fn wants_relay(&self) -> bool {
        self.was_in_vain && !self.is_public() && !self.is_kept_to_machine()
    }

    fn is_kept_to_machine(&self) -> bool {
        self.listening.iter().all(|address| reach_of(address) == Some(Reach::Machine))
    }

    pub(super) fn standing(&self) -> ReachedFrom {
        if self.is_public() {
            ReachedFrom::Anywhere
        } else if !self.relayed.is_empty() {
            ReachedFrom::Relay
        } else if self.is_kept_to_machine() {
            ReachedFrom::Machine
        } else if self.was_in_vain {
            ReachedFrom::LocalNetwork
        } else {
            ReachedFrom::NotKnown
        }
    }

    /// Addresses that a friend can use: what the world reaches, then what the local network does, and this
    /// machine's own only where there is no other.
    pub(super) fn to_hand_out(&self, most: usize) -> Vec<&Multiaddr> {
        let near = |wanted| self.listening.iter().filter(move |address| reach_of(address) == Some(wanted));
        let mut all: Vec<&Multiaddr> = self.confirmed.iter().collect();
        all.extend(near(Reach::World));
        all.extend(&self.relayed);
        all.extend(near(Reach::Neighbourhood));
        if all.is_empty() {
            all.extend(near(Reach::Machine));
        }
        let mut seen = HashSet::new();
        all.retain(|address| seen.insert(*address));
        all.truncate(most);
        all
    }

    /// Notes an address to listen on. What a relay says it listens on for us is its own word, and left out.
    pub(super) fn listens(&mut self, address: &Multiaddr) -> bool {
        let is_new = !is_relayed(address) && !self.listening.contains(address);
        if is_new {
            self.listening.push(address.clone());
        }
        is_new
    }

    /// Notes that an address is gone; says whether this machine has moved to another network by it, and then
    /// nothing that was tried holds any more.
    pub(super) fn listens_no_more(&mut self, address: &Multiaddr) -> Option<Vec<Multiaddr>> {
        let before = self.listening.len();
        self.listening.retain(|one| one != address);
        if self.listening.len() == before || reach_of(address) == Some(Reach::Machine) {
            return None;
        }
        self.witnesses.clear();
        self.was_in_vain = false;
        Some(std::mem::take(&mut self.confirmed).into_iter().collect())
    }

    /// An address that was tried, by whatever way.
    pub(super) fn is_confirmed(&mut self, address: Multiaddr) {
        if is_relayed(&address) {
            self.relayed.insert(address);
        } else if reach_of(&address) == Some(Reach::World) {
            self.confirmed.insert(address);
        }
    }

    pub(super) fn expired(&mut self, address: &Multiaddr) {
        self.confirmed.remove(address);
        self.relayed.remove(address);
    }

    pub(super) fn tried_in_vain(&mut self) {
        self.was_in_vain = true;
    }

    /// A peer says at which address it reached this node; says whether that can be believed now.
    ///
    /// One that came from outside to a public address of this machine is proof. Behind a router the address
    /// is only what the peer says, so that peers in different address groups must say the same. A
    /// connection that a relay helped to make proves nothing.
    pub(super) fn witnessed(&mut self, connection: &Connection, address: &Multiaddr) -> bool {
        let (Some(from), Some(at)) = (connection.ip, connection.received_at) else { return false };
        let is_from_outside = Reach::of(from) == Reach::World && reach_of(address) == Some(Reach::World);
        if !is_from_outside
            || connection.came_by_relay
            || is_relayed(address)
            || self.confirmed.contains(address)
        {
            return false;
        }
        if ip_of(address) == Some(at) && self.listening.contains(address) {
            return true;
        }
        let is_room = self.witnesses.len() < CANDIDATES as usize || self.witnesses.contains_key(address);
        if is_room {
            self.witnesses.entry(address.clone()).or_default().insert(AddressGroup::of(from));
        }
        let own_group = |ip: IpAddr| AddressGroup::of(ip);
        let is_own = ip_of(address).map(own_group) == Some(AddressGroup::of(from));
        !is_own && self.witnesses.get(address).is_some_and(|all| all.len() >= WITNESSES)
    }
}

#[cfg(test)]
#[path = "reach_tests.rs"]
mod tests;
