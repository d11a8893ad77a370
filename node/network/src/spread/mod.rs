//! How records leave and travel: state machines without I/O, which a node and the simulator drive alike.
//!
//! An own record waits a random time, then goes by **stem**: handed from node to node, at least two hops,
//! before one of them gossips it. Until it comes back by gossip, or its embargo ends, it is in nobody's
//! reconciliation set, fetch answers or bundles; relays keep it in memory only.

mod book;
mod dice;
mod ledger;
mod outbox;
mod quota;
mod stem;

pub use book::{Book, Entry, Origin};
pub use dice::{Dice, SeededDice, SystemDice};
pub use ledger::{Consequence, Ledger, Offence};
pub use outbox::{Outbox, Stage};
pub use quota::{AuthorQuota, GossipQuota, PeerQuota};
pub(crate) use quota::{Bucket, Rate, make_room};
pub use stem::{Act, Answer, Spread};

use std::fmt::Debug;
use std::hash::Hash;

/// What tells peers apart: an id of the network library in a node, a number in the simulator.
pub trait PeerName: Copy + Ord + Hash + Debug + Send {}

impl<P: Copy + Ord + Hash + Debug + Send> PeerName for P {}
