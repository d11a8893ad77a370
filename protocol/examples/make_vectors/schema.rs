//! Bodies that break the schema, each in one place, in an envelope that holds.

use ciborium::Value;
use propagule_protocol::cbor::encode;
use propagule_protocol::record::Body;
use propagule_protocol::sign;
use serde_json::Value as Json;

use crate::sample::seal::{Seal, bytes, payload};
use crate::sample::{arm, key, summary};
use crate::{bad, network};

/// The value of a body.
pub(crate) fn body(body: &Body) -> Value {
    let record = sign(body, &key(1), &network()).expect("a valid body");
    ciborium::from_reader(&payload(&record.bytes)[..]).expect("CBOR")
}

pub(crate) fn trial() -> Value {
    body(&Body::Summary(summary(vec![arm(1, 24, Some(9)), arm(2, 24, Some(0))])))
}

/// Sets the value under a path of keys and positions.
pub(crate) fn set(mut value: Value, path: &[u64], new: impl Into<Value>) -> Value {
    let (last, way) = path.split_last().expect("a path");
    let map = way.iter().fold(&mut value, |at, key| child(at, *key));
    match map {
        Value::Map(entries) => {
            entries.retain(|(key, _)| *key != Value::from(*last));
            entries.push(((*last).into(), new.into()));
        }
        Value::Array(items) => items[*last as usize] = new.into(),
        other => panic!("{other:?} holds nothing"),
    }
    value
}

fn child(value: &mut Value, key: u64) -> &mut Value {
    match value {
        Value::Map(entries) => {
            if !entries.iter().any(|(k, _)| *k == Value::from(key)) {
                entries.push((key.into(), Value::Map(Vec::new())));
            }
            &mut entries.iter_mut().find(|(k, _)| *k == Value::from(key)).expect("just added").1
        }
        Value::Array(items) => &mut items[key as usize],
        other => panic!("{other:?} holds nothing"),
    }
}

pub(crate) fn without(mut value: Value, path: &[u64]) -> Value {
    let (last, way) = path.split_last().expect("a path");
    let map = way.iter().fold(&mut value, |at, key| child(at, *key));
    map.as_map_mut().expect("a map").retain(|(key, _)| *key != Value::from(*last));
    value
}

pub(crate) fn array(items: impl IntoIterator<Item = i64>) -> Value {
    Value::Array(items.into_iter().map(Value::from).collect())
}

fn arrays(rows: usize, items: &[i64]) -> Value {
    Value::Array(vec![array(items.iter().copied()); rows])
}

pub(crate) fn vectors() -> Vec<Json> {
    let all = [head(), summaries(), taxa_and_places(), arms(), facets(), others()].concat();
    all.iter().map(|(name, body)| bad(name, &Seal::new(1, network(), encode(body)).record())).collect()
}

