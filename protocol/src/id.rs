//! Names of 32 bytes: records, authors and networks.

use std::fmt;
use std::str::FromStr;

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use sha2::{Digest, Sha256};

use crate::hex::{self, HexError};
use crate::schema::text_schema;

/// SHA-256 over `propagule-id/1` and the bytes that were signed; the signature is not in it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RecordId(pub [u8; 32]);

/// An Ed25519 public key (RFC 8032) under which records are signed.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AuthorKey(pub [u8; 32]);

/// Which network a record belongs to; it enters every signature.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NetworkId(pub [u8; 32]);

impl RecordId {
    /// The id of a record from the `Sig_structure` (RFC 9052 §4.4) that its author signed.
    pub fn of(sig_structure: &[u8]) -> Self {
        Self(tagged(b"propagule-id/1", sig_structure))
    }
}

impl NetworkId {
    /// SHA-256 over `propagule-network/1` and the name of the network.
    pub fn of(name: &str) -> Self {
        Self(tagged(b"propagule-network/1", name.as_bytes()))
    }
}

fn tagged(tag: &[u8], content: &[u8]) -> [u8; 32] {
    Sha256::new().chain_update(tag).chain_update(content).finalize().into()
}

macro_rules! text_form {
    ($name:ident) => {
        impl $name {
            /// From exactly 32 bytes.
            pub fn from_bytes(bytes: &[u8]) -> Option<Self> {
                bytes.try_into().ok().map(Self)
            }

            /// The 32 bytes.
            pub fn as_bytes(&self) -> &[u8; 32] {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&hex::encode(&self.0))
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, concat!(stringify!($name), "({})"), self)
            }
        }

        impl FromStr for $name {
            type Err = HexError;

            fn from_str(text: &str) -> Result<Self, HexError> {
                hex::decode32(text).map(Self)
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                if serializer.is_human_readable() {
                    serializer.collect_str(self)
                } else {
                    self.0.serialize(serializer)
                }
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                if deserializer.is_human_readable() {
                    String::deserialize(deserializer)?.parse().map_err(D::Error::custom)
                } else {
                    <[u8; 32]>::deserialize(deserializer).map(Self)
                }
            }
        }
    };
}

text_schema!(RecordId, "The id of a record, in hex.", "^[0-9a-f]{64}$");
text_schema!(AuthorKey, "The key of a grower, in hex.", "^[0-9a-f]{64}$");
text_schema!(NetworkId, "The id of a network, in hex.", "^[0-9a-f]{64}$");

text_form!(RecordId);
text_form!(AuthorKey);
text_form!(NetworkId);
