//! Signs a record after checking it as a receiver would.

use coset::{CborSerializable, CoseSign1Builder, HeaderBuilder, iana};

use super::judge::{Reading, read_body};
use super::{RECORD_TYPE, Refusal, Signed, TYPE_LABEL, external_aad};
use crate::cbor::{self, WriteError};
use crate::id::{NetworkId, RecordId};
use crate::key::SecretKey;
use crate::limits::{MAJOR, RECORD_BYTES};
use crate::record::{self, Body, CriticalKey};

/// Why a body cannot be signed.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SignError {
    /// Every receiver would refuse it.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// A major that this version does not know.
    #[error("this version knows schema majors up to {MAJOR}, not {0}")]
    Major(u8),
    /// An extension under a key that is not free for extensions.
    #[error("key {} in {} is not free for extensions", .0.key, .0.map)]
    CriticalKey(CriticalKey),
    /// An extension that the profile cannot carry, or a key given twice.
    #[error("extension: {0}")]
    Extension(#[from] WriteError),
    /// Too large for a record.
    #[error("{bytes} bytes, the limit is {RECORD_BYTES}")]
    Oversized {
        /// As encoded, envelope included.
        bytes: usize,
    },
}

/// Checks, encodes and signs `body`. Signing the same body twice gives the same bytes (RFC 8032).
pub fn sign(body: &Body, key: &SecretKey, network: &NetworkId) -> Result<Signed, SignError> {
    if body.head().major > MAJOR {
        return Err(SignError::Major(body.head().major));
    }
    let value = record::encode_body(body);
    let payload = cbor::to_bytes(&value)?;
    if let Reading::Unknown(critical) = read_body(value, &key.author(), network)? {
        return Err(SignError::CriticalKey(critical));
    }
    seal(body, payload, key, network)
}

fn seal(body: &Body, payload: Vec<u8>, key: &SecretKey, network: &NetworkId) -> Result<Signed, SignError> {
    let author = key.author();
    let header = HeaderBuilder::new()
        .algorithm(iana::Algorithm::EdDSA)
        .key_id(author.0.to_vec())
        .value(TYPE_LABEL, RECORD_TYPE.into())
        .build();
    let aad = external_aad(network);
    let cose = CoseSign1Builder::new()
        .protected(header)
        .payload(payload)
        .create_signature(&aad, |message| key.sign(message).to_vec())
        .build();
    let id = RecordId::of(&cose.tbs_data(&aad));
    let bytes = cose.to_vec().expect("an envelope of byte strings always encodes");
    if bytes.len() > RECORD_BYTES {
        return Err(SignError::Oversized { bytes: bytes.len() });
    }
    Ok(Signed { id, author, bytes, body: body.clone() })
}
