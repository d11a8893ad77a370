//! One range of author hashes: the strangers that a home without room for all of them keeps.

use propagule_protocol::AuthorKey;
use sha2::{Digest, Sha256};

/// Bits that a range is told by at most.
pub(super) const MOST_BITS: u8 = 16;

/// The first eight bytes of SHA-256 over "propagule-author/1" and the key that signed a record.
pub fn author_hash(author: &AuthorKey) -> u64 {
    let digest = Sha256::new().chain_update(b"propagule-author/1").chain_update(author.0).finalize();
    u64::from_be_bytes(digest[..8].try_into().expect("a SHA-256 digest has 32 bytes"))
}

/// Authors whose hash begins with so many bits of a prefix; none means everybody.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct AuthorRange {
    bits: u8,
    /// The first `bits` of it count, the rest is nothing.
    prefix: u16,
}

impl AuthorRange {
    /// Everybody.
    pub const EVERYBODY: Self = Self { bits: 0, prefix: 0 };

    /// The authors whose hash begins with the lowest `bits` of `prefix`, most significant first; nothing where there
    /// are too many bits, or bits beyond them.
    pub fn new(bits: u8, prefix: u16) -> Option<Self> {
        let is_within = bits <= MOST_BITS && u32::from(prefix) >> bits == 0;
        is_within.then_some(Self { bits, prefix })
    }

    /// How many bits it is told by.
    pub fn bits(self) -> u8 {
        self.bits
    }

    /// Those bits as a number.
    pub fn prefix(self) -> u16 {
        self.prefix
    }

    /// The range of so many bits that a secret draws: wider ones hold narrower ones.
    pub(super) fn drawn(secret: u64, bits: u8) -> Self {
        let bits = bits.min(MOST_BITS);
        Self { bits, prefix: first_bits(secret, bits) }
    }

    /// Whether an author lies in it.
    pub fn holds(self, author: &AuthorKey) -> bool {
        self.holds_hash(author_hash(author))
    }

    /// Whether an author of this hash lies in it.
    pub fn holds_hash(self, hash: u64) -> bool {
        first_bits(hash, self.bits) == self.prefix
    }

    /// What lies in both; nothing where they do not meet.
    pub fn meet(self, other: Self) -> Option<Self> {
        let (wide, narrow) = if self.bits <= other.bits { (self, other) } else { (other, self) };
        (narrow.prefix >> (narrow.bits - wide.bits).min(15) == wide.prefix || wide.bits == 0)
            .then_some(narrow)
    }
}

fn first_bits(hash: u64, bits: u8) -> u16 {
    hash.checked_shr(u32::from(64 - bits)).unwrap_or(0) as u16
}
