//! When to pull from which connected peer. With several connected, each is asked in its turn, so that one
//! that hides records is found out by the others.

use std::collections::BTreeMap;
use std::time::Duration;

use super::Outcome;
use crate::clock::{Moment, Timing};
use crate::limits::SESSIONS;
use crate::spread::PeerName;

#[derive(Clone, Copy, Debug)]
struct Turn {
    next: Moment,
    back_off: Duration,
    is_running: bool,
}

/// The turns of all connected peers.
#[derive(Clone, Debug)]
pub struct Schedule<P> {
    timing: Timing,
    turns: BTreeMap<P, Turn>,
}

impl<P: PeerName> Schedule<P> {
    /// Nobody is connected.
    pub fn new(timing: Timing) -> Self {
        Self { timing, turns: BTreeMap::new() }
    }

    /// A peer is connected; its turn is now.
    pub fn met(&mut self, peer: P, now: Moment) {
        let turn = Turn { next: now, back_off: self.timing.back_off, is_running: false };
        self.turns.entry(peer).or_insert(turn);
    }

    /// A peer is gone.
    pub fn gone(&mut self, peer: &P) {
        self.turns.remove(peer);
    }

    /// Every peer's turn is now.
    pub fn hurry(&mut self, now: Moment) {
        self.turns.values_mut().for_each(|turn| turn.next = turn.next.min(now));
    }

    /// Peers to begin a session with now, as many as may run at once; they count as running.
    pub fn due(&mut self, now: Moment) -> Vec<P> {
        let running = self.turns.values().filter(|turn| turn.is_running).count();
        let waits = |turn: &Turn| !turn.is_running && turn.next <= now;
        let mut waiting: Vec<(Moment, P)> = self
            .turns
            .iter()
            .filter(|(_, turn)| waits(turn))
            .map(|(peer, turn)| (turn.next, *peer))
            .collect();
        waiting.sort_unstable();
        waiting.truncate(SESSIONS.saturating_sub(running));
        for (_, peer) in &waiting {
            self.turns.entry(*peer).and_modify(|turn| turn.is_running = true);
        }
        waiting.into_iter().map(|(_, peer)| peer).collect()
    }

    /// Plans the next session after one has ended.
    ///
    /// A session that brought something goes on after the ordinary gap, since budgets may have cut it
    /// short; one that brought nothing and did not end well backs off, each time twice as long.
    pub fn over(&mut self, peer: P, outcome: Outcome, now: Moment) {
        let timing = self.timing;
        let Some(turn) = self.turns.get_mut(&peer) else { return };
        turn.is_running = false;
        let wait = if outcome.is_complete || (outcome.came > 0 && !outcome.is_peer_at_fault) {
            turn.back_off = timing.back_off;
            timing.session_gap
        } else {
            let wait = turn.back_off;
            turn.back_off = (wait * 2).min(timing.back_off_limit);
            wait
        };
        turn.next = now.plus(wait);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn at_most_four_sessions_run_and_failures_back_off_twice_as_long_each_time() {
        let mut schedule = Schedule::new(Timing::home());
        let start = Moment(1_000_000);
        (0..10).for_each(|peer| schedule.met(peer, start));
        let running = schedule.due(start);
        assert_eq!((running.len(), schedule.due(start).len()), (SESSIONS, 0));
        (0..10).filter(|peer| *peer != running[0]).for_each(|peer| schedule.gone(&peer));
        let mut at = start;
        for wait in [600, 1_200, 2_400] {
            schedule.over(running[0], Outcome::default(), at);
            assert!(schedule.due(at.plus(Duration::from_secs(wait - 1))).is_empty());
            at = at.plus(Duration::from_secs(wait));
            assert_eq!(schedule.due(at), [running[0]]);
        }
    }

    #[test]
    fn every_connected_peer_is_asked_in_its_turn() {
        let timing = Timing::home();
        let mut schedule = Schedule::new(timing);
        (0..10).for_each(|peer| schedule.met(peer, Moment(0)));
        let (mut asked, mut now) = (BTreeMap::<u32, u32>::new(), Moment(0));
        for _ in 0..300 {
            for peer in schedule.due(now) {
                *asked.entry(peer).or_default() += 1;
                schedule.over(peer, Outcome { is_complete: true, ..Outcome::default() }, now);
            }
            now = now.plus(timing.session_gap / 10);
        }
        assert_eq!(asked.len(), 10);
        assert!(asked.values().all(|times| *times >= 29), "{asked:?}");
    }

    #[test]
    fn hurrying_brings_every_turn_forward() {
        let mut schedule = Schedule::new(Timing::home());
        schedule.met(1, Moment(0));
        schedule.due(Moment(0));
        schedule.over(1, Outcome { is_complete: true, ..Outcome::default() }, Moment(0));
        assert!(schedule.due(Moment(1)).is_empty());
        schedule.hurry(Moment(1));
        assert_eq!(schedule.due(Moment(1)), [1]);
    }
}
