//! When to pull from which connected peer. With several connected, each is asked in its turn, so that one
//! that hides records is found out by the others.
//!
//! A few peers that had nothing new are enough for a while: a node with many links that asked each of them whenever
//! it started would mostly be told what it knows.

use std::collections::{BTreeMap, VecDeque};
use std::time::Duration;

use super::Outcome;
use crate::limits::{IN_STEP_SESSIONS, SESSIONS};
use crate::spread::PeerName;
use crate::timing::Timing;
use propagule_files::clock::Moment;

#[derive(Clone, Copy, Debug)]
struct Turn {
    next: Moment,
    back_off: Duration,
    running_since: Option<Moment>,
    /// Asked for by the grower, whatever others have said.
    is_hurried: bool,
}

/// The turns of all connected peers.
#[derive(Clone, Debug)]
pub struct Schedule<P> {
    timing: Timing,
    turns: BTreeMap<P, Turn>,
    /// Ends of the sessions within the last gap that found nothing to fetch.
    in_step: VecDeque<Moment>,
}

impl<P: PeerName> Schedule<P> {
    /// Nobody is connected.
    pub fn new(timing: Timing) -> Self {
        Self { timing, turns: BTreeMap::new(), in_step: VecDeque::new() }
    }

    /// A peer is connected; its turn is now.
    pub fn met(&mut self, peer: P, now: Moment) {
        let turn = Turn { next: now, back_off: self.timing.back_off, running_since: None, is_hurried: false };
        self.turns.entry(peer).or_insert(turn);
    }

    /// A peer is gone.
    pub fn gone(&mut self, peer: &P) {
        self.turns.remove(peer);
    }

    /// Every peer's turn is now, however many have had nothing new.
    pub fn hurry(&mut self, now: Moment) {
        for turn in self.turns.values_mut() {
            turn.next = turn.next.min(now);
            turn.is_hurried = true;
        }
    }

    /// Peers to begin a session with now, as many as may run at once; they count as running.
    pub fn due(&mut self, now: Moment) -> Vec<P> {
        let running = self.turns.values().filter(|turn| turn.running_since.is_some()).count();
        let mut wanted =
            if self.is_one_ahead(now) { 0 } else { self.wanted(now).saturating_sub(running).min(1) };
        let waits =
            |turn: &Turn| turn.running_since.is_none() && turn.next <= now && (turn.is_hurried || wanted > 0);
        let mut waiting: Vec<(Moment, P, bool)> = self
            .turns
            .iter()
            .filter(|(_, turn)| waits(turn))
            .map(|(peer, turn)| (turn.next, *peer, turn.is_hurried))
            .collect();
        waiting.sort_unstable();
        waiting.retain(|(.., is_hurried)| {
            let is_taken = *is_hurried || wanted > 0;
            wanted = wanted.saturating_sub(1);
            is_taken
        });
        waiting.truncate(SESSIONS.saturating_sub(running));
        for (_, peer, _) in &waiting {
            self.turns.entry(*peer).and_modify(|turn| {
                turn.running_since = Some(now);
                turn.is_hurried = false;
            });
        }
        waiting.into_iter().map(|(_, peer, _)| peer).collect()
    }

    /// Whether a session has just begun, that brings what another would bring too.
    fn is_one_ahead(&self, now: Moment) -> bool {
        let mut begun = self.turns.values().filter_map(|turn| turn.running_since);
        begun.any(|begun| now < begun.plus(self.timing.head_start))
    }

    /// Sessions that must still find nothing new before it is enough for this gap.
    fn wanted(&mut self, now: Moment) -> usize {
        let gap = self.timing.in_step_gap;
        while self.in_step.front().is_some_and(|ended| ended.plus(gap) <= now) {
            self.in_step.pop_front();
        }
        IN_STEP_SESSIONS.saturating_sub(self.in_step.len())
    }

