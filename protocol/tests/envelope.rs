//! Signing and judging: what is accepted, what is held, what is refused, and why.

mod sample;

use ciborium::Value;
use propagule_protocol::record::{Body, Code, Head, Summary};
use propagule_protocol::{HoldReason, Judged, NetworkId, Refusal, cbor, judge, reopen, sign};
use sample::seal::{self, Seal};
use sample::{key, network, signed, trial};

fn refusal(bytes: &[u8]) -> Refusal {
    judge(bytes, &network()).expect_err("should be refused")
}

#[test]
fn every_kind_comes_back_as_it_was_signed() {
    let bodies = [
        trial(),
        sample::withdrawal(),
        sample::rotation(1, 2),
        sample::revocation(None),
        sample::revocation(Some(sample::month("2026-05"))),
        sample::vouch(key(3).author(), 9, true),
    ];
    for body in bodies {
        let record = signed(&body, 1);
        assert_eq!(judge(&record.bytes, &network()), Ok(Judged::Accepted(Box::new(record.clone()))));
        assert_eq!(record.author, key(1).author());
    }
}

#[test]
fn records_of_ones_own_store_are_read_back_without_the_signature() {
    let record = signed(&trial(), 1);
    assert_eq!(reopen(&record.bytes, &network()), Ok(record.clone()));
    let mut bytes = record.bytes.clone();
    let last = bytes.len() - 1;
    bytes[last] ^= 1;
    assert_eq!(reopen(&bytes, &network()).map(|r| r.id), Ok(record.id));
    assert_eq!(reopen(&bytes[..last], &network()).expect_err("cut").reason(), "not canonical");
    assert_eq!(reopen(&sealed(&with(0, 6)), &network()), Err(Refusal::Newer(HoldReason::Kind(6))));
}

#[test]
fn signing_twice_gives_the_same_bytes() {
    assert_eq!(signed(&trial(), 1), signed(&trial(), 1));
    assert_ne!(signed(&trial(), 1).id, signed(&trial(), 2).id);
}

#[test]
fn a_record_of_another_network_is_refused() {
    let elsewhere = sign(&trial(), &key(1), &NetworkId::of("another")).expect("valid");
    assert_eq!(refusal(&elsewhere.bytes), Refusal::Signature);
}

#[test]
fn every_flipped_bit_is_refused() {
    let record = signed(&trial(), 1);
    for at in 0..record.bytes.len() * 8 {
        let mut bytes = record.bytes.clone();
        bytes[at / 8] ^= 1 << (at % 8);
        assert!(judge(&bytes, &network()).is_err(), "bit {at}");
    }
}

#[test]
fn every_cut_is_refused() {
    let record = signed(&trial(), 1);
    for length in 0..record.bytes.len() {
        assert_eq!(refusal(&record.bytes[..length]).reason(), "not canonical", "{length} bytes");
    }
}

#[test]
fn oversized_records_are_refused_before_they_are_read() {
    assert_eq!(refusal(&[0xff; 4097]), Refusal::Oversized { bytes: 4097 });
    assert_eq!(refusal(&[0xff; 4096]).reason(), "not canonical");
}

/// Signs an arbitrary body by hand, as a newer version or a stranger would.
fn sealed(body: &Value) -> Vec<u8> {
    Seal::new(1, network(), cbor::encode(body)).record()
}

fn entries(body: &Body) -> Vec<(Value, Value)> {
    let payload = seal::payload(&signed(body, 1).bytes);
    let body: Value = ciborium::from_reader(&payload[..]).expect("CBOR");
    body.into_map().expect("a map")
}

fn with(key: u64, value: impl Into<Value>) -> Value {
    let mut entries = entries(&trial());
    entries.retain(|(k, _)| *k != Value::from(key));
    entries.push((key.into(), value.into()));
    Value::Map(entries)
}

#[test]
fn what_a_stranger_signs_by_the_text_is_what_we_sign() {
    assert_eq!(sealed(&Value::Map(entries(&trial()))), signed(&trial(), 1).bytes);
}

