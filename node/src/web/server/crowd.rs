//! Who is connected to a listener: as many as it has room for, and whoever has been idle longest makes way.

use std::collections::BTreeMap;
use std::net::IpAddr;
use std::sync::Arc;
use std::time::{Duration, Instant};

use tokio::sync::Notify;

/// How many may be connected.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room {
    /// In all.
    pub(super) all: usize,
    /// From one address.
    pub(super) an_address: usize,
}

/// How long a connection may be idle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Patience {
    /// From its beginning to the end of the first request's head.
    pub(super) first_request: Duration,
    /// After an answer: for the reader to take it, and to ask again.
    pub(super) idle: Duration,
}

/// Connections of one listener.
#[derive(Debug)]
pub(super) struct Crowd {
    room: Room,
    patience: Patience,
    next: u64,
    here: BTreeMap<u64, Place>,
}

#[derive(Debug)]
struct Place {
    address: IpAddr,
    /// Since when it has nothing to wait for; none while its request is answered.
    idle_since: Option<Instant>,
    has_asked: bool,
    leave: Arc<Notify>,
}

impl Crowd {
    pub(super) fn new(room: Room, patience: Patience) -> Self {
        Self { room, patience, next: 0, here: BTreeMap::new() }
    }

    /// Lets a connection in: its number, and what tells it to leave. None where every place is taken by one whose
    /// request is being answered.
    pub(super) fn admit(&mut self, address: IpAddr, now: Instant) -> Option<(u64, Arc<Notify>)> {
        let of_address = self.here.values().filter(|place| place.address == address).count();
        if of_address >= self.room.an_address {
            self.send_away(|place| place.address == address)?;
        } else if self.here.len() >= self.room.all {
            self.send_away(|_| true)?;
        }
        let (number, leave) = (self.next, Arc::new(Notify::new()));
        self.next += 1;
        let place = Place { address, idle_since: Some(now), has_asked: false, leave: Arc::clone(&leave) };
        self.here.insert(number, place);
        Some((number, leave))
    }

    fn send_away(&mut self, which: impl Fn(&Place) -> bool) -> Option<()> {
        let idle = self.here.iter().filter(|(_, place)| which(place));
        let (_, number) = idle.filter_map(|(number, place)| Some((place.idle_since?, *number))).min()?;
        self.here.remove(&number)?.leave.notify_one();
        Some(())
    }

    /// Its request is being answered.
    pub(super) fn begin_answer(&mut self, number: u64) {
        if let Some(place) = self.here.get_mut(&number) {
            place.idle_since = None;
            place.has_asked = true;
        }
    }

    /// Its request was answered.
    pub(super) fn end_answer(&mut self, number: u64, now: Instant) {
        if let Some(place) = self.here.get_mut(&number) {
            place.idle_since = Some(now);
        }
    }

    /// Until when it may stay idle; none while its request is answered.
    pub(super) fn may_stay_until(&self, number: u64) -> Option<Instant> {
        let place = self.here.get(&number)?;
        let patience = if place.has_asked { self.patience.idle } else { self.patience.first_request };
        Some(place.idle_since? + patience)
    }

    /// It has ended.
    pub(super) fn remove(&mut self, number: u64) {
        self.here.remove(&number);
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const PATIENCE: Patience =
        Patience { first_request: Duration::from_secs(5), idle: Duration::from_secs(30) };

    fn address(number: u8) -> IpAddr {
        IpAddr::from([192, 0, 2, number])
    }

    fn is_told(leave: &Notify) -> bool {
        futures::FutureExt::now_or_never(leave.notified()).is_some()
    }

    #[test]
    fn the_longest_idle_makes_way_and_nobody_who_is_being_answered() {
        let mut crowd = Crowd::new(Room { all: 3, an_address: 3 }, PATIENCE);
        let begun = Instant::now();
        let at = |second| begun + Duration::from_secs(second);
        let all: Vec<_> = (0..3).map(|n| crowd.admit(address(1), at(n)).expect("room")).collect();
        crowd.begin_answer(all[0].0);
        assert!(crowd.admit(address(1), at(4)).is_some(), "an idle one makes way");
        assert_eq!(all.iter().map(|(_, leave)| is_told(leave)).collect::<Vec<_>>(), [false, true, false]);
        for number in [2, 3] {
            crowd.begin_answer(number);
        }
        assert!(crowd.admit(address(2), at(5)).is_none(), "all are being answered");
        crowd.end_answer(all[0].0, at(6));
        assert!(crowd.admit(address(2), at(7)).is_some());
        assert!(is_told(&all[0].1));
    }

    #[test]
    fn who_never_asks_has_less_time_than_who_has_asked() {
        let mut crowd = Crowd::new(Room { all: 2, an_address: 2 }, PATIENCE);
        let now = Instant::now();
        let (number, _) = crowd.admit(address(1), now).expect("room");
        assert_eq!(crowd.may_stay_until(number), Some(now + PATIENCE.first_request));
        crowd.begin_answer(number);
        assert_eq!(crowd.may_stay_until(number), None);
        crowd.end_answer(number, now);
        assert_eq!(crowd.may_stay_until(number), Some(now + PATIENCE.idle));
    }

    proptest! {
        /// Whatever comes and goes, no more are here than there is room for, and whoever is let go of is told.
        #[test]
        fn there_are_never_more_than_there_is_room_for(
            steps in prop::collection::vec((0u8..4, 0u8..6, 0usize..12), 0..200),
            all in 1usize..8,
            an_address in 1usize..8,
        ) {
            let mut crowd = Crowd::new(Room { all, an_address }, PATIENCE);
            let begun = Instant::now();
            let mut known: Vec<(u64, Arc<Notify>, bool)> = Vec::new();
            for (second, (step, from, which)) in (0..).zip(steps) {
                let now = begun + Duration::from_secs(second);
                let of = known.len().checked_sub(1).map(|last| which.min(last));
                match (step, of) {
                    (0, _) => known.extend(crowd.admit(address(from), now).map(|(n, leave)| (n, leave, false))),
                    (1, Some(of)) => crowd.begin_answer(known[of].0),
                    (2, Some(of)) => crowd.end_answer(known[of].0, now),
                    (3, Some(of)) => {
                        crowd.remove(known[of].0);
                        known[of].2 = true;
                    }
                    _ => {}
                }
                prop_assert!(crowd.here.len() <= all);
                for number in 0..6 {
                    let of_it = crowd.here.values().filter(|place| place.address == address(number)).count();
                    prop_assert!(of_it <= an_address);
                }
            }
            for (number, leave, is_gone) in known {
                prop_assert!(crowd.here.contains_key(&number) || is_gone || is_told(&leave));
            }
        }
    }
}
