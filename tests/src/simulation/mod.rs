//! A whole network in one thread and virtual time, over the node's own state machines: address books, session
//! schedules, pulling sessions, stems, outboxes, quotas, conduct. Only links, gossip's mesh, clocks and the
//! judging of bytes are stand-ins: a record's bytes are its number.
//!
//! Everything is drawn from one seed, so a run can be had again.

mod events;
mod gossip;
mod liars;
mod links;
mod node;
mod records;
mod sessions;
mod settings;
mod stems;
mod watched;
mod world;

pub use settings::Settings;
pub use watched::{Seen, Spying, WatchedYears};
pub use world::{Figures, World};
