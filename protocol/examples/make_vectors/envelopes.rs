//! Envelopes that are refused.

use ciborium::Value;
use propagule_protocol::cbor::encode;
use propagule_protocol::{NetworkId, sign};
use serde_json::Value as Json;

use crate::sample::seal::{Seal, bytes, header, payload};
use crate::sample::{key, trial};
use crate::{bad, network};

fn seal() -> Seal {
    let record = sign(&trial(), &key(1), &network()).expect("a valid body");
    Seal::new(1, network(), payload(&record.bytes))
}

fn with_part(at: usize, part: Value) -> Vec<u8> {
    let mut parts = seal().parts();
    parts[at] = part;
    encode(&Value::Array(parts.to_vec()))
}

fn with_header(header: &Value) -> Vec<u8> {
    Seal { header: encode(header), ..seal() }.record()
}

fn header_with(key: u64, value: impl Into<Value>) -> Value {
    let mut entries = header(&crate::sample::key(1).author().0).into_map().expect("a map");
    entries.retain(|(k, _)| *k != Value::from(key));
    entries.push((key.into(), value.into()));
    Value::Map(entries)
}

/// The same signature with the group order L added to its scalar (RFC 8032 §5.1.7 refuses it).
fn malleated(signature: &[u8]) -> Vec<u8> {
    const ORDER: [u8; 32] = [
        0xed, 0xd3, 0xf5, 0x5c, 0x1a, 0x63, 0x12, 0x58, 0xd6, 0x9c, 0xf7, 0xa2, 0xde, 0xf9, 0xde, 0x14, 0, 0,
        0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0x10,
    ];
    let mut carry = 0;
    let add = |(s, l): (&u8, u8)| {
        let sum = u16::from(*s) + u16::from(l) + carry;
        carry = sum >> 8;
        sum as u8
    };
    let scalar: Vec<u8> = signature[32..].iter().zip(ORDER).map(add).collect();
    [&signature[..32], &scalar].concat()
}

fn point(first: u8, rest: u8, last: u8) -> [u8; 32] {
    let mut bytes = [rest; 32];
    (bytes[0], bytes[31]) = (first, last);
    bytes
}

fn spoilt_bytes() -> Vec<(&'static str, Vec<u8>)> {
    let good = seal().record();
    vec![
        ("no bytes", Vec::new()),
        ("last byte missing", good[..good.len() - 1].to_vec()),
        ("byte after the envelope", [&good[..], &[0]].concat()),
        ("tagged as COSE_Sign1", [&[0xd2], &good[..]].concat()),
        ("indefinite envelope", [&[0x9f], &good[1..], &[0xff]].concat()),
        ("envelope length in two bytes", [&[0x98, 0x04], &good[1..]].concat()),
        ("larger than 4,096 bytes", vec![0; 4097]),
        ("three parts", encode(&Value::Array(seal().parts()[..3].to_vec()))),
        ("a map", encode(&Value::Map(Vec::new()))),
        ("a number", vec![0]),
    ]
}

fn spoilt_parts() -> Vec<(&'static str, Vec<u8>)> {
    let seal = seal();
    let mut flipped = seal.signature();
    flipped[0] ^= 1;
    let elsewhere = Seal { network: NetworkId::of("another"), ..seal.clone() };
    let by_another = Seal { seed: 2, ..seal.clone() };
    let header_map = header(&key(1).author().0);
    vec![
        ("something unprotected", with_part(1, Value::Map(vec![(4.into(), bytes(&[1]))]))),
        ("unprotected header as bytes", with_part(1, bytes(&[]))),
        ("protected header as a map", with_part(0, header_map)),
        ("detached payload", with_part(2, Value::Null)),
        ("payload as text", with_part(2, "text".into())),
        ("signature of 63 bytes", with_part(3, bytes(&seal.signature()[..63]))),
        ("signature of 65 bytes", with_part(3, bytes(&[&seal.signature()[..], &[0]].concat()))),
        ("signature with a flipped bit", with_part(3, bytes(&flipped))),
        ("signature of zeros", with_part(3, bytes(&[0; 64]))),
        ("signature with a scalar above the order", with_part(3, bytes(&malleated(&seal.signature())))),
        ("another network", elsewhere.record()),
        ("signed by another key", by_another.record()),
    ]
}

fn spoilt_headers() -> Vec<(&'static str, Vec<u8>)> {
    let entries = header(&key(1).author().0).into_map().expect("a map");
    let reversed = {
        let header = encode(&Value::Map(entries.clone()));
        let (alg, rest) = header[1..].split_at(2);
        [&[0xa3], rest, alg].concat()
    };
    // The identity with a signature that a lax verifier takes for every message: R = identity, s = 0.
    let identity = point(1, 0, 0);
    let forged = Seal { header: encode(&header(&identity)), ..seal() };
    let mut forged_parts = forged.parts();
    forged_parts[3] = bytes(&[&identity[..], &[0; 32]].concat());
    vec![
        ("algorithm ES256", with_header(&header_with(1, -7))),
        ("algorithm as text", with_header(&header_with(1, "EdDSA"))),
        ("no algorithm", with_header(&Value::Map(entries[1..].to_vec()))),
        ("key of 31 bytes", with_header(&header_with(4, bytes(&[1; 31])))),
        ("another type", with_header(&header_with(16, "application/cbor"))),
        ("no type", with_header(&Value::Map(entries[..2].to_vec()))),
        ("one header more", with_header(&header_with(3, "text/plain"))),
        ("header out of order", Seal { header: reversed, ..seal() }.record()),
        ("empty header", Seal { header: Vec::new(), ..seal() }.record()),
        (
            "key of small order with a signature for every message",
            encode(&Value::Array(forged_parts.to_vec())),
        ),
        ("key of order 4", with_header(&header(&[0; 32]))),
        ("key with y above the prime", with_header(&header(&point(0xee, 0xff, 0x7f)))),
        ("key that is not a point", with_header(&header(&point(2, 0, 0)))),
    ]
}

pub(crate) fn vectors() -> Vec<Json> {
    let all = [spoilt_bytes(), spoilt_parts(), spoilt_headers()].concat();
    all.iter().map(|(name, record)| bad(name, record)).collect()
}
