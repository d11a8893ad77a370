//! Signed record schemas for pooled propagation results: what a record may say, byte for byte.
//!
//! No I/O, no network, no storage: bytes in, judged records out. `SPEC.md` beside this crate is the
//! text for a second implementation.
#![forbid(unsafe_code)]

pub mod record;
