//! What each peer may have of this node: questions, bytes and time of answers, and its share of the line when many ask.
//! What is over that is not refused in silence: the peer is told when to ask again.

use std::collections::HashMap;
use std::time::Duration;

use super::{Budget, Question};
use crate::limits::{
    ALLOWANCE_SMALL_REPLY, ANSWER_TIME, ANSWER_TIME_REFILL, ANSWERED_BYTES, ANSWERED_BYTES_PER_SECOND,
    LANE_IDS, LINE_BYTES, QUESTIONS, QUESTIONS_PER_SECOND, REMEMBERED_PEERS, STREAMS_PER_PEER, TURN_KEPT,
    UNMATCHED_BYTES, UNMATCHED_RATIO, UNMATCHED_REFILL,
};
use crate::spread::{Bucket, PeerName, Rate, make_room};
use propagule_files::clock::Moment;
use propagule_protocol::RecordId;

/// How close a peer is to the grower.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Familiarity {
    /// Anybody.
    Stranger,
    /// Added or allowed by the grower, or in the same local network.
    Friend,
}

impl Familiarity {
    /// Of a limit for strangers and for friends, the one that holds.
    fn of<T>(self, (stranger, friend): (T, T)) -> T {
        match self {
            Self::Stranger => stranger,
            Self::Friend => friend,
        }
    }
}

/// A question, as far as it counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// Bytes of the question.
    pub bytes: u64,
    /// Bytes that are set aside for the answer; what it takes in the end is settled afterwards.
    pub most: u64,
    /// Whether it is a step of reconciling, whose answer can be far longer than the question.
    pub is_reconciling: bool,
}

impl Asked {
    /// A question that is answered within `budget`.
    pub fn new(question: &Question, budget: Budget) -> Self {
        let most = match question {
            Question::Reconcile(..) | Question::ReconcileWithin(..) => budget.frame,
            Question::OfAuthor(..) => LANE_IDS * (size_of::<RecordId>() + 2),
            Question::Fetch(ids) => budget.reply.min(ids.len() * propagule_protocol::limits::RECORD_BYTES),
            Question::Months(_)
            | Question::MonthsWithin(..)
            | Question::Heads(_)
            | Question::Stem { .. }
            | Question::Peers => 0,
        };
        Self {
            bytes: question.bytes() as u64,
            most: (most + ALLOWANCE_SMALL_REPLY) as u64,
            is_reconciling: matches!(question, Question::Reconcile(..) | Question::ReconcileWithin(..)),
        }
    }
}

/// An answer that may be given; what it took is settled by [`Allowances::answered`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[must_use]
pub struct Granted {
    familiarity: Familiarity,
    asked: Asked,
}

/// Whether a question is answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Admission {
    /// Now.
    Answer(Granted),
    /// Not before this long, which the peer is told.
    Wait {
        /// How long.
        wait: Duration,
        /// The peer had been told so already, and has asked more often since than can have been under way.
        is_impatient: bool,
    },
}

/// The rates that hold for a peer.
#[derive(Clone, Copy)]
struct Rates {
    questions: Rate,
    bytes: Rate,
    /// Of microseconds.
    time: Rate,
    unmatched: Rate,
    ratio: u64,
}

impl Rates {
    fn of(familiarity: Familiarity) -> Self {
        let micros = |time: Duration| u64::try_from(time.as_micros()).unwrap_or(u64::MAX);
        let rate = |burst, per_second| Rate::per_second(familiarity.of(burst), familiarity.of(per_second));
        let (time, refill) = (familiarity.of(ANSWER_TIME), familiarity.of(ANSWER_TIME_REFILL));
        Self {
            questions: rate(QUESTIONS, QUESTIONS_PER_SECOND),
            bytes: rate(ANSWERED_BYTES, ANSWERED_BYTES_PER_SECOND),
            time: Rate::per_second(micros(time), micros(refill)),
            unmatched: Rate::per_second(UNMATCHED_BYTES, UNMATCHED_BYTES / UNMATCHED_REFILL.as_secs()),
            ratio: familiarity.of(UNMATCHED_RATIO),
        }
    }
}

#[derive(Clone, Debug)]
struct Allowance {
    questions: Bucket,
    bytes: Bucket,
    time: Bucket,
    /// Bytes of reconciling that the peer's own bytes do not answer for.
    unmatched: Bucket,
    /// Until when it was told to wait, and how often it has asked since.
    told: Option<(Moment, usize)>,
    /// When its turn is on a line that many share.
    turn: Option<Moment>,
    looked_at: Moment,
}

impl Allowance {
    fn full(now: Moment) -> Self {
        let full = Bucket::full();
        Self {
            questions: full,
            bytes: full,
            time: full,
            unmatched: full,
            told: None,
            turn: None,
            looked_at: now,
        }
    }

