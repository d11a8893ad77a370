//! One session of pulling from a peer: a state machine that is fed replies and says what to ask next.

use std::collections::{BTreeSet, HashSet, VecDeque};

use negentropy::{Id, Negentropy, NegentropyStorageVector};
use propagule_protocol::Month;
use propagule_protocol::{NetworkId, RecordId};

use super::{Budget, LocalSet, MonthRow, Question, Reply, month_vector};
use crate::limits::{RECONCILE_BYTES, ROUNDS, ROUNDS_WITHOUT_PROGRESS, SESSION_RECORDS};
use propagule_files::journal::StoreError;

/// What to do next.
#[derive(Debug)]
pub enum Step {
    /// Ask the peer.
    Ask(Question),
    /// Take these bytes in, then call [`Pull::taken`].
    Take(Vec<Vec<u8>>),
    /// The session is over.
    Done(Outcome),
}

/// How a session ended.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Outcome {
    /// All months that the peer showed agree now, as far as the peer delivered.
    pub is_complete: bool,
    /// The peer broke the protocol or never converged.
    pub is_peer_at_fault: bool,
    /// Round trips of reconciliation.
    pub rounds: u32,
    /// Bytes of reconciliation messages, both ways.
    pub reconcile_bytes: usize,
    /// Records asked for.
    pub wanted: usize,
    /// Records asked for that came.
    pub came: usize,
    /// Records asked for that did not come.
    pub missing: usize,
}

#[derive(Debug)]
enum Stage {
    Months,
    Reconciling(Month, NegentropyStorageVector, u32),
    Fetching,
}

/// A session in progress.
#[derive(Debug)]
pub struct Pull {
    budget: Budget,
    /// Bytes of months, frames and records so far.
    moved: usize,
    stage: Stage,
    months: VecDeque<Month>,
    wants: VecDeque<RecordId>,
    wanted: HashSet<RecordId>,
    asked: BTreeSet<RecordId>,
    /// A budget is used up: what is wanted already is still fetched, the next session goes on.
    is_cut_short: bool,
    outcome: Outcome,
}

impl Pull {
    /// Begins a session with a peer of the same network.
    pub fn start(network: NetworkId, budget: Budget) -> (Self, Question) {
        let pull = Self {
            budget,
            moved: 0,
            stage: Stage::Months,
            months: VecDeque::new(),
            wants: VecDeque::new(),
            wanted: HashSet::new(),
            asked: BTreeSet::new(),
            is_cut_short: false,
            outcome: Outcome::default(),
        };
        (pull, Question::Months(network))
    }

    /// Feeds the peer's reply.
    ///
    /// # Errors
    /// Only of the local store; whatever the peer does is an outcome.
    pub fn answer(&mut self, reply: Reply, set: &(impl LocalSet + ?Sized)) -> Result<Step, StoreError> {
        match (std::mem::replace(&mut self.stage, Stage::Fetching), reply) {
            (Stage::Months, Reply::Months(rows)) => {
                self.moved += rows.len() * size_of::<MonthRow>();
                self.months = differing(&set.months(), &rows);
                self.next(set)
            }
            (Stage::Reconciling(month, vector, idle), Reply::Reconcile(frame)) => {
                self.reconciled(month, vector, idle, &frame, set)
            }
            (Stage::Fetching, Reply::Records(records)) => {
                self.moved += records.iter().map(Vec::len).sum::<usize>();
                Ok(Step::Take(records))
            }
            (_, Reply::Declined(_)) => Ok(self.done(false)),
            _ => Ok(self.blame()),
        }
    }

    /// Tells which records came out of the bytes of the last [`Step::Take`].
    ///
    /// Records that were not asked for do not count; when nothing that was asked for came, the rest
    /// of that question is dropped.
    pub fn taken(&mut self, came: &[RecordId], set: &(impl LocalSet + ?Sized)) -> Result<Step, StoreError> {
        let before = self.asked.len();
        for id in came {
            self.asked.remove(id);
        }
        self.outcome.came += before - self.asked.len();
        if self.asked.len() == before {
            self.outcome.missing += self.asked.len();
            self.asked.clear();
        }
        // What did not fit into one reply is asked for again, first.
        for id in std::mem::take(&mut self.asked).into_iter().rev() {
            self.wants.push_front(id);
        }
        self.next(set)
    }

    /// What the session has come to so far.
    pub fn outcome(&self) -> Outcome {
        self.outcome
    }

