//! One session of pulling from a peer: a state machine that is fed replies and says what to ask next.

use std::collections::{BTreeSet, HashSet, VecDeque};

use negentropy::{Id, Negentropy, NegentropyStorageVector};
use propagule_protocol::Month;
use propagule_protocol::{AuthorKey, NetworkId, RecordId};

use super::lane::Lane;
use super::{Budget, Decline, LocalSet, MonthRow, Question, Reply, month_vector};
use crate::admission::AuthorRange;
use crate::limits::{RECONCILE_BYTES, ROUNDS, ROUNDS_WITHOUT_PROGRESS, SESSION_RECORDS};
use crate::spread::Offence;
use propagule_files::journal::StoreError;

/// What to do next.
#[derive(Debug)]
pub enum Step {
    /// Ask the peer.
    Ask(Question),
    /// Take these bytes in, all of which were asked for, then call [`Pull::taken`].
    Take(Vec<Vec<u8>>),
    /// The session is over.
    Done(Outcome),
}

/// What became of a record that was asked for and came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Receipt {
    /// It is here now.
    Kept,
    /// It is good, and there is no room for it here.
    Left,
    /// It failed a check.
    Failed,
}

/// How a session ended.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Outcome {
    /// All months that the peer showed agree now, as far as the peer delivered and this home takes records in.
    pub is_complete: bool,
    /// What the peer did that it must not do, and how often.
    pub offence: Option<(Offence, u32)>,
    /// Seconds that the peer wants to be left alone for.
    pub again_after: Option<u32>,
    /// Round trips of reconciliation.
    pub rounds: u32,
    /// Bytes of reconciliation messages, both ways.
    pub reconcile_bytes: usize,
    /// Records asked for.
    pub wanted: usize,
    /// Records asked for that came.
    pub came: usize,
    /// Records of the peer that this home does not take in today.
    pub left: usize,
    /// Records of the peer that are asked of others, since it delivered a false one under that id.
    pub shunned: usize,
    /// Records asked for that did not come.
    pub missing: usize,
}

impl Outcome {
    /// Whether the peer broke the protocol. A record that it has lost since it offered it breaks nothing.
    pub fn is_peer_at_fault(&self) -> bool {
        self.offence.is_some_and(|(offence, _)| offence != Offence::Withheld)
    }
}

#[derive(Debug)]
enum Stage {
    Months,
    Reconciling(Month, NegentropyStorageVector, u32),
    Fetching,
    Heads(Vec<AuthorKey>),
    OfAuthor(AuthorKey, Option<RecordId>),
}

