//! Envelopes built by hand from the text of the specification, also wrong ones.

use ciborium::Value;
use ed25519_dalek::{Signer, SigningKey};
use propagule_protocol::NetworkId;
use propagule_protocol::cbor::encode;

/// The parts of an envelope, each of which may be spoilt before sealing.
#[derive(Clone)]
pub struct Seal {
    pub seed: u8,
    pub network: NetworkId,
    pub header: Vec<u8>,
    pub payload: Vec<u8>,
}

impl Seal {
    pub fn new(seed: u8, network: NetworkId, payload: Vec<u8>) -> Self {
        let key = SigningKey::from_bytes(&[seed; 32]).verifying_key().to_bytes();
        Self { seed, network, header: encode(&header(&key)), payload }
    }

    pub fn message(&self) -> Vec<u8> {
        let aad = [b"propagule-record".as_slice(), &self.network.0].concat();
        let parts = ["Signature1".into(), bytes(&self.header), bytes(&aad), bytes(&self.payload)];
        encode(&Value::Array(parts.to_vec()))
    }

    pub fn signature(&self) -> Vec<u8> {
        SigningKey::from_bytes(&[self.seed; 32]).sign(&self.message()).to_bytes().to_vec()
    }

    pub fn parts(&self) -> [Value; 4] {
        [bytes(&self.header), Value::Map(Vec::new()), bytes(&self.payload), bytes(&self.signature())]
    }

    pub fn record(&self) -> Vec<u8> {
        encode(&Value::Array(self.parts().to_vec()))
    }
}

pub fn header(key: &[u8]) -> Value {
    Value::Map(vec![
        (1.into(), (-8).into()),
        (4.into(), bytes(key)),
        (16.into(), "application/vnd.propagule.record+cbor".into()),
    ])
}

pub fn bytes(bytes: &[u8]) -> Value {
    Value::Bytes(bytes.to_vec())
}

/// The payload of a record.
pub fn payload(record: &[u8]) -> Vec<u8> {
    let outer: Value = ciborium::from_reader(record).expect("CBOR");
    outer.as_array().and_then(|parts| parts[2].as_bytes()).expect("a payload").clone()
}
