//! Judges untrusted bytes, cheap checks first.

use ciborium::Value;
use coset::iana::EnumI64;
use coset::{Algorithm, AsCborValue, CoseSign1, Label, iana};

use super::{EnvelopeFault, Part, RECORD_TYPE, Refusal, Signed, TYPE_LABEL, external_aad, header_bytes};
use crate::cbor;
use crate::id::{AuthorKey, NetworkId, RecordId};
use crate::key;
use crate::limits::{FIRST_RESERVED_KIND, MAJOR, RECORD_BYTES};
use crate::month::Month;
use crate::record::{self, Body, CriticalKey, Rotation, SchemaError, SchemaFault};

/// A record with a valid envelope.
#[derive(Clone, Debug, PartialEq)]
pub enum Judged {
    /// Understood in full, and within all rules.
    Accepted(Box<Signed>),
    /// Only a newer version can judge it.
    Held(Held),
}

/// A record of a newer version: kept apart, counted, not forwarded, judged again after an upgrade.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    /// Name of the record.
    pub id: RecordId,
    /// The key that signed.
    pub author: AuthorKey,
    /// Month of publication.
    pub signed: Option<Month>,
    /// What this version does not know.
    pub why: HoldReason,
    /// The record as it came.
    pub bytes: Vec<u8>,
}

/// What this version does not know.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum HoldReason {
    /// A kind that a newer version added.
    #[error("unknown kind {0}")]
    Kind(u64),
    /// A newer schema major.
    #[error("unknown schema major {0}")]
    Major(u8),
    /// A key below 64 that a newer version added.
    #[error("unknown key {} in {}", .0.key, .0.map)]
    CriticalKey(CriticalKey),
    /// Signed for a month too far ahead of the local clock. Set by whoever has a clock, never by [`judge`].
    #[error("signed for a month that has not come yet")]
    NotDue,
}

/// Whether `bytes` are a record of `network`.
///
/// The verdict depends on the bytes alone. Order of the checks: size, strict scan of envelope, header and
/// body, shape of the envelope, key, signature (`verify_strict`), kind and major, schema, unknown critical
/// keys, rules of counts.
pub fn judge(bytes: &[u8], network: &NetworkId) -> Result<Judged, Refusal> {
    judge_opened(&Envelope::verified(bytes, network)?, bytes, network)
}

/// The id that bytes have as a record of `network`, before anything about them is verified: one scan and one hash.
/// Nothing where they have not the shape of an envelope.
pub fn id_of(bytes: &[u8], network: &NetworkId) -> Option<RecordId> {
    Some(Envelope::trusted(bytes, network).ok()?.id)
}

/// Reads a record back that was accepted before: everything [`judge`] does but the signature, so only for
/// bytes from a store of one's own that keeps checksums. A record that would be held is an error.
pub fn reopen(bytes: &[u8], network: &NetworkId) -> Result<Signed, Refusal> {
    match judge_opened(&Envelope::trusted(bytes, network)?, bytes, network)? {
        Judged::Accepted(record) => Ok(*record),
        Judged::Held(held) => Err(Refusal::Newer(held.why)),
    }
}

fn judge_opened(envelope: &Envelope, bytes: &[u8], network: &NetworkId) -> Result<Judged, Refusal> {
    let value = read(Part::Body, &envelope.body)?;
    let (kind, head) = record::peek(&value)?;
    if kind == 0 || kind >= FIRST_RESERVED_KIND {
        return Err(Refusal::ReservedKind(kind));
    }
    let held = |why| Ok(Judged::Held(envelope.held(bytes, head.signed, why)));
    if head.major > MAJOR {
        return held(HoldReason::Major(head.major));
    }
    match read_body(value, &envelope.author, network)? {
        Reading::Body(body) => Ok(Judged::Accepted(Box::new(envelope.accepted(bytes, *body)))),
        Reading::Unknown(critical) => held(HoldReason::CriticalKey(critical)),
        Reading::UnknownKind => held(HoldReason::Kind(kind)),
    }
}

/// What the body of a valid envelope turned out to be.
pub(super) enum Reading {
    Body(Box<Body>),
    Unknown(CriticalKey),
    UnknownKind,
}

/// Shape, unknown keys and rules of a body of a major that this version knows.
pub(super) fn read_body(value: Value, author: &AuthorKey, network: &NetworkId) -> Result<Reading, Refusal> {
    let mut critical = Vec::new();
    let Some(body) = record::decode_body(value, &mut critical)? else { return Ok(Reading::UnknownKind) };
    if let Some(first) = critical.into_iter().min() {
        return Ok(Reading::Unknown(first));
    }
    match &body {
        Body::Summary(summary) => record::check_rules(summary)?,
        Body::Rotation(rotation) => check_proof(rotation, author, network)?,
        Body::Vouch(vouch) => check_key("subject", vouch.subject)?,
        Body::Withdrawal(_) | Body::Revocation(_) => {}
    }
    Ok(Reading::Body(Box::new(body)))
}