/// A session in progress.
#[derive(Debug)]
pub struct Pull {
    network: NetworkId,
    budget: Budget,
    /// Bytes of months, frames and records so far.
    moved: usize,
    stage: Stage,
    /// The authors that this home keeps; those that both keep, once the peer has said which it keeps.
    range: AuthorRange,
    lane: Lane,
    months: VecDeque<Month>,
    wants: VecDeque<RecordId>,
    wanted: HashSet<RecordId>,
    asked: BTreeSet<RecordId>,
    /// What came of that and is being taken in, in its order.
    delivered: Vec<RecordId>,
    /// Records that the peer delivered and that failed, in this session or before.
    shunned: HashSet<RecordId>,
    /// Records that this home does not take in today.
    left: HashSet<RecordId>,
    failed: Vec<RecordId>,
    offered: Vec<RecordId>,
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
            range: AuthorRange::EVERYBODY,
            lane: Lane::default(),
            months: VecDeque::new(),
            wants: VecDeque::new(),
            wanted: HashSet::new(),
            asked: BTreeSet::new(),
            delivered: Vec::new(),
            shunned: HashSet::new(),
            left: HashSet::new(),
            failed: Vec::new(),
            offered: Vec::new(),
            network,
            is_cut_short: false,
            outcome: Outcome::default(),
        };
        (pull, Question::Months(network))
    }

    /// Begins a session of a home that keeps the authors of one range, and others that it knows by name.
    ///
    /// What both homes keep is reconciled; of the authors that it knows and no common range holds, what it lacks is asked
    /// for by author.
    pub fn start_within(
        network: NetworkId,
        budget: Budget,
        range: AuthorRange,
        known: impl IntoIterator<Item = AuthorKey>,
    ) -> (Self, Question) {
        let (pull, _) = Self::start(network, budget);
        (Self { range, lane: Lane::new(known), ..pull }, Question::MonthsWithin(network, range))
    }

    /// Leaves out records that were had from this peer before and failed.
    #[must_use]
    pub fn shunning(mut self, ids: impl IntoIterator<Item = RecordId>) -> Self {
        self.shunned.extend(ids);
        self
    }

    /// Leaves out records that this home does not take in today, whoever has them.
    #[must_use]
    pub fn leaving(mut self, ids: impl IntoIterator<Item = RecordId>) -> Self {
        self.left.extend(ids);
        self
    }

    /// Records that the peer delivered in this session and that failed.
    pub fn failed(&self) -> &[RecordId] {
        &self.failed
    }

    /// Records that are known here but in no set, and that the peer has in its own: what is hidden here is public there.
    pub fn offered(&self) -> &[RecordId] {
        &self.offered
    }

    /// Feeds the peer's reply.
    ///
    /// # Errors
    /// Only of the local store; whatever the peer does is an outcome.
    pub fn answer(&mut self, reply: Reply, set: &(impl LocalSet + ?Sized)) -> Result<Step, StoreError> {
        match (std::mem::replace(&mut self.stage, Stage::Fetching), reply) {
            (Stage::Months, Reply::Months(rows)) => {
                self.moved += rows.len() * size_of::<MonthRow>();
                // Of the first version: all of it is compared, and nobody is asked for by name.
                self.range = AuthorRange::EVERYBODY;
                self.lane.clear();
                self.months = differing(&set.months(), &rows);
                self.next(set)
            }
            (Stage::Months, Reply::MonthsWithin(rows, theirs)) => {
                self.moved += rows.len() * size_of::<MonthRow>();
                let common = self.range.meet(theirs);
                self.lane.beyond(common);
                if let Some(common) = common {
                    self.range = common;
                    self.months = differing(&set.months_within(common)?, &rows);
                }
                self.next(set)
            }
            (Stage::Heads(asked), Reply::Heads(heads)) if heads.len() == asked.len() => {
                self.lane.told(asked, &heads, set)?;
                self.next(set)
            }
            (Stage::OfAuthor(author, after), Reply::OfAuthor(ids)) => self.listed((author, after), ids, set),
            (Stage::Reconciling(month, vector, idle), Reply::Reconcile(frame)) => {
                self.reconciled(month, vector, idle, &frame, set)
            }
            (Stage::Fetching, Reply::Records(records)) => Ok(self.delivered(records, set)),
            (_, Reply::Declined(Decline::OverBudget(seconds))) => {
                self.outcome.again_after = Some(seconds);
                Ok(self.done(false))
            }
            (_, Reply::Declined(_)) => Ok(self.done(false)),
            _ => Ok(self.blame(Offence::Garbled, 1)),
        }
    }

    /// What was not asked for costs one hash: the session ends before anything is verified.
    fn delivered(&mut self, records: Vec<Vec<u8>>, set: &(impl LocalSet + ?Sized)) -> Step {
        self.moved += records.iter().map(Vec::len).sum::<usize>();
        let mut left = self.asked.clone();
        self.delivered.clear();
        for record in &records {
            match set.id_of(record, &self.network) {
                Some(id) if left.remove(&id) => self.delivered.push(id),
                _ => return self.blame(Offence::Unasked, 1),
            }
        }
        Step::Take(records)
    }

    /// Tells what became of the records of the last [`Step::Take`], in its order.
    ///
    /// When nothing that was asked for came, the rest of that question is dropped. A record that failed ends the
    /// session; it is for others to deliver.
    pub fn taken(
        &mut self,
        receipts: &[Receipt],
        set: &(impl LocalSet + ?Sized),
    ) -> Result<Step, StoreError> {
        let before = self.asked.len();
        for (id, receipt) in self.delivered.drain(..).zip(receipts) {
            self.asked.remove(&id);
            match receipt {
                Receipt::Kept => self.outcome.came += 1,
                Receipt::Left => self.outcome.left += 1,
                Receipt::Failed => self.failed.push(id),
            }
        }
        if !self.failed.is_empty() {
            let times = u32::try_from(self.failed.len()).unwrap_or(u32::MAX);
            return Ok(self.blame(Offence::Forged, times));
        }
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
        let missing = u32::try_from(self.outcome.missing).unwrap_or(u32::MAX);
        let withheld = (missing > 0).then_some((Offence::Withheld, missing));
        Outcome { offence: self.outcome.offence.or(withheld), ..self.outcome }
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
                if let Some(question) = self.next_by_name() {
                    return Ok(Step::Ask(question));
                }
                return Ok(self.done(self.outcome.missing == 0 && self.outcome.shunned == 0));
            };
            let vector = month_vector(set, month, self.range)?;
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
        Ok(Step::Ask(if self.range == AuthorRange::EVERYBODY {
            Question::Reconcile(month, frame)
        } else {
            Question::ReconcileWithin(month, frame, self.range)
        }))
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
        let Ok(next_frame) = answered else { return Ok(self.blame(Offence::Garbled, 1)) };
        let fresh = self.want(need, set)?;
        let idle = if fresh { 0 } else { idle + 1 };
        match next_frame {
            // The rest of the month is gone through anew once these have come.
            Some(_) if fresh && self.budget.session.is_some() => {
                self.months.push_front(month);
                self.next(set)
            }
            Some(_) if idle >= ROUNDS_WITHOUT_PROGRESS => Ok(self.blame(Offence::Endless, 1)),
            Some(frame) => self.send(month, vector, idle, frame, set),
            None => self.next(set),
        }
    }

    /// Queues ids that are not known here, and says whether there were any.
    fn want(&mut self, need: Vec<Id>, set: &(impl LocalSet + ?Sized)) -> Result<bool, StoreError> {
        let before = self.wants.len();
        for id in need {
            let id = RecordId(id.to_bytes());
            if set.knows(&id)? {
                if set.bytes(&id)?.is_none() {
                    self.offered.push(id);
                }
                continue;
            }
            if self.left.contains(&id) {
                self.outcome.left += usize::from(self.wanted.insert(id));
            } else if self.shunned.contains(&id) {
                // It is wanted, only not from this peer.
                self.outcome.shunned += usize::from(self.wanted.insert(id));
            } else if self.wanted.insert(id) {
                self.wants.push_back(id);
            }
        }
        let fresh = self.wants.len() - before;
        self.outcome.wanted += fresh;
        Ok(fresh > 0)
    }

    fn done(&mut self, is_complete: bool) -> Step {
        self.outcome.is_complete = is_complete;
        Step::Done(self.outcome())
    }

    fn blame(&mut self, offence: Offence, times: u32) -> Step {
        self.outcome.offence = Some((offence, times));
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

#[path = "by_name.rs"]
mod by_name;
#[cfg(test)]
#[path = "pull_tests.rs"]
mod tests;
