//! What happens when.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use propagule_files::clock::Moment;
use propagule_network::spread::Answer;
use propagule_network::sync::{Question, Reply};
use propagule_protocol::RecordId;

use super::records::Number;

/// A node's number.
pub(super) type Name = u32;

/// Something that happens to a node.
#[derive(Debug)]
pub(super) enum Event {
    /// Comes or goes.
    Toggle,
    /// Looks for peers.
    Dial,
    /// Is dialled by another.
    Dialled(Name),
    /// Begins sessions that are due.
    Sessions,
    /// Looks at its stems.
    Stems,
    /// Publishes a record.
    Publish,
    /// Is asked within a session.
    Asked { by: Name, session: u64, question: Question },
    /// Gets an answer within a session, or none in time.
    Answered { by: Name, session: u64, reply: Option<Reply> },
    /// Gets a record by gossip.
    Gossip { from: Name, number: Number },
    /// Gets a message that is no record.
    Garbage { from: Name },
    /// Is handed a record by stem.
    Handed { from: Name, number: Number },
    /// Learns how a peer answered to a record handed over.
    HandedOn { to: Name, id: RecordId, answer: Answer },
    /// A day begins.
    Day,
}

struct Entry {
    at: Moment,
    order: u64,
    node: Name,
    event: Event,
}

impl PartialEq for Entry {
    fn eq(&self, other: &Self) -> bool {
        self.order == other.order
    }
}

impl Eq for Entry {}

impl PartialOrd for Entry {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Entry {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        (self.at, self.order).cmp(&(other.at, other.order))
    }
}

/// Events to come, in order of time, and of planning at the same time.
#[derive(Default)]
pub(super) struct Queue {
    heap: BinaryHeap<Reverse<Entry>>,
    planned: u64,
}

impl Queue {
    pub(super) fn plan(&mut self, at: Moment, node: Name, event: Event) {
        self.planned += 1;
        self.heap.push(Reverse(Entry { at, order: self.planned, node, event }));
    }

    pub(super) fn next(&mut self) -> Option<(Moment, Name, Event)> {
        self.heap.pop().map(|Reverse(entry)| (entry.at, entry.node, entry.event))
    }

    pub(super) fn planned(&self) -> u64 {
        self.planned
    }
}
