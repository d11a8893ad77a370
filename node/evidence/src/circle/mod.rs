//! Whose results count, and with what weight.
//!
//! Anybody can make a thousand keys, and no average of what they claim tells them from a thousand growers. What a
//! stranger cannot make is the trust of somebody the reader trusts. So weight flows along vouches: a friend receives
//! [`FRIEND_RECEIVES`]; whoever receives f counts with weight min(1, f) and passes max(0, f − 1) on, in equal parts, to
//! those it vouches for that stand one step further out; nobody stands further than [`FURTHEST`] steps. Whatever keys
//! stand behind one friend never weigh more together than that friend received.

#[cfg(test)]
mod tests;
mod whose;

use std::collections::{BTreeMap, BTreeSet};

use propagule_protocol::AuthorKey;

pub use whose::Whose;

/// What a friend receives.
pub const FRIEND_RECEIVES: f64 = 8.0;
/// Steps from the reader beyond which nobody is in the circle.
pub const FURTHEST: u8 = 3;

/// One vouch, or one friendship of the reader.
pub type Edge = (AuthorKey, AuthorKey);

/// Who trusts whom, as one reader sees it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trust {
    /// The author who asks.
    pub reader: AuthorKey,
    /// Every author that is the reader: a fresh key makes another.
    pub own: BTreeSet<AuthorKey>,
    /// Whom the reader vouches for or trusts at home.
    pub friends: BTreeSet<AuthorKey>,
    /// Vouches of everybody, by author.
    pub vouches: BTreeMap<AuthorKey, BTreeSet<AuthorKey>>,
    /// Whom the reader does not want to hear: they count for nothing and pass nothing on.
    pub muted: BTreeSet<AuthorKey>,
}

/// One grower of the circle.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    /// Steps from the reader; friends stand at 1.
    pub steps: u8,
    /// What flowed in.
    pub received: f64,
    /// From whom, and how much.
    pub from: Vec<(AuthorKey, f64)>,
}

impl Member {
    /// Weight with which the grower counts.
    pub fn weight(&self) -> f64 {
        self.received.min(1.0)
    }

    /// What the grower passes on to others.
    fn surplus(&self) -> f64 {
        (self.received - 1.0).max(0.0)
    }
}

/// The growers around a reader.
#[derive(Clone, Debug, PartialEq)]
pub struct Circle {
    reader: AuthorKey,
    own: BTreeSet<AuthorKey>,
    members: BTreeMap<AuthorKey, Member>,
    muted: BTreeSet<AuthorKey>,
}

impl Trust {
    /// Trust in nobody.
    pub fn nobody(reader: AuthorKey) -> Self {
        Self {
            reader,
            own: BTreeSet::from([reader]),
            friends: BTreeSet::new(),
            vouches: BTreeMap::new(),
            muted: BTreeSet::new(),
        }
    }

    /// The circle that this trust makes.
    pub fn circle(&self) -> Circle {
        self.circle_without(None)
    }

    /// The circle as it would be without one vouch or friendship.
    pub fn circle_without(&self, cut: Option<&Edge>) -> Circle {
        let mut members: BTreeMap<AuthorKey, Member> = BTreeMap::new();
        let mut ring = BTreeMap::new();
        for friend in self.heard(&self.reader, &self.friends, cut) {
            let member =
                Member { steps: 1, received: FRIEND_RECEIVES, from: vec![(self.reader, FRIEND_RECEIVES)] };
            ring.insert(*friend, member);
        }
        for steps in 2..=FURTHEST + 1 {
            members.extend(ring);
            if steps > FURTHEST {
                break;
            }
            ring = self.next_ring(&members, steps, cut);
        }
        Circle { reader: self.reader, own: self.own.clone(), members, muted: self.muted.clone() }
    }

    /// Those first reached in `steps` steps, with what the ring before passes on to them.
    fn next_ring(
        &self,
        members: &BTreeMap<AuthorKey, Member>,
        steps: u8,
        cut: Option<&Edge>,
    ) -> BTreeMap<AuthorKey, Member> {
        let mut ring: BTreeMap<AuthorKey, Member> = BTreeMap::new();
        for (giver, member) in members.iter().filter(|(_, member)| member.steps + 1 == steps) {
            let Some(vouched) = self.vouches.get(giver) else { continue };
            let heard = self.heard(giver, vouched, cut);
            let further: Vec<&AuthorKey> = heard.filter(|subject| !members.contains_key(*subject)).collect();
            let part = member.surplus() / further.len().max(1) as f64;
            for subject in further {
                let entry = ring.entry(*subject).or_insert(Member { steps, received: 0.0, from: Vec::new() });
                entry.received += part;
                entry.from.push((*giver, part));
            }
        }
        ring
    }

    /// Subjects of `giver` that the reader hears, itself and a cut edge apart.
    fn heard<'a>(
        &'a self,
        giver: &'a AuthorKey,
        subjects: &'a BTreeSet<AuthorKey>,
        cut: Option<&'a Edge>,
    ) -> impl Iterator<Item = &'a AuthorKey> {
        let is_cut = move |subject: &AuthorKey| cut.is_some_and(|(from, to)| (from, to) == (giver, subject));
        subjects.iter().filter(move |subject| {
            !self.own.contains(*subject) && !self.muted.contains(*subject) && !is_cut(subject)
        })
    }
}

impl Circle {
    /// Whether nobody is in it.
    pub fn is_empty(&self) -> bool {
        self.members.is_empty()
    }

    /// Whether `author` is the reader.
    pub fn is_reader(&self, author: &AuthorKey) -> bool {
        self.own.contains(author)
    }

    /// Whether `author` is the reader or in the circle.
    pub fn holds(&self, author: &AuthorKey) -> bool {
        self.is_reader(author) || self.members.contains_key(author)
    }

    /// Its members by key.
    pub fn members(&self) -> &BTreeMap<AuthorKey, Member> {
        &self.members
    }

    /// Whether the reader does not want to hear `author`.
    pub fn is_muted(&self, author: &AuthorKey) -> bool {
        self.muted.contains(author)
    }

    /// Weight of `author` among the growers that `whose` names: the power on its likelihood.
    pub fn weight(&self, author: &AuthorKey, whose: Whose) -> f64 {
        if self.is_reader(author) {
            return 1.0;
        }
        if self.is_muted(author) {
            return 0.0;
        }
        let Some(furthest) = whose.steps() else { return 1.0 };
        let member = self.members.get(author).filter(|member| member.steps <= furthest);
        member.map_or(0.0, Member::weight)
    }

    /// Every edge along which something flows, the most first; equal flows by key.
    pub fn edges(&self) -> Vec<(Edge, f64)> {
        let flows = self
            .members
            .iter()
            .flat_map(|(to, member)| member.from.iter().map(move |(from, part)| ((*from, *to), *part)));
        let mut edges: Vec<(Edge, f64)> = flows.collect();
        edges.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        edges
    }

    /// The way from the reader to `author` along which most flowed, both ends included; empty outside the circle.
    pub fn path(&self, author: &AuthorKey) -> Vec<AuthorKey> {
        let mut path = Vec::new();
        let mut at = *author;
        while let Some(member) = self.members.get(&at) {
            path.push(at);
            let giver = member.from.iter().max_by(|a, b| a.1.total_cmp(&b.1).then_with(|| b.0.cmp(&a.0)));
            let Some((giver, _)) = giver else { break };
            at = *giver;
        }
        if !path.is_empty() {
            path.push(self.reader);
            path.reverse();
        }
        path
    }
}
