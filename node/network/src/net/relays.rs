//! Places at relays: which connected peers relay, and at which of them this node keeps a place.

use std::collections::BTreeMap;
use std::time::Duration;

use libp2p::core::transport::ListenerId;
use libp2p::{Multiaddr, PeerId};

use crate::limits::RELAYS_SOUGHT;
use propagule_files::clock::Moment;

/// A connected peer that relays.
#[derive(Debug)]
struct Relay {
    address: Multiaddr,
    next_try: Moment,
    place: Option<(ListenerId, bool)>,
}

/// All connected peers that relay.
#[derive(Debug, Default)]
pub(super) struct Relays {
    known: BTreeMap<PeerId, Relay>,
}

impl Relays {
    /// A peer says that it relays, and is reached at this address.
    pub(super) fn found(&mut self, peer: PeerId, address: Multiaddr) {
        self.known.entry(peer).or_insert(Relay { address, next_try: Moment(0), place: None });
    }

    /// A peer is gone, or does not relay any more.
    pub(super) fn lost(&mut self, peer: &PeerId) -> Option<ListenerId> {
        self.known.remove(peer)?.place.map(|(listener, _)| listener)
    }

    /// At whom to ask for a place now.
    pub(super) fn due(&self, now: Moment) -> Option<(PeerId, Multiaddr)> {
        let taken = self.known.values().filter(|relay| relay.place.is_some()).count();
        let mut free = self.known.iter().filter(|(_, relay)| relay.place.is_none() && relay.next_try <= now);
        let (peer, relay) = free.next().filter(|_| taken < RELAYS_SOUGHT)?;
        Some((*peer, relay.address.clone()))
    }

    /// A place was asked for.
    pub(super) fn asked(&mut self, peer: &PeerId, listener: ListenerId) {
        if let Some(relay) = self.known.get_mut(peer) {
            relay.place = Some((listener, false));
        }
    }

    /// A place was given.
    pub(super) fn given(&mut self, peer: &PeerId) {
        if let Some((_, is_given)) = self.known.get_mut(peer).and_then(|relay| relay.place.as_mut()) {
            *is_given = true;
        }
    }

    /// A place was refused or has ended; the same relay is asked again only after a while.
    pub(super) fn ended(&mut self, listener: ListenerId, now: Moment, patience: Duration) {
        let held = |relay: &&mut Relay| relay.place.is_some_and(|(one, _)| one == listener);
        if let Some(relay) = self.known.values_mut().find(held) {
            relay.place = None;
            relay.next_try = now.plus(patience);
        }
    }

    /// All places, given up.
    pub(super) fn give_up(&mut self) -> Vec<ListenerId> {
        self.known.values_mut().filter_map(|relay| relay.place.take()).map(|(listener, _)| listener).collect()
    }

    /// Relays at which this node has a place.
    pub(super) fn places(&self) -> impl Iterator<Item = PeerId> + '_ {
        let given = |relay: &Relay| relay.place.is_some_and(|(_, is_given)| is_given);
        self.known.iter().filter(move |(_, relay)| given(relay)).map(|(peer, _)| *peer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_places_are_kept_and_a_relay_that_refuses_is_left_alone_for_a_while() {
        let mut relays = Relays::default();
        let address: Multiaddr = "/ip4/203.0.113.1/tcp/1".parse().expect("an address");
        let patience = Duration::from_mins(1);
        (0..5).for_each(|_| relays.found(PeerId::random(), address.clone()));
        let mut asked = Vec::new();
        while let Some((peer, _)) = relays.due(Moment(0)) {
            let listener = ListenerId::next();
            relays.asked(&peer, listener);
            asked.push((peer, listener));
        }
        assert_eq!(asked.len(), RELAYS_SOUGHT);
        assert_eq!(relays.places().count(), 0, "asked is not given");
        relays.given(&asked[0].0);
        assert_eq!(relays.places().collect::<Vec<_>>(), [asked[0].0]);
        relays.ended(asked[1].1, Moment(0), patience);
        let next = relays.due(Moment(0)).expect("there are others");
        assert_ne!(next.0, asked[1].0);
        assert_eq!(relays.lost(&asked[0].0), Some(asked[0].1));
        assert_eq!(relays.places().count(), 0);
    }
}
