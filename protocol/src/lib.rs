//! Signed record schemas for pooled propagation results: what a record may say, byte for byte.
//!
//! No I/O, no network, no storage: bytes in, judged records out. `SPEC.md` beside this crate is the
//! text for a second implementation.
//!
//! ```
//! use propagule_protocol::record::{Body, Extensions, Head, Revocation};
//! use propagule_protocol::{Judged, Month, NetworkId, SecretKey, judge, sign};
//!
//! let network = NetworkId::of("an example");
//! let key = SecretKey::from_bytes(&[7; 32]);
//! let head = Head::new(Month::new(2026, 11).expect("a month"));
//! let body = Body::Revocation(Revocation { head, from: None, extensions: Extensions::new() });
//!
//! let record = sign(&body, &key, &network)?;
//! assert_eq!(judge(&record.bytes, &network), Ok(Judged::Accepted(Box::new(record))));
//! # Ok::<(), propagule_protocol::SignError>(())
//! ```
#![forbid(unsafe_code)]

pub mod anonymise;
pub mod cbor;
mod code;
mod date;
mod envelope;
mod hex;
mod id;
mod key;
pub mod limits;
mod month;
pub mod place;
pub mod printed;
pub mod record;
mod schema;
pub mod state;
mod taxon;
mod text_rules;
pub mod vocab;

pub use anonymise::{AnonymiseError, Publication, Trial, anonymise};
pub use date::{Date, DateError};
pub use envelope::{
    EnvelopeFault, Held, HoldReason, Judged, Part, RECORD_TYPE, Refusal, SignError, Signed, id_of, judge,
    reopen, sign,
};
pub use hex::HexError;
pub use id::{AuthorKey, NetworkId, RecordId};
pub use key::{EntropyError, KeyFault, SecretKey, rotation_proof};
pub use month::{Month, MonthError};
pub use place::{Climate, HalfZone, Hemisphere, Place};
pub use record::*;
pub use taxon::names;
pub use taxon::{Note, Noting, TaxonError, TaxonFault};
pub use vocab::{Facet, FacetError};
