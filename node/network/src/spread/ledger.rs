//! Who misbehaved: one ledger for every protocol and both directions.
//!
//! Points are charged to a peer, and half of them to the group of addresses that it comes from, since a peer's name
//! costs nothing. They are forgotten after a while; with too many a peer is blocked, each time twice as long, and a
//! group gets one connection.

use std::collections::{HashMap, VecDeque};
use std::hash::Hash;
use std::time::Duration;

use propagule_protocol::RecordId;

use super::PeerName;
use super::quota::{Bucket, Rate, make_room};
use crate::limits::{
    BLOCK_LONGEST, GOSSIP_FLOOD, GOSSIP_FLOOD_PER_SECOND, GROUP_NARROWED, POINTS_MEMORY, POINTS_OF_GROUP,
    POINTS_OF_PEER, REMEMBERED_PEERS, SHUNNED_FOR,
};
use propagule_files::clock::Moment;

/// What a peer did that it must not do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Offence {
    /// A question or reply that does not decode, is too long, or of the wrong kind.
    Garbled,
    /// A record in a reply that was not asked for, or more records than were.
    Unasked,
    /// A record under an id that was asked for, which fails a check.
    Forged,
    /// Gossip, or a record handed over by stem, that is refused by its bytes.
    Refused,
    /// Reconciliation that cannot come to an end.
    Endless,
    /// A stream that ends in the middle of a message.
    CutShort,
    /// Asking on after "over budget", before the stated time.
    Impatient,
    /// An id that was offered, and whose record was not delivered.
    Withheld,
    /// More gossip than anybody passes on.
    Flood,
}

impl Offence {
    /// Every kind.
    pub const ALL: [Self; 9] = [
        Self::Garbled,
        Self::Unasked,
        Self::Forged,
        Self::Refused,
        Self::Endless,
        Self::CutShort,
        Self::Impatient,
        Self::Withheld,
        Self::Flood,
    ];

    /// What it weighs: a broken link can look like [`Self::CutShort`], and a record can be lost between its being
    /// offered and asked for; nothing honest looks like the heavy ones.
    pub fn points(self) -> u32 {
        match self {
            Self::Unasked | Self::Forged => 50,
            Self::Garbled | Self::Refused | Self::Endless | Self::Flood => 20,
            Self::CutShort | Self::Impatient => 5,
            Self::Withheld => 1,
        }
    }

    /// The reason under which it is counted.
    pub fn reason(self) -> &'static str {
        match self {
            Self::Garbled => "not a message",
            Self::Unasked => "not asked for",
            Self::Forged => "not what was asked for",
            Self::Refused => "refused record",
            Self::Endless => "broken exchange",
            Self::CutShort => "cut short",
            Self::Impatient => "over budget",
            Self::Withheld => "not delivered",
            Self::Flood => "too much gossip",
        }
    }
}

/// What a charge has led to, where it has led to anything.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Consequence<G> {
    /// The peer is blocked from now on.
    pub is_blocked: bool,
    /// The group gets one connection from now on.
    pub narrowed: Option<G>,
}

/// Points with their times; those of groups are halves.
#[derive(Clone, Debug, Default)]
struct Points(VecDeque<(Moment, u32)>);

impl Points {
    /// Adds some, and gives what is not forgotten.
    fn add(&mut self, points: u32, now: Moment) -> u32 {
        while self.0.front().is_some_and(|(then, _)| now.since(*then) >= POINTS_MEMORY) {
            self.0.pop_front();
        }
        match self.0.back_mut() {
            Some((then, sum)) if *then == now => *sum = sum.saturating_add(points),
            _ => self.0.push_back((now, points)),
        }
        self.0.iter().fold(0, |sum, (_, points)| sum.saturating_add(*points))
    }
}

#[derive(Clone, Debug)]
struct PeerAccount<G> {
    group: Option<G>,
    points: Points,
    gossip: Bucket,
    /// Blocks so far, each twice as long as the one before.
    blocks: u32,
    /// When the last block ends or has ended.
    until: Option<Moment>,
    is_blocked: bool,
    looked_at: Moment,
}

impl<G> PeerAccount<G> {
    fn new(now: Moment) -> Self {
        Self {
            group: None,
            points: Points::default(),
            gossip: Bucket::full(),
            blocks: 0,
            until: None,
            is_blocked: false,
            looked_at: now,
        }
    }

    /// Begins a block; the earlier ones are forgotten once the longest could have gone by since they ended.
    fn block(&mut self, first: Duration, now: Moment) {
        if self.until.is_some_and(|until| now.since(until) >= BLOCK_LONGEST) {
            self.blocks = 0;
        }
        let length = first.saturating_mul(1 << self.blocks.min(16)).min(BLOCK_LONGEST.max(first));
        self.blocks += 1;
        self.until = Some(now.plus(length));
        self.is_blocked = true;
        self.points = Points::default();
    }
}

#[derive(Clone, Debug, Default)]
struct GroupAccount {
    points: Points,
    narrowed_until: Moment,
    looked_at: Moment,
}

/// Points of peers and groups, and what follows from them.
#[derive(Debug)]
pub struct Ledger<P, G> {
    first_block: Duration,
    peers: HashMap<P, PeerAccount<G>>,
    groups: HashMap<G, GroupAccount>,
    /// Records that a peer delivered and that failed: asked of others.
    shunned: HashMap<(P, RecordId), Moment>,
    /// Blocked peers that had to be forgotten before their time.
    let_go: Vec<P>,
}