type Named = (&'static str, Value);

fn head() -> Vec<Named> {
    vec![
        ("body is an array", Value::Array(Vec::new())),
        ("body is empty", Value::Map(Vec::new())),
        ("kind is text", set(trial(), &[0], "summary")),
        ("kind 0 is reserved", set(trial(), &[0], 0)),
        ("kind 64 is reserved", set(trial(), &[0], 64)),
        ("kind is negative", set(trial(), &[0], -1)),
        ("major 24", set(trial(), &[1], 24)),
        ("no minor", without(trial(), &[2])),
        ("signed after December 2199", set(trial(), &[3], 3600)),
        ("signed month missing in a newer major", set(without(trial(), &[3]), &[1], 1)),
    ]
}

fn summaries() -> Vec<Named> {
    vec![
        ("series of 15 bytes", set(trial(), &[4], bytes(&[0; 15]))),
        ("series as text", set(trial(), &[4], "0123456789abcdef")),
        ("revision 32", set(trial(), &[5], 32)),
        ("season after December 2199", set(trial(), &[8], 3600)),
        ("weeks over ten years", set(trial(), &[9, 1], 521)),
        ("unknown key in the weeks", set(trial(), &[9, 4], 1)),
        ("design flags of eight bits", set(trial(), &[10], 128)),
        ("stock-plant class 0", set(trial(), &[11], 0)),
        ("stock-plant class 5", set(trial(), &[11], 5)),
        ("DOI in capitals", set(trial(), &[12], "10.1000/ABC")),
        ("DOI without suffix", set(trial(), &[12], "10.1000/")),
        ("grower mark of 9 bytes", set(trial(), &[13], bytes(&[0; 9]))),
        ("no arms", set(trial(), &[14], Value::Array(Vec::new()))),
        ("25 arms", set(trial(), &[14], Value::Array(vec![1.into(); 25]))),
        ("arms missing", without(trial(), &[14])),
        ("null under an ignorable key", set(trial(), &[64], Value::Null)),
        ("null deep under an ignorable key", set(trial(), &[64], Value::Array(vec![Value::Null]))),
    ]
}

fn taxa_and_places() -> Vec<Named> {
    vec![
        ("genus in capitals", set(trial(), &[6, 0], "Ribes")),
        ("epithet of one letter", set(trial(), &[6, 1], "n")),
        ("epithet of 41 letters", set(trial(), &[6, 1], "a".repeat(41))),
        ("genus missing", without(trial(), &[6, 0])),
        ("rank without epithet", set(trial(), &[6, 2], array([2]))),
        ("cultivar of 41 bytes", set(trial(), &[6, 4], "a".repeat(41))),
        ("empty cultivar", set(trial(), &[6, 4], "")),
        ("cultivar not in NFC", set(trial(), &[6, 4], "Zlata\u{301}")),
        ("cultivar with a bidirectional override", set(trial(), &[6, 4], "a\u{202e}b")),
        ("cultivar with a zero-width space", set(trial(), &[6, 4], "a\u{200b}b")),
        ("cultivar with a line break", set(trial(), &[6, 4], "a\nb")),
        ("marks 0", set(trial(), &[6, 5], 0)),
        ("marks 8", set(trial(), &[6, 5], 8)),
        ("zone 0", set(trial(), &[7, 2], 0)),
        ("zone 14", set(trial(), &[7, 2], 14)),
        ("coldest bin below all", set(trial(), &[7, 3], -21)),
        ("hottest bin above all", set(trial(), &[7, 4], 13)),
        ("rain bin above all", set(trial(), &[7, 5], 31)),
        ("no rule of the region", without(trial(), &[7, 0])),
    ]
}

fn arms() -> Vec<Named> {
    vec![
        ("arm 0", set(trial(), &[14, 0, 0], 0)),
        ("arm 25", set(trial(), &[14, 1, 0], 25)),
        ("nothing started", set(trial(), &[14, 0, 1], 0)),
        ("10,001 started", set(trial(), &[14, 0, 1], 10_001)),
        ("unknown stage", set(trial(), &[14, 0, 3, 4], Value::Map(Vec::new()))),
        ("negative count", set(trial(), &[14, 0, 3, 1, 3], -1)),
        ("one replicate", set(trial(), &[14, 0, 4], array([24]))),
        ("51 replicates", set(trial(), &[14, 0, 4], array([1; 51]))),
        ("replicate of none", set(trial(), &[14, 0, 4], array([24, 0]))),
        ("started 13 months apart", set(trial(), &[14, 0, 5], 13)),
        ("unlisted difference 0", set(trial(), &[14, 0, 6], 0)),
        ("no phases in the list", set(trial(), &[14, 0, 7], Value::Array(Vec::new()))),
        ("three phases", set(trial(), &[14, 0, 7], Value::Array(vec![Value::Map(Vec::new()); 3]))),
        ("phase after 0 weeks", set(trial(), &[14, 0, 7], phase(0))),
        ("phase with an unknown key", set(set(trial(), &[14, 0, 7], phase(1)), &[14, 0, 7, 0, 2], 1)),
    ]
}

fn phase(weeks: i64) -> Value {
    let facets = Value::Map(vec![(0.into(), 3.into())]);
    Value::Array(vec![Value::Map(vec![(0.into(), weeks.into()), (1.into(), facets)])])
}

fn facets() -> Vec<Named> {
    let facet = |key: u64, value: Value| set(trial(), &[14, 0, 2, key], value);
    vec![
        ("no kind of propagation", without(trial(), &[14, 0, 2, 0])),
        ("code 256", facet(1, 256.into())),
        ("null for a code", facet(1, Value::Null)),
        ("seven components", facet(3, arrays(7, &[2, 10]))),
        ("component of 101 %", facet(3, arrays(1, &[2, 101]))),
        ("component without share", facet(3, arrays(1, &[2]))),
        ("four auxins", facet(4, arrays(4, &[2, 2, 0]))),
        ("auxin without strength", facet(4, arrays(1, &[2, 2]))),
        ("strength over the limit", facet(4, arrays(1, &[2, 2, 50_001]))),
        ("bottom heat of 41 °C", facet(9, 41.into())),
        ("bottom heat of -6 °C", facet(9, (-6).into())),
        ("rootstock as text", facet(12, "Ferulastra vulgata".into())),
        ("cold for 105 weeks", facet(13, array([0, 105]))),
        ("BBCH 100", facet(14, 100.into())),
        ("21 tip nodes removed", facet(18, 21.into())),
    ]
}

fn others() -> Vec<Named> {
    let withdrawal = body(&crate::sample::withdrawal());
    let revocation = body(&crate::sample::revocation(None));
    let vouch = body(&crate::sample::vouch(key(3).author(), 1, true));
    let proof = propagule_protocol::rotation_proof(&key(2), &key(3).author(), &network());
    let mut identity = [0; 32];
    identity[0] = 1;
    let rotation = |new: &[u8], proof: &[u8]| {
        let head = [(0, 3), (1, 0), (2, 0), (3, 1524)].map(|(k, v)| (Value::from(k), Value::from(v)));
        let keys = [(4.into(), bytes(new)), (5.into(), bytes(proof))];
        Value::Map(head.into_iter().chain(keys).collect())
    };
    vec![
        ("withdrawal without series", without(withdrawal, &[4])),
        ("rotation without the consent of the new key", rotation(&key(2).author().0, &proof)),
        ("rotation to a key of small order", rotation(&identity, &[0; 64])),
        ("rotation with a proof of 63 bytes", rotation(&key(2).author().0, &proof[..63])),
        ("revocation from month 3600", set(revocation, &[4], 3600)),
        ("vouch for a key of small order", set(vouch.clone(), &[4], bytes(&identity))),
        ("vouch of 2", set(vouch.clone(), &[6], 2)),
        ("vouch with sequence 256", set(vouch, &[5], 256)),
    ]
}
