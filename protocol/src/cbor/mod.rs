//! The CBOR profile of records: RFC 8949 §4.2.1 core deterministic encoding, narrowed.
//!
//! Shortest heads, definite lengths, map keys unsigned integers in strictly rising order; no floats, no
//! tags, no booleans and no `undefined`. `null` passes the scanner and is refused by every field but the
//! strength of an auxin.

mod read;
mod scan;
mod write;

pub use read::read;
pub use scan::{ScanError, ScanFault, scan};
pub use write::{WriteError, encode, to_bytes};

pub(crate) use write::MapWriter;