impl<P: PeerName, G: Copy + Eq + Hash> Ledger<P, G> {
    /// The first block of a peer lasts for `first_block`.
    pub fn new(first_block: Duration) -> Self {
        let (peers, groups, shunned) = (HashMap::new(), HashMap::new(), HashMap::new());
        Self { first_block, peers, groups, shunned, let_go: Vec::new() }
    }

    /// A peer is connected, from a group where that is known. It is remembered when the peer has gone: what it sent
    /// last may still have to be judged.
    pub fn met(&mut self, peer: P, group: Option<G>, now: Moment) {
        let account = self.account(peer, now);
        account.group = group.or(account.group);
    }

    /// Charges a peer, `times` over.
    pub fn charge(&mut self, peer: P, offence: Offence, times: u32, now: Moment) -> Consequence<G> {
        let points = offence.points().saturating_mul(times);
        let first_block = self.first_block;
        let account = self.account(peer, now);
        let (group, was_blocked) = (account.group, account.is_blocked);
        let is_blocked = !was_blocked && account.points.add(points, now) >= POINTS_OF_PEER;
        if is_blocked {
            account.block(first_block, now);
        }
        let narrowed = group.filter(|group| self.charge_group(*group, points, now));
        Consequence { is_blocked, narrowed }
    }

    /// Charges a group half of what a peer is charged, and says whether it is narrowed by that.
    fn charge_group(&mut self, group: G, points: u32, now: Moment) -> bool {
        make_room(&mut self.groups, REMEMBERED_PEERS, |account| {
            account.looked_at.max(account.narrowed_until)
        });
        let account = self.groups.entry(group).or_default();
        account.looked_at = now;
        let is_over = account.points.add(points, now) >= 2 * POINTS_OF_GROUP;
        if is_over {
            account.narrowed_until = now.plus(GROUP_NARROWED);
            account.points = Points::default();
        }
        is_over
    }

    /// A message of gossip came; with more than anybody passes on, that is charged.
    pub fn gossiped(&mut self, peer: P, now: Moment) -> Option<Consequence<G>> {
        let rate = Rate { burst: GOSSIP_FLOOD.into(), per: Duration::from_secs(1) / GOSSIP_FLOOD_PER_SECOND };
        let account = self.account(peer, now);
        if account.gossip.take(rate, 1, now) {
            return None;
        }
        account.gossip.give_back(rate, rate.burst / 2);
        Some(self.charge(peer, Offence::Flood, 1, now))
    }

    /// Whether a group may have one connection only.
    pub fn is_narrowed(&self, group: &G, now: Moment) -> bool {
        self.groups.get(group).is_some_and(|account| account.narrowed_until > now)
    }

    /// Peers whose block has run out, and the first to be free again of too many; they are free now.
    pub fn released(&mut self, now: Moment) -> Vec<P> {
        let mut free = std::mem::take(&mut self.let_go);
        for (peer, account) in &mut self.peers {
            if account.is_blocked && account.until.is_none_or(|until| until <= now) {
                account.is_blocked = false;
                free.push(*peer);
            }
        }
        free
    }

    /// Whether a peer is blocked.
    pub fn is_blocked(&self, peer: &P) -> bool {
        self.peers.get(peer).is_some_and(|account| account.is_blocked)
    }

    /// How many are blocked.
    pub fn blocked(&self) -> usize {
        self.peers.values().filter(|account| account.is_blocked).count()
    }

    /// A record that `peer` delivered failed: it is not asked of this peer again for a while.
    pub fn shun(&mut self, peer: P, id: RecordId, now: Moment) {
        make_room(&mut self.shunned, REMEMBERED_PEERS, |since| *since);
        self.shunned.insert((peer, id), now);
    }

    /// Records not to ask of `peer`.
    pub fn shunned(&self, peer: P, now: Moment) -> impl Iterator<Item = RecordId> {
        let is_of = move |(of, since): (&P, &Moment)| *of == peer && now.since(*since) < SHUNNED_FOR;
        self.shunned.iter().filter(move |((of, _), since)| is_of((of, since))).map(|((_, id), _)| *id)
    }

    fn account(&mut self, peer: P, now: Moment) -> &mut PeerAccount<G> {
        if !self.peers.contains_key(&peer) {
            self.make_room();
        }
        let account = self.peers.entry(peer).or_insert_with(|| PeerAccount::new(now));
        account.looked_at = now;
        account
    }

    /// Forgets those longest silent, blocked ones last: their account is as good as looked at when it ends.
    fn make_room(&mut self) {
        let blocked: Vec<P> = if self.peers.len() < REMEMBERED_PEERS {
            Vec::new()
        } else {
            self.peers.iter().filter(|(_, account)| account.is_blocked).map(|(peer, _)| *peer).collect()
        };
        make_room(&mut self.peers, REMEMBERED_PEERS, |account| match account.until {
            Some(until) if account.is_blocked => until,
            _ => account.looked_at,
        });
        self.let_go.extend(blocked.into_iter().filter(|peer| !self.peers.contains_key(peer)));
    }
}

#[cfg(test)]
#[path = "ledger_tests.rs"]
mod tests;