    /// Plans the next session after one has ended.
    ///
    /// A session that brought something goes on after the ordinary gap, since budgets may have cut it
    /// short, or when the peer has said that it may; one that found nothing new waits much longer, and one that
    /// brought nothing and did not end well backs off, each time twice as long.
    pub fn over(&mut self, peer: P, outcome: Outcome, now: Moment) {
        let timing = self.timing;
        let is_in_step = outcome.is_complete && outcome.wanted == 0;
        if is_in_step {
            self.in_step.push_back(now);
        }
        let Some(turn) = self.turns.get_mut(&peer) else { return };
        turn.running_since = None;
        let is_well = outcome.is_complete || (outcome.came > 0 && !outcome.is_peer_at_fault());
        let wait = if is_in_step {
            turn.back_off = timing.back_off;
            timing.in_step_gap
        } else if is_well || outcome.again_after.is_some() {
            turn.back_off = timing.back_off;
            let asked_for = Duration::from_secs(outcome.again_after.unwrap_or(0).into());
            timing.session_gap.max(asked_for.min(timing.back_off_limit))
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
    fn a_second_session_runs_beside_a_slow_one_and_failures_back_off_twice_as_long_each_time() {
        let timing = Timing::home();
        let mut schedule = Schedule::new(timing);
        let start = Moment(1_000_000);
        (0..10).for_each(|peer| schedule.met(peer, start));
        let begun_after = |schedule: &mut Schedule<i32>, wait| schedule.due(start.plus(wait));
        let running = schedule.due(start);
        let before = timing.head_start.checked_sub(Duration::from_millis(1)).expect("it is longer");
        assert_eq!((running.len(), begun_after(&mut schedule, before).len()), (1, 0));
        assert_eq!(begun_after(&mut schedule, timing.head_start).len(), IN_STEP_SESSIONS - 1);
        assert!(begun_after(&mut schedule, timing.head_start * 2).is_empty(), "and no third");
        (0..10).filter(|peer| *peer != running[0]).for_each(|peer| schedule.gone(&peer));
        let mut at = start;
        for wait in [600, 1_200, 2_400] {
            schedule.over(running[0], Outcome::default(), at);
            assert!(schedule.due(at.plus(Duration::from_secs(wait - 1))).is_empty());
            at = at.plus(Duration::from_secs(wait));
            assert_eq!(schedule.due(at), [running[0]]);
        }
    }

    const NOTHING_NEW: Outcome = Outcome {
        is_complete: true,
        offence: None,
        again_after: None,
        rounds: 0,
        reconcile_bytes: 0,
        wanted: 0,
        came: 0,
        left: 0,
        shunned: 0,
        missing: 0,
    };

    /// Runs ten peers for thirty gaps of such a length and counts how often each was asked.
    fn asked_of_ten(outcome: Outcome, gap: Duration) -> Vec<u32> {
        let timing = Timing::home();
        let mut schedule = Schedule::new(timing);
        (0..10).for_each(|peer| schedule.met(peer, Moment(0)));
        let (mut asked, mut now) = (vec![0; 10], Moment(0));
        for _ in 0..300 {
            for peer in schedule.due(now) {
                asked[peer as usize] += 1;
                schedule.over(peer, outcome, now);
            }
            now = now.plus(gap / 10);
        }
        asked
    }

    #[test]
    fn every_connected_peer_is_asked_in_its_turn_and_a_few_without_news_are_enough_for_a_while() {
        let news = Outcome { wanted: 1, came: 1, ..NOTHING_NEW };
        let Timing { session_gap, in_step_gap, .. } = Timing::home();
        assert!(session_gap * 10 < in_step_gap);
        assert!(asked_of_ten(news, session_gap).iter().all(|times| *times >= 29));
        let quiet = asked_of_ten(NOTHING_NEW, in_step_gap);
        assert_eq!(quiet, [30 * IN_STEP_SESSIONS as u32 / 10; 10]);
    }

    #[test]
    fn whoever_asks_for_time_gets_it_and_no_more_than_the_longest_back_off() {
        let timing = Timing::home();
        let longest = u32::try_from(timing.back_off_limit.as_secs()).expect("it is a day");
        for (seconds, wait) in
            [(1, timing.session_gap), (90, Duration::from_secs(90)), (u32::MAX, timing.back_off_limit)]
        {
            let mut schedule = Schedule::new(timing);
            schedule.met(1, Moment(0));
            schedule.due(Moment(0));
            let outcome = Outcome { again_after: Some(seconds.min(longest * 2)), ..Outcome::default() };
            schedule.over(1, outcome, Moment(0));
            let before = wait.checked_sub(Duration::from_millis(1)).expect("it is longer");
            assert!(schedule.due(Moment(0).plus(before)).is_empty(), "{seconds}");
            assert_eq!(schedule.due(Moment(0).plus(wait)), [1], "{seconds}");
        }
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

    #[test]
    fn hurrying_asks_all_however_many_had_nothing_new() {
        let mut schedule = Schedule::new(Timing::home());
        (0..7).for_each(|peer| schedule.met(peer, Moment(0)));
        for _ in 0..IN_STEP_SESSIONS {
            let peer = schedule.due(Moment(0))[0];
            schedule.over(peer, NOTHING_NEW, Moment(0));
        }
        assert!(schedule.due(Moment(1)).is_empty());
        schedule.hurry(Moment(1));
        assert_eq!(schedule.due(Moment(1)).len(), SESSIONS);
    }
}
