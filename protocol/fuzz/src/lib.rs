//! What each fuzz target promises. The corpus is replayed by an ordinary test of the protocol crate, which
//! includes this file.

use ciborium::Value;
use propagule_protocol::vocab::Facet;
use propagule_protocol::{Facets, Judged, NetworkId, Signed, Taxon, cbor, judge, printed, record, reopen};

fn network() -> NetworkId {
    NetworkId::of("propagule vectors")
}

/// What the scanner takes has exactly one encoding, and it is the scanned one.
pub fn scan(data: &[u8]) {
    if cbor::scan(data).is_ok() {
        let value: Value = ciborium::from_reader(data).expect("scanned bytes decode");
        assert_eq!(cbor::encode(&value), data, "scanned bytes have a second form");
        assert_eq!(cbor::read(data), Ok(value), "scanned bytes are read in another way");
    }
}

/// Any bytes are judged, and what is accepted is kept as it came.
pub fn envelope(data: &[u8]) {
    match judge(data, &network()) {
        Ok(Judged::Accepted(record)) => assert_eq!(record.bytes, data),
        Ok(Judged::Held(held)) => assert_eq!(held.bytes, data),
        Err(refusal) => assert!(!refusal.to_string().is_empty()),
    }
    if let Ok(record) = reopen(data, &network()) {
        assert_eq!(record.bytes, data);
    }
}

/// A summary of any shape.
pub fn summary(data: &[u8]) {
    body(record::kind::SUMMARY, data);
}

/// A withdrawal of any shape.
pub fn withdrawal(data: &[u8]) {
    body(record::kind::WITHDRAWAL, data);
}

/// A rotation of any shape.
pub fn rotation(data: &[u8]) {
    body(record::kind::ROTATION, data);
}

/// A revocation of any shape.
pub fn revocation(data: &[u8]) {
    body(record::kind::REVOCATION, data);
}

/// A vouch of any shape.
pub fn vouch(data: &[u8]) {
    body(record::kind::VOUCH, data);
}

/// A body that is read is of its kind, with the head that was put there.
fn body(kind: u8, data: &[u8]) {
    if let Some(record) = accepted(kind, data) {
        assert_eq!(record.body.kind(), kind);
        assert_eq!(record.head().signed.to_string(), "2027-01");
        assert!(record.summary().is_none_or(|summary| !summary.arms.is_empty()));
    }
}

/// The record of a body, if it is one. The first byte is the number of entries after the head, and 20 more for
/// major 1; the rest are these entries: bodies that get past the head far more often than random bytes would.
pub fn accepted(kind: u8, data: &[u8]) -> Option<Signed> {
    let (entries, rest) = data.split_first()?;
    let major = entries / 20 % 2;
    let head = [0xa0 | (4 + entries % 20), 0, kind, 1, major, 2, 0, 3, 0x19, 0x05, 0xf4];
    reopen(&sealed(&[&head[..], rest].concat()), &network()).ok()
}

/// An envelope of the right shape; its signature is never looked at.
fn sealed(payload: &[u8]) -> Vec<u8> {
    let key = [0x58; 32];
    let header = Value::Map(vec![
        (1.into(), (-8).into()),
        (4.into(), Value::Bytes(key.to_vec())),
        (16.into(), propagule_protocol::RECORD_TYPE.into()),
    ]);
    let parts = vec![
        Value::Bytes(cbor::encode(&header)),
        Value::Map(Vec::new()),
        Value::Bytes(payload.to_vec()),
        Value::Bytes(vec![0; 64]),
    ];
    cbor::encode(&Value::Array(parts))
}

/// A name that parses is shown in a form that parses to the same name, and one that is taken from a grower is
/// shown in a form that is taken without a question. Of what is not taken something is said.
pub fn taxon(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else { return };
    let noting = Taxon::parse_noting(text);
    assert!(noting.taxon.is_some() || !noting.notes.is_empty(), "nothing is said");
    if let Some(taxon) = noting.taxon {
        let again = Taxon::parse_noting(&taxon.to_string());
        assert!(!again.asks(), "{taxon} asks {:?}", again.notes);
        assert_eq!(again.taxon.as_ref().map(Taxon::key), Some(taxon.key()), "{taxon}");
    }
    match Taxon::parse(text) {
        Ok(taxon) => {
            let again = Taxon::parse(&taxon.to_string());
            assert_eq!(again.as_ref().map(Taxon::key), Ok(taxon.key()), "{taxon}");
        }
        Err(error) => assert!(!error.to_string().is_empty()),
    }
}

/// What is read from a sheet is printed so that it is read again; what cannot be read is named by its line.
pub fn printed(data: &[u8]) {
    assert_eq!(printed::read(&printed::write(data)).ok().as_deref().unwrap_or_default(), data);
    let Ok(text) = std::str::from_utf8(data) else { return };
    match printed::read(text) {
        Ok(bytes) => assert_eq!(printed::read(&printed::write(&bytes)), Ok(bytes)),
        Err(error) => assert!(!error.to_string().is_empty()),
    }
}

/// A facet that is read is printed in words that are read as the same facet. The first byte chooses it.
pub fn facets(data: &[u8]) {
    let Some((first, rest)) = data.split_first() else { return };
    let Ok(text) = std::str::from_utf8(rest) else { return };
    let facet = Facet::ALL[usize::from(*first) % Facet::ALL.len()];
    let mut facets = Facets::default();
    if facets.set(facet, text).is_err() {
        return;
    }
    if let Some(word) = facets.word(facet) {
        let mut again = Facets::default();
        again.set(facet, &word).expect("its own words are read");
        assert_eq!(again, facets, "{word}");
    }
}
