//! Writes the golden vectors into `protocol/vectors/`. Run it only when the schema changes on purpose:
//! `cargo run -p propagule-protocol --example make_vectors`.

mod broken;
mod canonical;
mod envelopes;
mod held;
mod major_one;
mod major_one_broken;
#[path = "../../tests/sample/mod.rs"]
mod sample;
mod schema;
mod state;
mod valid;

use std::path::Path;

use propagule_protocol::{Judged, NetworkId, RecordId, judge};
use sample::seal::Seal;
use sample::view::{hex, to_json};
use serde_json::{Value as Json, json};

/// Name of the network of the vectors.
const NETWORK: &str = "propagule vectors";

fn network() -> NetworkId {
    NetworkId::of(NETWORK)
}

fn main() -> std::io::Result<()> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("vectors");
    std::fs::create_dir_all(&folder)?;
    write(&folder, "valid", "valid", &valid::vectors())?;
    write(&folder, "held", "held", &held::vectors())?;
    write(&folder, "invalid-envelope", "invalid", &envelopes::vectors())?;
    write(&folder, "invalid-canonical", "invalid", &canonical::vectors())?;
    write(&folder, "invalid-schema", "invalid", &schema::vectors())?;
    write(&folder, "invalid-rules", "invalid", &broken::vectors())?;
    write(&folder, "state", "state", &state::vectors())?;
    write(&folder, "major-1-valid", "valid", &major_one::valid())?;
    write(&folder, "major-1-held", "held", &major_one_broken::held())?;
    write(&folder, "major-1-invalid-schema", "invalid", &major_one_broken::broken_schema())?;
    write(&folder, "major-1-invalid-rules", "invalid", &major_one_broken::broken_rules())?;
    write(&folder, "major-1-state", "state", &state::of_major_one())
}

fn write(folder: &Path, file: &str, list: &str, vectors: &[Json]) -> std::io::Result<()> {
    let json = json!({ "format": "propagule.vectors/1", "network": NETWORK, list: vectors });
    let text = serde_json::to_string_pretty(&json).expect("JSON of strings and numbers");
    std::fs::write(folder.join(format!("{file}.json")), text + "\n")
}

/// A vector of a record whose envelope holds.
fn good(name: &str, seal: &Seal) -> Json {
    let record = seal.record();
    let body: ciborium::Value = ciborium::from_reader(&seal.payload[..]).expect("CBOR");
    let mut vector = json!({
        "name": name,
        "seed": hex(&[seal.seed; 32]),
        "author": hex(&ed25519_dalek::SigningKey::from_bytes(&[seal.seed; 32]).verifying_key().to_bytes()),
        "body": to_json(&body),
        "payload": hex(&seal.payload),
        "sig_structure": hex(&seal.message()),
        "signature": hex(&seal.signature()),
        "id": RecordId::of(&seal.message()).to_string(),
        "record": hex(&record),
    });
    if let Ok(Judged::Held(held)) = judge(&record, &network()) {
        vector["why"] = json!(held.why.to_string());
    }
    vector
}

/// A vector of a record that is refused, with the exact error.
fn bad(name: &str, record: &[u8]) -> Json {
    let refusal = judge(record, &network()).expect_err(name);
    json!({ "name": name, "record": hex(record), "reason": refusal.reason(), "error": refusal.to_string() })
}
