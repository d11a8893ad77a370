//! Signing keys and the checks on public ones (RFC 8032).

use std::fmt;

use ed25519_dalek::{Signature, Signer, SigningKey, VerifyingKey};
use zeroize::Zeroizing;

use crate::id::{AuthorKey, NetworkId};

/// A secret Ed25519 key. It is wiped when dropped and never shown by `Debug`.
#[derive(Clone)]
pub struct SecretKey(SigningKey);

/// The operating system gave no random bytes.
#[derive(Debug, thiserror::Error)]
#[error("no random bytes from the operating system: {0}")]
pub struct EntropyError(getrandom::Error);

impl SecretKey {
    /// A fresh key from the operating system's random source.
    pub fn generate() -> Result<Self, EntropyError> {
        let mut seed = Zeroizing::new([0; 32]);
        getrandom::fill(seed.as_mut_slice()).map_err(EntropyError)?;
        Ok(Self::from_bytes(&seed))
    }

    /// The key with this seed (RFC 8032 §5.1.5).
    pub fn from_bytes(seed: &[u8; 32]) -> Self {
        Self(SigningKey::from_bytes(seed))
    }

    /// The seed, wiped after use.
    pub fn to_bytes(&self) -> Zeroizing<[u8; 32]> {
        Zeroizing::new(self.0.to_bytes())
    }

    /// The public half.
    pub fn author(&self) -> AuthorKey {
        AuthorKey(self.0.verifying_key().to_bytes())
    }

    /// Signs bytes that already carry their own domain tag.
    pub(crate) fn sign(&self, message: &[u8]) -> [u8; 64] {
        self.0.sign(message).to_bytes()
    }
}

impl fmt::Debug for SecretKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "SecretKey of {}", self.author())
    }
}

/// Why a public key cannot sign records.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum KeyFault {
    /// The bytes do not stand for a point of the curve.
    #[error("not a point of the curve")]
    NotAPoint,
    /// The y coordinate is not below the field prime, so the point has a second spelling.
    #[error("not the shortest form of its point")]
    NotCanonical,
    /// A point of small order, under which one signature may hold for many messages.
    #[error("a point of small order")]
    SmallOrder,
}

impl AuthorKey {
    /// The key ready for verifying, unless it has a second spelling or small order.
    pub(crate) fn checked(&self) -> Result<VerifyingKey, KeyFault> {
        if !is_below_prime(&self.0) {
            return Err(KeyFault::NotCanonical);
        }
        let key = VerifyingKey::from_bytes(&self.0).map_err(|_| KeyFault::NotAPoint)?;
        if key.is_weak() { Err(KeyFault::SmallOrder) } else { Ok(key) }
    }

    /// Whether the key can sign records at all.
    pub fn check(&self) -> Result<(), KeyFault> {
        self.checked().map(|_| ())
    }
}

/// Whether the little-endian y (sign bit apart) is below 2^255 − 19.
fn is_below_prime(bytes: &[u8; 32]) -> bool {
    let top = bytes[31] & 0x7f;
    top != 0x7f || bytes[0] < 0xed || bytes[1..31].iter().any(|b| *b != 0xff)
}

pub(crate) fn verify(key: &VerifyingKey, message: &[u8], signature: &[u8; 64]) -> bool {
    key.verify_strict(message, &Signature::from_bytes(signature)).is_ok()
}

/// What the new key signs in a rotation: `propagule-rotate`, network id, old key, new key.
pub(crate) fn rotation_message(network: &NetworkId, old: &AuthorKey, new: &AuthorKey) -> Vec<u8> {
    [b"propagule-rotate".as_slice(), &network.0, &old.0, &new.0].concat()
}

/// The new key's signature that a rotation record carries as proof that it wants to follow `old`.
pub fn rotation_proof(new: &SecretKey, old: &AuthorKey, network: &NetworkId) -> [u8; 64] {
    new.sign(&rotation_message(network, old, &new.author()))
}

#[cfg(test)]
mod tests;
