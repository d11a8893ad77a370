//! Every limit has a test that breaks it: those over real connections stand here, and a table says where each is.

#[path = "limits/gossip.rs"]
mod gossip;
#[path = "limits/questions.rs"]
mod questions;
#[path = "limits/relaying.rs"]
mod relaying;
#[path = "limits/table.rs"]
mod table;
