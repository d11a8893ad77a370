//! The signed envelope: an untagged `COSE_Sign1` (RFC 9052 §4.2) with one algorithm and one header.

mod judge;
mod refusal;
mod sign;

pub use judge::{Held, HoldReason, Judged, id_of, judge, reopen};
pub use refusal::{EnvelopeFault, Part, Refusal};
pub use sign::{SignError, sign};

use ciborium::Value;

use crate::cbor::{self, MapWriter};
use crate::id::{AuthorKey, NetworkId, RecordId};
use crate::record::{Body, Head, Summary};

/// Type (RFC 9596) in every protected header.
pub const RECORD_TYPE: &str = "application/vnd.propagule.record+cbor";

/// Header label of the type (RFC 9596 §2).
const TYPE_LABEL: i64 = 16;

/// A record that was accepted or signed here: its bytes, and what they say.
#[derive(Clone, Debug, PartialEq)]
pub struct Signed {
    /// Name of the record: the same for every valid signature over the same content.
    pub id: RecordId,
    /// The key that signed.
    pub author: AuthorKey,
    /// The record as it is kept and forwarded, never re-encoded.
    pub bytes: Vec<u8>,
    /// What it says.
    pub body: Body,
}

impl Signed {
    /// Versions and month of publication.
    pub fn head(&self) -> &Head {
        self.body.head()
    }

    /// The summary, if it is one.
    pub fn summary(&self) -> Option<&Summary> {
        self.body.summary()
    }
}

/// External data of the `Sig_structure`: ties a signature to records and to one network.
pub(crate) fn external_aad(network: &NetworkId) -> Vec<u8> {
    [b"propagule-record".as_slice(), &network.0].concat()
}

/// The one protected header that `author` can have.
pub(crate) fn header_bytes(author: &AuthorKey) -> Vec<u8> {
    let header = MapWriter::default()
        .put(1, -8)
        .put(4, Value::Bytes(author.0.to_vec()))
        .put(TYPE_LABEL as u64, RECORD_TYPE);
    cbor::to_bytes(&header.finish()).expect("integers, bytes and text are within the profile")
}

/// Size of a record whose body takes so many bytes.
pub(crate) fn record_size(body: usize) -> usize {
    let string = |length: usize| {
        length
            + if length < 24 {
                1
            } else if length < 256 {
                2
            } else {
                3
            }
    };
    // Head of the array, header, empty map, body, signature.
    1 + string(header_bytes(&AuthorKey([0; 32])).len()) + 1 + string(body) + string(64)
}
