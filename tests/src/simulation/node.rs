//! One node: the real state machines and a set of record numbers.

use std::collections::{BTreeMap, BTreeSet};

use propagule_files::clock::Moment;
use propagule_network::spread::{AuthorQuota, Book, Dice, GossipQuota, Ledger, SeededDice, Spread, Stage};
use propagule_network::sync::{Allowances, Pull, Schedule};
use propagule_network::timing::Timing;
use propagule_protocol::RecordId;

use super::events::Name;
use super::liars::Lie;
use super::records::{Bits, Set};

/// Bytes of answers that a node gives all peers together in a second.
const LINE: u64 = 1 << 20;

/// What a node is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    Honest,
    Liar(Lie),
}

/// A session that pulls from a peer.
pub(super) struct Session {
    pub(super) number: u64,
    pub(super) pull: Pull,
    /// What the peer had when it began.
    pub(super) theirs: Bits,
}

pub(super) struct Node {
    pub(super) role: Role,
    pub(super) is_online: bool,
    pub(super) is_always_on: bool,
    /// How many months its clock is ahead.
    pub(super) months_ahead: i32,
    pub(super) set: Set,
    /// Outbox as its store remembers it.
    pub(super) outbox: BTreeMap<RecordId, Stage>,
    pub(super) book: Book<Name>,
    pub(super) spread: Spread<Name>,
    pub(super) schedule: Schedule<Name>,
    /// Each node of a simulation comes from a place of its own.
    pub(super) ledger: Ledger<Name, Name>,
    pub(super) allowances: Allowances<Name>,
    pub(super) gossip_quota: GossipQuota<Name>,
    pub(super) authors: AuthorQuota,
    pub(super) links: BTreeSet<Name>,
    pub(super) sessions: BTreeMap<Name, Session>,
    pub(super) dice: SeededDice,
    pub(super) secret: u64,
}

impl Node {
    pub(super) fn new(role: Role, timing: &Timing, dice: &mut SeededDice) -> Self {
        let secret = dice.roll();
        Self {
            role,
            is_online: false,
            is_always_on: dice.below(10) == 0,
            months_ahead: 0,
            set: Set::default(),
            outbox: BTreeMap::new(),
            book: Book::default(),
            spread: Spread::new(*timing, secret, Box::new(SeededDice(dice.roll()))),
            schedule: Schedule::new(*timing),
            ledger: Ledger::new(timing.block),
            allowances: Allowances::new(LINE),
            gossip_quota: GossipQuota::default(),
            authors: AuthorQuota::default(),
            links: BTreeSet::new(),
            sessions: BTreeMap::new(),
            dice: SeededDice(dice.roll()),
            secret,
        }
    }

    pub(super) fn is_honest(&self) -> bool {
        !matches!(self.role, Role::Liar(_))
    }

    /// Starts anew, as a process does: what was in memory only is gone, the outbox is read again.
    pub(super) fn start(&mut self, timing: &Timing, now: Moment) {
        self.is_online = true;
        let guards = self.spread.guards().clone();
        self.spread =
            Spread::new(*timing, self.secret, Box::new(SeededDice(self.dice.roll()))).guarded(guards);
        self.schedule = Schedule::new(*timing);
        self.spread.load(self.outbox.iter().map(|(id, stage)| (*id, *stage)), now);
    }
}