    /// How long until its own buckets can pay.
    fn wait(&self, rates: &Rates, asked: Asked, now: Moment) -> Duration {
        let unmatched = if asked.is_reconciling {
            self.unmatched.wait(rates.unmatched, asked.most.saturating_sub(asked.bytes * rates.ratio), now)
        } else {
            Duration::ZERO
        };
        self.questions
            .wait(rates.questions, 1, now)
            .max(self.bytes.wait(rates.bytes, asked.most, now))
            .max(self.time.wait(rates.time, 1, now))
            .max(unmatched)
    }

    fn pay(&mut self, rates: &Rates, asked: Asked, now: Moment) {
        self.told = None;
        self.questions.spend(rates.questions, 1, now);
        self.bytes.spend(rates.bytes, asked.most, now);
        // Every byte asked answers for some of reconciling: what is found to be missing is asked for next.
        self.unmatched.give_back(rates.unmatched, asked.bytes * rates.ratio);
        if asked.is_reconciling {
            self.unmatched.spend(rates.unmatched, asked.most, now);
        }
    }
}

/// The allowances of all peers.
#[derive(Debug)]
pub struct Allowances<P> {
    line: Rate,
    /// What all peers together may have.
    all: Bucket,
    peers: HashMap<P, Allowance>,
    /// When the next turn begins that nobody has yet.
    next_turn: Moment,
}

impl<P: PeerName> Allowances<P> {
    /// All peers together may have `bytes_per_second` in the long run.
    pub fn new(bytes_per_second: u64) -> Self {
        let line = Rate::per_second(LINE_BYTES, bytes_per_second);
        Self { line, all: Bucket::full(), peers: HashMap::new(), next_turn: Moment(0) }
    }

    /// A peer asks; an answer that may be given is paid for.
    pub fn ask(&mut self, peer: P, familiarity: Familiarity, asked: Asked, now: Moment) -> Admission {
        make_room(&mut self.peers, REMEMBERED_PEERS, |one| one.looked_at);
        let rates = Rates::of(familiarity);
        let one = self.peers.entry(peer).or_insert_with(|| Allowance::full(now));
        one.looked_at = now;
        if let Some((until, since)) = one.told.as_mut().filter(|(until, _)| *until > now) {
            *since += 1;
            return Admission::Wait { wait: until.since(now), is_impatient: *since > STREAMS_PER_PEER };
        }
        let wait = one.wait(&rates, asked, now);
        let wait = if wait.is_zero() { self.wait_for_the_line(peer, asked, now) } else { wait };
        let Some(one) = self.peers.get_mut(&peer) else {
            return Admission::Wait { wait, is_impatient: false };
        };
        if wait.is_zero() {
            one.pay(&rates, asked, now);
            self.all.spend(self.line, asked.most, now);
            return Admission::Answer(Granted { familiarity, asked });
        }
        one.told = Some((now.plus(wait), 0));
        Admission::Wait { wait, is_impatient: false }
    }

    /// While the line is short each peer that waits has one turn, in the order in which they asked, so that all
    /// get as much of it.
    fn wait_for_the_line(&mut self, peer: P, asked: Asked, now: Moment) -> Duration {
        let turn = |one: &Allowance| one.turn.filter(|turn| now.since(*turn) < TURN_KEPT);
        if let Some(turn) = self.peers.get(&peer).and_then(turn) {
            if turn <= now
                && let Some(one) = self.peers.get_mut(&peer)
            {
                one.turn = None;
            }
            return turn.since(now);
        }
        let short = self.all.wait(self.line, asked.most, now);
        let is_waited_for = self.peers.values().any(|one| turn(one).is_some());
        if short.is_zero() && !is_waited_for {
            return Duration::ZERO;
        }
        let turn = now.plus(short).max(self.next_turn);
        self.next_turn = turn.plus(self.line.per * u32::try_from(asked.most).unwrap_or(u32::MAX));
        if let Some(one) = self.peers.get_mut(&peer).filter(|_| turn > now) {
            one.turn = Some(turn);
        }
        turn.since(now)
    }

    /// Settles what an answer took: its bytes, and the time that it took to make.
    pub fn answered(&mut self, peer: &P, granted: Granted, bytes: u64, time: Duration, now: Moment) {
        let (rates, asked) = (Rates::of(granted.familiarity), granted.asked);
        settle(&mut self.all, self.line, asked.most, bytes, now);
        let Some(one) = self.peers.get_mut(peer) else { return };
        settle(&mut one.bytes, rates.bytes, asked.most, bytes, now);
        if asked.is_reconciling {
            settle(&mut one.unmatched, rates.unmatched, asked.most, bytes, now);
        }
        one.time.spend(rates.time, u64::try_from(time.as_micros()).unwrap_or(u64::MAX), now);
    }
}

fn settle(bucket: &mut Bucket, rate: Rate, paid: u64, took: u64, now: Moment) {
    if took > paid {
        bucket.spend(rate, took - paid, now);
    } else {
        bucket.give_back(rate, paid - took);
    }
}

#[cfg(test)]
#[path = "allowance_tests.rs"]
mod tests;
