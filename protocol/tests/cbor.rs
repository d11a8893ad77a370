//! The CBOR profile against RFC 8949, and the writer against the scanner.

use ciborium::Value;
use propagule_protocol::cbor::{ScanFault, encode, read, scan, to_bytes};
use proptest::prelude::*;

mod sample;
use sample::view::unhex;

#[test]
fn every_example_of_appendix_a_is_taken_or_refused_as_the_profile_says() {
    let rows = include_str!("data/rfc8949-appendix-a.tsv").lines().filter(|line| !line.starts_with('#'));
    let mut number = 0;
    for row in rows {
        number += 1;
        let (hex, expected) = row.split_once('\t').expect("two columns");
        let bytes = unhex(hex);
        let said = scan(&bytes).map_or_else(|error| error.fault.to_string(), |()| "ok".to_owned());
        assert_eq!(said, expected, "{hex}");
        if expected == "ok" {
            let value: Value = ciborium::from_reader(&bytes[..]).expect("CBOR");
            assert_eq!(encode(&value), bytes, "{hex} is written in another way");
            assert_eq!(read(&bytes), Ok(value), "{hex} is read in another way");
        }
    }
    assert_eq!(number, 82);
}

/// RFC 8949 appendix F lists encodings that are not well-formed; by subkind, one example of each kind.
#[test]
fn what_is_not_well_formed_is_refused() {
    let truncated =
        ["18", "19", "1a", "1b", "1901", "1a0102", "41", "61", "5affffffff00", "81", "a1", "a100"];
    let reserved = ["1c", "1d", "1e", "3c", "5c", "7d", "9e", "bc", "dd", "fc", "fd", "fe"];
    let indefinite = ["1f", "3f", "df", "ff", "5f00", "7f00", "9f", "bf", "81ff", "a1ff"];
    let check = |list: &[&str], fault: ScanFault| {
        for hex in list {
            assert_eq!(scan(&unhex(hex)).expect_err(hex).fault, fault, "{hex}");
        }
    };
    check(&truncated, ScanFault::Truncated);
    check(&reserved, ScanFault::ReservedHead);
    check(&indefinite, ScanFault::Indefinite);
    check(&["f800", "f818", "f81f"], ScanFault::Simple);
    check(&[""], ScanFault::Truncated);
    check(&["0000"], ScanFault::Trailing);
}

/// RFC 8949 §4.2.1: keys by their encoded bytes; the older length-first rule would agree for these keys.
#[test]
fn keys_are_sorted_by_their_encoding() {
    let map = |keys: &[u64]| Value::Map(keys.iter().map(|key| ((*key).into(), 0.into())).collect());
    let sorted = encode(&map(&[10, 1000, 24, 0, 65_536]));
    assert_eq!(sorted, unhex("a500000a0018180019 03e8001a0001000000".replace(' ', "").as_str()));
    assert_eq!(scan(&sorted), Ok(()));
    assert!(to_bytes(&map(&[1, 1])).is_err());
}

#[test]
fn floats_tags_booleans_and_other_keys_are_not_written() {
    let outside = [
        Value::Float(1.5),
        Value::Bool(true),
        Value::Tag(1, Box::new(Value::Null)),
        Value::Map(vec![("a".into(), 1.into())]),
        Value::Map(vec![((-1).into(), 1.into())]),
    ];
    for value in outside {
        assert!(to_bytes(&value).is_err(), "{value:?}");
    }
}

#[test]
fn a_huge_claim_is_refused_at_once() {
    for head in ["9bffffffffffffffff", "bbffffffffffffffff", "5bffffffffffffffff", "7b7fffffffffffffff"] {
        assert_eq!(scan(&unhex(head)).expect_err(head).fault, ScanFault::Truncated);
    }
}

fn any_value() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        any::<u64>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        proptest::collection::vec(any::<u8>(), 0..40).prop_map(Value::Bytes),
        "\\PC{0,20}".prop_map(Value::from),
        Just(Value::Null),
    ];
    leaf.prop_recursive(7, 64, 8, |inner| {
        let map = proptest::collection::btree_map(any::<u64>(), inner.clone(), 0..8);
        prop_oneof![
            proptest::collection::vec(inner, 0..8).prop_map(Value::Array),
            map.prop_map(|m| Value::Map(m.into_iter().map(|(k, v)| (k.into(), v)).collect())),
        ]
    })
}

proptest! {
    #[test]
    fn what_is_written_is_scanned_and_read_back(value in any_value()) {
        let bytes = encode(&value);
        prop_assert_eq!(scan(&bytes), Ok(()));
        let by_ciborium: Value = ciborium::from_reader(&bytes[..]).expect("CBOR");
        prop_assert_eq!(encode(&by_ciborium), bytes.clone());
        prop_assert_eq!(read(&bytes), Ok(by_ciborium));
    }

    /// One encoding for one value: what the scanner takes, the writer writes.
    #[test]
    fn what_is_scanned_is_what_the_writer_writes(bytes in proptest::collection::vec(any::<u8>(), 0..24)) {
        if scan(&bytes).is_ok() {
            let value: Value = ciborium::from_reader(&bytes[..]).expect("scanned");
            prop_assert_eq!(encode(&value), bytes);
        }
    }

    #[test]
    fn a_changed_byte_of_an_encoding_still_has_one_reading(
        value in any_value(),
        at in any::<proptest::sample::Index>(),
        byte in any::<u8>(),
    ) {
        let mut bytes = encode(&value);
        let at = at.index(bytes.len());
        bytes[at] = byte;
        if scan(&bytes).is_ok() {
            let value: Value = ciborium::from_reader(&bytes[..]).expect("scanned");
            prop_assert_eq!(encode(&value), bytes);
        }
    }
}
