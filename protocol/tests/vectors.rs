//! Golden vectors: a folder of files, ours or the one that `PROPAGULE_VECTORS_DIR` names.

#![expect(clippy::print_stdout, reason = "the tally is printed")]

mod sample;

use std::path::{Path, PathBuf};

use propagule_protocol::record::Body;
use propagule_protocol::state::resolve;
use propagule_protocol::vocab::Facet;
use propagule_protocol::{Judged, NetworkId, SecretKey, Signed, cbor, judge, sign};
use sample::seal::payload;
use sample::stands::stands;
use sample::view::{from_json, hex, to_json, unhex};
use serde_json::Value as Json;

/// Counts of one run.
#[derive(Default)]
struct Tally {
    valid: usize,
    invalid: usize,
    failed: Vec<String>,
}

#[test]
fn golden_vectors() {
    let folder = std::env::var_os("PROPAGULE_VECTORS_DIR").map_or_else(our_folder, PathBuf::from);
    let mut tally = Tally::default();
    for file in files(&folder) {
        run_file(&file, &mut tally);
    }
    let Tally { valid, invalid, failed } = tally;
    println!("vectors: {valid} valid, {invalid} invalid, {} failed", failed.len());
    assert!(failed.is_empty(), "{}", failed.join("\n"));
    assert!(valid + invalid > 0, "no vectors in {}", folder.display());
}

#[test]
fn ours_are_enough() {
    let count = |list: &str| -> usize {
        let of = |file: PathBuf| read(&file)[list].as_array().map_or(0, Vec::len);
        files(&our_folder()).into_iter().map(of).sum()
    };
    assert!(count("valid") >= 20 && count("held") >= 10 && count("invalid") >= 40 && count("state") >= 20);
}

#[test]
fn one_of_ours_states_every_facet() {
    let stated = |vector: &Json| -> usize {
        let arms = vector["body"]["14"].as_array().into_iter().flatten();
        arms.filter_map(|arm| Some(arm["2"].as_object()?.len())).max().unwrap_or(0)
    };
    let most = |file: &str| {
        let vectors = read(&our_folder().join(file));
        vectors["valid"].as_array().into_iter().flatten().map(stated).max()
    };
    let most = most("valid.json").max(most("major-1-valid.json"));
    assert_eq!(most, Some(Facet::ALL.len()), "protocol/examples/make_vectors/major_one.rs, methods");
}

fn our_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("vectors")
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let paths = entries.map(|entry| entry.expect("a readable folder").path());
    let mut files: Vec<PathBuf> =
        paths.filter(|path| path.extension().is_some_and(|e| e == "json")).collect();
    files.sort();
    files
}

fn read(file: &Path) -> Json {
    let text = std::fs::read_to_string(file).unwrap_or_else(|error| panic!("{}: {error}", file.display()));
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", file.display()))
}

fn run_file(file: &Path, tally: &mut Tally) {
    let json = read(file);
    let network = NetworkId::of(text(&json, "network"));
    let each = |list: &str| json[list].as_array().cloned().unwrap_or_default();
    let mut note = |vector: &Json, verdict: Result<(), String>| {
        let name = vector["name"].as_str().unwrap_or("without a name");
        tally.failed.extend(verdict.err().map(|why| format!("{}: {name}: {why}", file.display())));
    };
    for vector in each("valid") {
        tally.valid += 1;
        note(&vector, check_valid(&vector, &network));
    }
    for vector in each("held") {
        tally.valid += 1;
        note(&vector, check_held(&vector, &network));
    }
    for vector in each("state") {
        tally.valid += 1;
        note(&vector, check_state(&vector, &network));
    }
    for vector in each("invalid") {
        tally.invalid += 1;
        note(&vector, check_invalid(&vector, &network));
    }
}

fn text<'a>(json: &'a Json, key: &str) -> &'a str {
    json[key].as_str().unwrap_or_default()
}