fn check_key(field: &'static str, key: AuthorKey) -> Result<(), SchemaError> {
    key.check().map_err(|fault| SchemaError::at(field, SchemaFault::BadKey(fault)))
}

fn check_proof(rotation: &Rotation, old: &AuthorKey, network: &NetworkId) -> Result<(), SchemaError> {
    check_key("new_key", rotation.new_key)?;
    let key = rotation.new_key.checked().expect("the key was checked just now");
    let message = key::rotation_message(network, old, &rotation.new_key);
    if key::verify(&key, &message, &rotation.proof) {
        Ok(())
    } else {
        Err(SchemaError::at("proof", SchemaFault::BadProof))
    }
}

/// The value of canonical bytes.
fn read(part: Part, bytes: &[u8]) -> Result<Value, Refusal> {
    cbor::read(bytes).map_err(|error| Refusal::NotCanonical { part, error })
}

/// An envelope of the right shape, taken apart.
struct Envelope {
    id: RecordId,
    author: AuthorKey,
    body: Vec<u8>,
}

impl Envelope {
    /// The envelope, when its signature holds.
    fn verified(bytes: &[u8], network: &NetworkId) -> Result<Self, Refusal> {
        let (cose, author, signature) = take_apart(bytes)?;
        let key = author.checked()?;
        let message = cose.tbs_data(&external_aad(network));
        if key::verify(&key, &message, &signature) {
            Self::new(cose, author, &message)
        } else {
            Err(Refusal::Signature)
        }
    }

    fn trusted(bytes: &[u8], network: &NetworkId) -> Result<Self, Refusal> {
        let (cose, author, _) = take_apart(bytes)?;
        let message = cose.tbs_data(&external_aad(network));
        Self::new(cose, author, &message)
    }

    fn new(cose: CoseSign1, author: AuthorKey, message: &[u8]) -> Result<Self, Refusal> {
        let body = cose.payload.ok_or(EnvelopeFault::Detached)?;
        Ok(Self { id: RecordId::of(message), author, body })
    }

    fn accepted(&self, bytes: &[u8], body: Body) -> Signed {
        Signed { id: self.id, author: self.author, bytes: bytes.to_vec(), body }
    }

    fn held(&self, bytes: &[u8], signed: Month, why: HoldReason) -> Held {
        Held { id: self.id, author: self.author, signed: Some(signed), why, bytes: bytes.to_vec() }
    }
}

/// Size, canonical form and shape, without any cryptography.
fn take_apart(bytes: &[u8]) -> Result<(CoseSign1, AuthorKey, [u8; 64]), Refusal> {
    if bytes.len() > RECORD_BYTES {
        return Err(Refusal::Oversized { bytes: bytes.len() });
    }
    let cose = parse(bytes)?;
    let author = author_of(&cose)?;
    let signature = cose.signature.as_slice().try_into().map_err(|_| EnvelopeFault::SignatureLength)?;
    Ok((cose, author, signature))
}

fn scan(part: Part, bytes: &[u8]) -> Result<(), Refusal> {
    cbor::scan(bytes).map_err(|error| Refusal::NotCanonical { part, error })
}

/// The three parts of the array as byte strings, scanned before coset sees them.
fn parse(bytes: &[u8]) -> Result<CoseSign1, Refusal> {
    let Value::Array(parts) = read(Part::Envelope, bytes)? else { return Err(EnvelopeFault::Shape.into()) };
    match &parts[..] {
        [Value::Bytes(header), Value::Map(unprotected), Value::Bytes(body), Value::Bytes(_)] => {
            scan(Part::Header, header)?;
            scan(Part::Body, body)?;
            if !unprotected.is_empty() {
                return Err(EnvelopeFault::Unprotected.into());
            }
        }
        [Value::Bytes(_), _, Value::Null, _] => return Err(EnvelopeFault::Detached.into()),
        _ => return Err(EnvelopeFault::Shape.into()),
    }
    CoseSign1::from_cbor_value(Value::Array(parts)).map_err(|_| EnvelopeFault::Header.into())
}

/// The author, when the header has exactly the three entries of a record.
fn author_of(cose: &CoseSign1) -> Result<AuthorKey, EnvelopeFault> {
    let header = &cose.protected.header;
    match &header.alg {
        Some(Algorithm::Assigned(alg)) if alg.to_i64() == iana::Algorithm::EdDSA.to_i64() => {}
        _ => return Err(EnvelopeFault::Algorithm),
    }
    let author = header.key_id.as_slice().try_into().map(AuthorKey).map_err(|_| EnvelopeFault::KeyLength)?;
    let typed = |(label, value): &(Label, Value)| {
        *label == Label::Int(TYPE_LABEL) && value.as_text() == Some(RECORD_TYPE)
    };
    if !header.rest.iter().any(typed) {
        return Err(EnvelopeFault::Type);
    }
    let is_exact = cose.protected.original_data.as_deref() == Some(&header_bytes(&author)[..]);
    if is_exact { Ok(author) } else { Err(EnvelopeFault::Header) }
}
