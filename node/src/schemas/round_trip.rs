//! Every command, and every fault, comes out of the socket as it went in.

use std::fmt::Debug;

use proptest::collection::vec;
use proptest::prelude::any;
use proptest::test_runner::{Config, TestRunner};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use super::drawn::Draw;
use super::{read, written};
use crate::schema;
use propagule_app::Request;
use propagule_files::fault::Fault;

/// Draws of each variant.
const CASES: u32 = 40;

/// What a schema allows is read, and what is written of it is read as the same and keeps to the schema.
fn round_trips<T: Serialize + DeserializeOwned + Debug>(name: &str, root: &Value, of: &Value) {
    let mut runner = TestRunner::new(Config { cases: CASES, failure_persistence: None, ..Config::default() });
    let drawn = runner.run(&vec(any::<u8>(), 0..300), |bytes| {
        let document = Draw::new(root, &bytes).document(of);
        let first: T =
            serde_json::from_value(document.clone()).unwrap_or_else(|e| panic!("{e}: {document:#}"));
        let sent = serde_json::to_value(&first).expect("plain data");
        let come: T = serde_json::from_value(sent.clone()).unwrap_or_else(|e| panic!("{e}: {sent:#}"));
        // What the texts of both hold is every field, also one that would not be sent.
        assert_eq!(format!("{first:?}"), format!("{come:?}"));
        // The validator takes a hundred times as long as all the rest.
        if bytes.len().is_multiple_of(8) {
            schema::check_as(name, &sent);
        }
        Ok(())
    });
    drawn.unwrap_or_else(|failure| panic!("{failure}"));
}

/// Each variant of a schema, and in place of a variant that only wraps another enumeration, each of that one.
fn variants(root: &Value, schema: &Value) -> Vec<Value> {
    let Some(Value::Array(all)) = schema.get("oneOf") else { return vec![schema.clone()] };
    let inside = |variant: &Value| {
        let path = variant["$ref"].as_str().map(|path| path.trim_start_matches('#').to_owned());
        let part = path.and_then(|path| root.pointer(&path)).filter(|part| part["oneOf"].is_array());
        let Some(part) = part else { return vec![variant.clone()] };
        let with_tag = |one: &Value| {
            let mut tagged = variant.clone();
            tagged.as_object_mut().expect("an object").remove("$ref");
            tagged["anyOf"] = json!([one]);
            tagged
        };
        part["oneOf"].as_array().into_iter().flatten().map(with_tag).collect()
    };
    all.iter().flat_map(inside).collect()
}

#[test]
fn every_command_comes_as_it_was_sent() {
    schema::is_checked("every_command_comes_as_it_was_sent");
    let root = read::<Request>();
    let variants = variants(&root, &root);
    assert!(variants.len() > 70, "{} commands", variants.len());
    for variant in variants {
        round_trips::<Request>("command", &root, &variant);
    }
}

#[test]
fn every_fault_comes_as_it_was_sent() {
    let root = written::<Fault>();
    for _ in 0..10 {
        round_trips::<Fault>("socket_fault", &root, &root);
    }
}
