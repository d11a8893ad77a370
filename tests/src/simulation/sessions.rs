//! Pulling sessions between nodes, message by message.

use std::time::Duration;

use propagule_network::limits::{FRAME_BYTES, RECONCILE_BYTES, REPLY_TIME, ROUNDS};
use propagule_network::spread::{Dice, Offence};
use propagule_network::sync::{
    Admission, Asked, Budget, Decline, Familiarity, Outcome, Pull, Question, Receipt, Reply, Step,
};

use super::events::{Event, Name};
use super::node::{Role, Session};
use super::records::{View, number_in};
use super::world::{NETWORK, World};
use super::{liars, records};

/// How often a node looks whether sessions are due.
const LOOK: Duration = Duration::from_hours(3);

impl World {
    pub(super) fn begin_sessions(&mut self, name: Name) {
        let node = &mut self.nodes[name as usize];
        if !node.is_online || !node.is_honest() {
            return;
        }
        let due = node.schedule.due(self.now);
        if !due.is_empty() {
            self.plan(name, self.settings.timing.head_start, Event::Sessions);
        }
        for peer in due {
            let (pull, question) = Pull::start(NETWORK, Budget::DIRECT);
            let node = &self.nodes[name as usize];
            let pull = pull.shunning(node.ledger.shunned(peer, self.now));
            self.figures.sessions += 1;
            let number = self.figures.sessions;
            let theirs = self.nodes[peer as usize].set.visible.clone();
            self.nodes[name as usize].sessions.insert(peer, Session { number, pull, theirs });
            self.ask(name, peer, number, question);
        }
        if self.looked_at[name as usize] <= self.now {
            self.looked_at[name as usize] = self.now.plus(LOOK);
            self.plan(name, LOOK, Event::Sessions);
        }
    }

    fn ask(&mut self, name: Name, peer: Name, session: u64, question: Question) {
        if self.is_lost() || !self.can_talk(name, peer) {
            self.plan(name, REPLY_TIME, Event::Answered { by: peer, session, reply: None });
        } else {
            let wait = self.latency();
            self.plan(peer, wait, Event::Asked { by: name, session, question });
        }
    }

    pub(super) fn is_lost(&mut self) -> bool {
        let share = (self.settings.loss * 65_536.0) as u64;
        self.dice.below(65_536) < share
    }

    /// `name` is asked by `by`.
    pub(super) fn answer(&mut self, name: Name, by: Name, session: u64, question: &Question) {
        let month = self.month_at(name);
        let reply = match self.nodes[name as usize].role {
            _ if !self.can_talk(name, by) => None,
            Role::Liar(lie) => liars::answer(lie, question, month, &self.answerer, &mut self.dice),
            Role::Honest => Some(self.reply(name, by, question)),
        };
        let wait = if reply.is_none() || self.is_lost() { REPLY_TIME } else { self.latency() };
        let reply = reply.filter(|_| wait < REPLY_TIME);
        self.plan(by, wait, Event::Answered { by: name, session, reply });
    }

    /// What an honest node answers a stranger. The time that it takes has no part in it: here it takes none.
    fn reply(&mut self, name: Name, by: Name, question: &Question) -> Reply {
        let (node, now) = (&mut self.nodes[name as usize], self.now);
        let asked = Asked::new(question, Budget::DIRECT);
        match node.allowances.ask(by, Familiarity::Stranger, asked, now) {
            Admission::Answer(granted) => {
                let view = View { set: &node.set, records: &self.records };
                let reply = self.answerer.reply(question, &view, Budget::DIRECT);
                node.allowances.answered(&by, granted, reply.bytes() as u64, Duration::ZERO, now);
                reply
            }
            Admission::Wait { wait, is_impatient } => {
                self.figures.put_off += 1;
                if is_impatient {
                    self.charge(name, by, Offence::Impatient, 1);
                }
                let seconds = wait.as_millis().div_ceil(1_000);
                Reply::Declined(Decline::OverBudget(u32::try_from(seconds).unwrap_or(u32::MAX)))
            }
        }
    }

    /// `name` has got an answer of `by`, or none in time.
    pub(super) fn answered(&mut self, name: Name, by: Name, session: u64, reply: Option<Reply>) {
        let node = &mut self.nodes[name as usize];
        let Some(mut running) = node.sessions.remove(&by).filter(|running| running.number == session) else {
            return;
        };
        let Some(reply) = reply else {
            let outcome = running.pull.outcome();
            self.session_over(name, by, &running, outcome);
            return;
        };
        let view = View { set: &node.set, records: &self.records };
        let mut step = running.pull.answer(reply, &view).expect("memory does not fail");
        if let Step::Take(bytes) = step {
            let receipts: Vec<_> = bytes.iter().map(|bytes| self.take(name, bytes)).collect();
            let view = View { set: &self.nodes[name as usize].set, records: &self.records };
            step = running.pull.taken(&receipts, &view).expect("memory does not fail");
        }
        match step {
            Step::Ask(question) => {
                self.nodes[name as usize].sessions.insert(by, running);
                self.ask(name, by, session, question);
            }
            Step::Done(outcome) => self.session_over(name, by, &running, outcome),
            Step::Take(_) => unreachable!("what was taken is followed by a question or the end"),
        }
    }

    fn take(&mut self, name: Name, bytes: &[u8]) -> Receipt {
        let Some(number) = number_in(bytes) else { return Receipt::Failed };
        if self.take_in(name, number) {
            self.figures.by_exchange += 1;
        }
        Receipt::Kept
    }

    fn session_over(&mut self, name: Name, peer: Name, session: &Session, outcome: Outcome) {
        let is_peer_honest = self.nodes[peer as usize].is_honest();
        let node = &mut self.nodes[name as usize];
        node.schedule.over(peer, outcome, self.now);
        self.figures.reconcile_bytes += outcome.reconcile_bytes as u64;
        if !is_peer_honest {
            let is_within =
                outcome.rounds <= ROUNDS + 1 && outcome.reconcile_bytes <= RECONCILE_BYTES + 2 * FRAME_BYTES;
            self.figures.over_budget += u64::from(!is_within);
            self.figures.liar_bytes_most = self.figures.liar_bytes_most.max(outcome.reconcile_bytes);
        }
        for id in session.pull.failed() {
            node.ledger.shun(peer, *id, self.now);
        }
        if let Some((offence, times)) = outcome.offence {
            self.charge(name, peer, offence, times);
        } else if outcome.is_complete && is_peer_honest {
            self.figures.met += 1;
            let lacking = self.nodes[name as usize].set.known.lacks(&session.theirs);
            self.figures.unequal += u64::from(lacking > 0);
        }
        self.plan(name, Duration::from_secs(1), Event::Sessions);
    }

    /// Takes a record in as the gate does; says whether it is new.
    pub(super) fn take_in(&mut self, name: Name, number: records::Number) -> bool {
        let Some(record) = self.records.get(number).copied() else { return false };
        let is_due = record.month <= self.month_at(name).plus(propagule_network::limits::MONTHS_AHEAD);
        let set = &mut self.nodes[name as usize].set;
        let is_new = set.known.put(number);
        if is_due && is_new {
            set.show(number, &record);
        } else if is_new {
            self.aside[name as usize].push(number);
        }
        is_new
    }
}
