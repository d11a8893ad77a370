//! Signed record schemas for pooled propagation results: what a record may say, byte for byte.
//!
//! No I/O, no network, no storage: bytes in, judged records out. `SPEC.md` beside this crate is the
//! text for a second implementation.
#![forbid(unsafe_code)]

pub mod anonymise;
pub mod cbor;
mod date;
mod envelope;
mod hex;
mod id;
mod key;
pub mod limits;
mod month;
pub mod names;
pub mod place;
pub mod record;
pub mod state;
mod taxon;
pub mod vocab;

pub use anonymise::{AnonymiseError, Publication, Trial, anonymise};
pub use date::{Date, DateError};
pub use envelope::{
    EnvelopeFault, Held, HoldReason, Judged, Part, RECORD_TYPE, Refusal, SignError, Signed, judge, reopen,
    sign,
};
pub use hex::HexError;
pub use id::{AuthorKey, NetworkId, RecordId};
pub use key::{EntropyError, KeyFault, SecretKey, rotation_proof};
pub use month::{Month, MonthError};
pub use place::{Climate, HalfZone, Hemisphere, Place};
pub use record::*;
pub use taxon::{TaxonError, TaxonFault};
pub use vocab::{Facet, FacetError};
