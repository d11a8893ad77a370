//! Why a record is refused.

use super::HoldReason;
use crate::cbor::ScanError;
use crate::key::KeyFault;
use crate::limits::RECORD_BYTES;
use crate::record::{RuleError, SchemaError};

/// Which bytes of a record an error is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The `COSE_Sign1` array.
    Envelope,
    /// The protected header.
    Header,
    /// The payload.
    Body,
}

impl std::fmt::Display for Part {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Envelope => "envelope",
            Self::Header => "header",
            Self::Body => "body",
        })
    }
}

/// What is wrong with the shape of an envelope.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum EnvelopeFault {
    /// Not an array of header, empty map, body and signature.
    #[error("not an array of protected header, unprotected header, payload and signature")]
    Shape,
    /// Something in the unprotected header.
    #[error("the unprotected header is not empty")]
    Unprotected,
    /// No payload.
    #[error("the payload is detached")]
    Detached,
    /// A signature that is not 64 bytes long.
    #[error("the signature is not 64 bytes long")]
    SignatureLength,
    /// An algorithm other than `EdDSA`.
    #[error("the algorithm is not EdDSA (-8)")]
    Algorithm,
    /// A key id that is not 32 bytes long.
    #[error("the key id is not a key of 32 bytes")]
    KeyLength,
    /// Another type.
    #[error("the type (16) is not that of records")]
    Type,
    /// A header with more or less than algorithm, key and type.
    #[error("the header has more or less than algorithm, key and type")]
    Header,
}

/// Why a record is refused; the same on every node, whatever it holds.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// Larger than the limit.
    #[error("{bytes} bytes, the limit is {RECORD_BYTES}")]
    Oversized {
        /// As found.
        bytes: usize,
    },
    /// Bytes outside the deterministic profile.
    #[error("{part}: {error}")]
    NotCanonical {
        /// Which bytes were scanned.
        part: Part,
        /// The first breach.
        error: ScanError,
    },
    /// Not the envelope of a record.
    #[error("envelope: {0}")]
    Envelope(#[from] EnvelopeFault),
    /// A key that cannot sign.
    #[error("key: {0}")]
    Key(#[from] KeyFault),
    /// The signature does not hold for this content, key and network.
    #[error("the signature does not hold for this content, key and network")]
    Signature,
    /// Kind 0, or 64 and up.
    #[error("kind {0} is reserved")]
    ReservedKind(u64),
    /// A field that breaks the schema.
    #[error("schema: {0}")]
    Schema(#[from] SchemaError),
    /// A record that only a newer version can judge, where one of this version was wanted.
    #[error("newer version: {0}")]
    Newer(HoldReason),
    /// Numbers that cannot all be true.
    #[error("rule: {0}")]
    Rule(#[from] RuleError),
}

impl Refusal {
    /// A short stable name for counters.
    pub fn reason(&self) -> &'static str {
        match self {
            Self::Oversized { .. } => "oversized",
            Self::NotCanonical { .. } => "not canonical",
            Self::Envelope(_) => "bad envelope",
            Self::Key(_) => "bad key",
            Self::Signature => "bad signature",
            Self::ReservedKind(_) => "reserved kind",
            Self::Schema(_) => "broken schema",
            Self::Newer(_) => "newer version",
            Self::Rule(_) => "broken rule",
        }
    }
}