    fn next(&mut self, set: &(impl LocalSet + ?Sized)) -> Result<Step, StoreError> {
        loop {
            if self.budget.is_spent(self.moved) && (!self.wants.is_empty() || !self.months.is_empty()) {
                return Ok(self.done(false));
            }
            if !self.wants.is_empty() {
                let count = self.wants.len().min(self.budget.fetch_ids);
                let ids: Vec<RecordId> = self.wants.drain(..count).collect();
                self.asked = ids.iter().copied().collect();
                self.moved += ids.len() * size_of::<RecordId>();
                self.stage = Stage::Fetching;
                return Ok(Step::Ask(Question::Fetch(ids)));
            }
            if self.is_cut_short || self.is_over_budget(0) {
                return Ok(self.done(false));
            }
            let Some(month) = self.months.pop_front() else {
                return Ok(self.done(self.outcome.missing == 0));
            };
            let vector = month_vector(set, month)?;
            let started = negotiator(&vector, self.budget).and_then(|mut side| side.initiate());
            let Ok(frame) = started else { continue };
            return self.send(month, vector, 0, frame, set);
        }
    }

    /// Whether one more round with a frame of so many bytes would be too much for one session.
    fn is_over_budget(&self, bytes: usize) -> bool {
        self.outcome.wanted >= SESSION_RECORDS
            || self.outcome.rounds >= ROUNDS
            || self.outcome.reconcile_bytes + bytes > RECONCILE_BYTES
    }

    fn send(
        &mut self,
        month: Month,
        vector: NegentropyStorageVector,
        idle: u32,
        frame: Vec<u8>,
        set: &(impl LocalSet + ?Sized),
    ) -> Result<Step, StoreError> {
        if self.is_over_budget(frame.len()) {
            self.is_cut_short = true;
            return self.next(set);
        }
        self.outcome.rounds += 1;
        self.outcome.reconcile_bytes += frame.len();
        self.moved += frame.len();
        self.stage = Stage::Reconciling(month, vector, idle);
        Ok(Step::Ask(Question::Reconcile(month, frame)))
    }

    fn reconciled(
        &mut self,
        month: Month,
        vector: NegentropyStorageVector,
        idle: u32,
        frame: &[u8],
        set: &(impl LocalSet + ?Sized),
    ) -> Result<Step, StoreError> {
        self.outcome.reconcile_bytes += frame.len();
        self.moved += frame.len();
        let (mut have, mut need) = (Vec::new(), Vec::new());
        let answered = negotiator(&vector, self.budget).and_then(|mut side| {
            side.set_initiator();
            side.reconcile_with_ids(frame, &mut have, &mut need)
        });
        // What the peer seems to lack is not pushed: one lying frame could claim that it lacks all.
        drop(have);
        let Ok(next_frame) = answered else { return Ok(self.blame()) };
        let fresh = self.want(need, set)?;
        let idle = if fresh { 0 } else { idle + 1 };
        match next_frame {
            // The rest of the month is gone through anew once these have come.
            Some(_) if fresh && self.budget.session.is_some() => {
                self.months.push_front(month);
                self.next(set)
            }
            Some(_) if idle >= ROUNDS_WITHOUT_PROGRESS => Ok(self.blame()),
            Some(frame) => self.send(month, vector, idle, frame, set),
            None => self.next(set),
        }
    }

    /// Queues ids that are not known here, and says whether there were any.
    fn want(&mut self, need: Vec<Id>, set: &(impl LocalSet + ?Sized)) -> Result<bool, StoreError> {
        let before = self.wants.len();
        for id in need {
            let id = RecordId(id.to_bytes());
            if !set.knows(&id)? && self.wanted.insert(id) {
                self.wants.push_back(id);
            }
        }
        let fresh = self.wants.len() - before;
        self.outcome.wanted += fresh;
        Ok(fresh > 0)
    }

    fn done(&mut self, is_complete: bool) -> Step {
        self.outcome.is_complete = is_complete;
        Step::Done(self.outcome)
    }

    fn blame(&mut self) -> Step {
        self.outcome.is_peer_at_fault = true;
        self.done(false)
    }
}

fn negotiator(
    vector: &NegentropyStorageVector,
    budget: Budget,
) -> Result<Negentropy<'_, NegentropyStorageVector>, negentropy::Error> {
    Negentropy::borrowed(vector, budget.frame as u64)
}

/// Months in which the peer has records and its fingerprint is not ours, newest first.
fn differing(ours: &[MonthRow], theirs: &[MonthRow]) -> VecDeque<Month> {
    let differs = |row: &&MonthRow| row.count > 0 && !ours.contains(row);
    let months: BTreeSet<Month> = theirs.iter().filter(differs).map(|row| row.month).collect();
    months.into_iter().rev().collect()
}

#[cfg(test)]
#[path = "pull_tests.rs"]
mod tests;
