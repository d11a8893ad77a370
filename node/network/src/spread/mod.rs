//! How records leave and travel: state machines without I/O, which a node and the simulator drive alike.
//!
//! An own record waits a random time, then goes by **stem**: to a guard, and from there from node to node until one of
//! them gossips it. Until it is seen to be public it is in nobody's reconciliation set, fetch answers or bundles; relays
//! keep it in memory only, and its author never gossips it first.

mod book;
mod dice;
mod doors;
mod entry;
mod guards;
mod ledger;
mod outbox;
mod quota;
mod stem;

pub use book::Book;
pub use dice::{Dice, SeededDice, SystemDice};
pub use doors::{Seats, Visitors};
pub use entry::{Entry, GroupNumber, Origin};
pub use guards::Guards;
pub use ledger::{Consequence, Ledger, Offence};
pub use outbox::{Handing, Outbox, Stage};
pub use quota::{AuthorQuota, GossipQuota, PeerQuota};
pub(crate) use quota::{Bucket, Rate, make_room};
pub use stem::{Act, Answer, Spread};

use std::fmt::Debug;
use std::hash::Hash;

/// What tells peers apart: an id of the network library in a node, a number in the simulator.
pub trait PeerName: Copy + Ord + Hash + Debug + Send {}

impl<P: Copy + Ord + Hash + Debug + Send> PeerName for P {}
