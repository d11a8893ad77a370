//! JSON view of CBOR values: maps by decimal keys, byte strings as `{"$hex": …}`.

use ciborium::Value;
use serde_json::{Map, Value as Json, json};

pub fn to_json(value: &Value) -> Json {
    match value {
        Value::Integer(n) => json!(i64::try_from(*n).expect("small numbers in vectors")),
        Value::Bytes(bytes) => json!({ "$hex": hex(bytes) }),
        Value::Text(text) => json!(text),
        Value::Array(items) => items.iter().map(to_json).collect(),
        Value::Map(entries) => Json::Object(entries.iter().map(|(k, v)| (key(k), to_json(v))).collect()),
        Value::Null => Json::Null,
        other => panic!("{other:?} is outside the profile"),
    }
}

fn key(value: &Value) -> String {
    i128::from(value.as_integer().expect("integer keys")).to_string()
}

pub fn from_json(json: &Json) -> Value {
    match json {
        Json::Null => Value::Null,
        Json::Number(n) => n.as_i64().expect("integers").into(),
        Json::String(text) => text.as_str().into(),
        Json::Array(items) => Value::Array(items.iter().map(from_json).collect()),
        Json::Object(map) => match map.get("$hex") {
            Some(hex) => Value::Bytes(unhex(hex.as_str().expect("hex text"))),
            None => object(map),
        },
        Json::Bool(_) => panic!("no booleans in the profile"),
    }
}

fn object(map: &Map<String, Json>) -> Value {
    let entry = |(k, v): (&String, &Json)| (k.parse::<u64>().expect("decimal keys").into(), from_json(v));
    Value::Map(map.iter().map(entry).collect())
}

pub fn hex(bytes: &[u8]) -> String {
    let digit = |n: u8| char::from_digit(u32::from(n), 16).expect("a nibble");
    bytes.iter().flat_map(|byte| [digit(byte >> 4), digit(byte & 15)]).collect()
}

pub fn unhex(text: &str) -> Vec<u8> {
    let digits: Vec<u8> =
        text.bytes().map(|d| char::from(d).to_digit(16).expect("hex digits") as u8).collect();
    digits.chunks(2).map(|pair| pair[0] << 4 | pair[1]).collect()
}