fn same(what: &str, ours: &str, theirs: &str) -> Result<(), String> {
    if ours == theirs { Ok(()) } else { Err(format!("{what}: {ours} here, {theirs} in the vector")) }
}

/// The JSON view, the payload and the signed bytes say the same.
fn check_parts(vector: &Json, record: &[u8]) -> Result<(), String> {
    let body = payload(record);
    same("payload", &hex(&body), text(vector, "payload"))?;
    let from_view = cbor::to_bytes(&from_json(&vector["body"])).map_err(|error| error.to_string())?;
    same("payload from the JSON view", &hex(&from_view), text(vector, "payload"))?;
    let value: ciborium::Value = ciborium::from_reader(&body[..]).map_err(|error| error.to_string())?;
    same("JSON view", &to_json(&value).to_string(), &vector["body"].to_string())?;
    same("signature", &hex(&record[record.len() - 64..]), text(vector, "signature"))
}

fn check_valid(vector: &Json, network: &NetworkId) -> Result<(), String> {
    let record = unhex(text(vector, "record"));
    check_parts(vector, &record)?;
    let Ok(Judged::Accepted(signed)) = judge(&record, network) else {
        return Err(format!("{:?}", judge(&record, network)));
    };
    let Signed { id, author, bytes, body } = *signed;
    same("id", &id.to_string(), text(vector, "id"))?;
    same("author", &author.to_string(), text(vector, "author"))?;
    same("kept bytes", &hex(&bytes), text(vector, "record"))?;
    check_signed_again(vector, &body, network)
}

fn check_signed_again(vector: &Json, body: &Body, network: &NetworkId) -> Result<(), String> {
    let seed = unhex(text(vector, "seed")).try_into().map_err(|_| "seed: not 32 bytes".to_owned())?;
    let again = sign(body, &SecretKey::from_bytes(&seed), network).map_err(|error| error.to_string())?;
    same("signed again", &hex(&again.bytes), text(vector, "record"))
}

fn check_held(vector: &Json, network: &NetworkId) -> Result<(), String> {
    let record = unhex(text(vector, "record"));
    check_parts(vector, &record)?;
    let Ok(Judged::Held(held)) = judge(&record, network) else {
        return Err(format!("{:?}", judge(&record, network)));
    };
    same("why", &held.why.to_string(), text(vector, "why"))?;
    same("id", &held.id.to_string(), text(vector, "id"))?;
    same("author", &held.author.to_string(), text(vector, "author"))
}

/// The records resolve to the state of the vector, whichever of them comes first or last.
fn check_state(vector: &Json, network: &NetworkId) -> Result<(), String> {
    let records = vector["records"].as_array().cloned().unwrap_or_default();
    let mut signed = Vec::new();
    for record in &records {
        match judge(&unhex(record.as_str().unwrap_or_default()), network) {
            Ok(Judged::Accepted(record)) => signed.push(*record),
            other => return Err(format!("{other:?}")),
        }
    }
    for first in 0..signed.len() {
        signed.rotate_left(1);
        let reversed: Vec<Signed> = signed.iter().rev().cloned().collect();
        for order in [&signed, &reversed] {
            let found = stands(&resolve(order));
            for list in ["trials", "withdrawn", "revoked", "vouches", "surplus"] {
                same(&format!("{list}, order {first}"), &found[list].to_string(), &vector[list].to_string())?;
            }
        }
    }
    if signed.is_empty() { Err("no records".to_owned()) } else { Ok(()) }
}

fn check_invalid(vector: &Json, network: &NetworkId) -> Result<(), String> {
    match judge(&unhex(text(vector, "record")), network) {
        Ok(judged) => Err(format!("taken: {judged:?}")),
        Err(refusal) => {
            same("error", &refusal.to_string(), text(vector, "error"))?;
            same("reason", refusal.reason(), text(vector, "reason"))
        }
    }
}