fn hold(body: &Value) -> HoldReason {
    match judge(&sealed(body), &network()) {
        Ok(Judged::Held(held)) => {
            assert_eq!(held.signed, Some(sample::month("2026-11")));
            assert_eq!(held.author, key(1).author());
            held.why
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn newer_kinds_majors_and_critical_keys_are_held() {
    assert_eq!(hold(&with(0, 6)), HoldReason::Kind(6));
    assert_eq!(hold(&with(0, 63)), HoldReason::Kind(63));
    assert_eq!(hold(&with(1, 2)), HoldReason::Major(2));
    assert_eq!(hold(&with(1, 23)), HoldReason::Major(23));
    assert!(
        matches!(hold(&with(15, 1)), HoldReason::CriticalKey(key) if (key.map, key.key) == ("summary", 15))
    );
    assert!(matches!(hold(&with(63, "x")), HoldReason::CriticalKey(key) if key.key == 63));
}

#[test]
fn a_newer_major_is_held_whatever_else_it_says() {
    let body = Value::Map(vec![
        (0.into(), 1.into()),
        (1.into(), 23.into()),
        (2.into(), 0.into()),
        (3.into(), sample::month("2026-11").0.into()),
        (4.into(), Value::Null),
    ]);
    assert_eq!(hold(&body), HoldReason::Major(23));
}

#[test]
fn both_majors_of_every_kind_are_taken() {
    let bodies = [
        trial(),
        sample::withdrawal(),
        sample::rotation(1, 2),
        sample::revocation(None),
        sample::vouch(key(3).author(), 9, true),
    ];
    for body in bodies {
        for major in [0, 1] {
            let mut entries = entries(&body);
            entries.retain(|(key, _)| *key != Value::from(1));
            entries.push((1.into(), major.into()));
            let Ok(Judged::Accepted(record)) = judge(&sealed(&Value::Map(entries)), &network()) else {
                panic!("kind {} of major {major} should be accepted", body.kind())
            };
            assert_eq!(record.head().major, major);
        }
    }
}

/// The head that is signed: summaries by the newer major, so that older readers hold them without blame, all
/// other kinds by the older one, so that they take them.
#[test]
fn summaries_are_signed_as_major_1_and_all_else_as_major_0() {
    let signed = sample::month("2026-11");
    let versions = |head: Head| (head.major, head.minor);
    assert_eq!((versions(Head::of_summary(signed)), versions(Head::new(signed))), ((1, 0), (0, 1)));
}

#[test]
fn what_came_with_major_1_means_nothing_in_major_0() {
    let Value::Map(old) = with(1, 0) else { panic!("a map") };
    let add = |key: u64, value: Value| {
        let mut entries = old.clone();
        entries.retain(|(k, _)| *k != Value::from(key));
        entries.push((key.into(), value));
        Value::Map(entries)
    };
    let why = |body: &Value| refusal(&sealed(body)).to_string();
    for key in 15..=17 {
        assert!(matches!(hold(&add(key, 1.into())), HoldReason::CriticalKey(found) if found.key == key));
    }
    assert_eq!(why(&add(10, 128.into())), "schema: design: 128 is not from 0 to 127");
    let weeks = Value::Map(vec![(4.into(), 1.into())]);
    assert_eq!(why(&add(9, weeks)), "schema: weeks: unknown key 4 in a closed map");
}

#[test]
fn a_newer_minor_is_read_as_this_one() {
    let bytes = sealed(&with(2, 23));
    let Ok(Judged::Accepted(record)) = judge(&bytes, &network()) else { panic!("should be accepted") };
    assert_eq!((record.head().minor, record.bytes), (23, bytes));
    let plain = signed(&trial(), 1);
    assert_eq!(record.body.summary().map(|s| &s.arms), plain.summary().map(|s| &s.arms));
}

#[test]
fn ignorable_keys_are_kept() {
    let bytes = sealed(&with(64, Value::Array(vec![1.into(), "x".into()])));
    let Ok(Judged::Accepted(record)) = judge(&bytes, &network()) else { panic!("should be accepted") };
    assert_eq!(record.bytes, bytes);
    let summary = record.body.summary().expect("a summary");
    assert_eq!(summary.extensions.keys().collect::<Vec<_>>(), [&64]);
    assert_eq!(sign(&record.body, &key(1), &network()).expect("valid").bytes, bytes);
}

#[test]
fn reserved_kinds_are_refused() {
    for kind in [0, 64, 1_000_000] {
        assert_eq!(refusal(&sealed(&with(0, kind))), Refusal::ReservedKind(kind));
    }
}

#[test]
fn unknown_codes_are_valid() {
    let mut summary: Summary = trial().summary().expect("a summary").clone();
    summary.arms[0].facets.wood = Some(Code(200));
    summary.region.koppen = Some(Code(255));
    let record = signed(&Body::Summary(summary), 1);
    assert!(matches!(judge(&record.bytes, &network()), Ok(Judged::Accepted(_))));
}

#[test]
fn schema_faults_name_the_field() {
    let why = |body: &Value| refusal(&sealed(body)).to_string();
    assert_eq!(why(&with(5, 32)), "schema: revision: 32 is not from 0 to 31");
    assert_eq!(why(&with(4, Value::Bytes(vec![0; 15]))), "schema: series: 15 long, expected 16 to 16");
    assert_eq!(why(&with(6, Value::Map(vec![]))), "schema: taxon.genus: missing");
    assert_eq!(
        why(&with(9, Value::Map(vec![(4.into(), 1.into())]))),
        "schema: weeks: unknown key 4 in a closed map"
    );
    assert_eq!(
        why(&with(70, Value::Null)),
        "schema: key 70: null is allowed only as the strength of an auxin"
    );
    assert_eq!(why(&with(14, Value::Array(vec![]))), "schema: arms: 0 long, expected 1 to 24");
    assert_eq!(why(&Value::Map(vec![])), "schema: kind: missing");
    assert_eq!(why(&Value::Array(vec![])), "schema: record: expected a map");
}

#[test]
fn a_rotation_needs_the_consent_of_the_new_key() {
    let Body::Rotation(mut rotation) = sample::rotation(1, 2) else { panic!("a rotation") };
    rotation.proof[0] ^= 1;
    let error = sign(&Body::Rotation(rotation), &key(1), &network()).expect_err("no consent");
    assert_eq!(error.to_string(), "schema: proof: the new key did not sign");
    let other = sign(&sample::rotation(1, 2), &key(3), &network()).expect_err("another old key");
    assert_eq!(other.to_string(), "schema: proof: the new key did not sign");
}
