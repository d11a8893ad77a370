//! Whose records go when there is no room.

use std::cmp::Reverse;
use std::collections::HashMap;

use propagule_protocol::AuthorKey;

use super::range::{MOST_BITS, author_hash};
use super::{AuthorClass, AuthorRange, DayNumber};
use crate::limits::{FREED_AT_ONCE, KNOWN_SHARE, NEW_SHARE};

/// An author that records are held of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HeldAuthor {
    /// Its key.
    pub author: AuthorKey,
    /// How it stands.
    pub class: AuthorClass,
    /// The day on which it was first seen.
    pub first_seen: DayNumber,
    /// What its records take.
    pub bytes: u64,
}

/// How much room there is, and for what.
#[derive(Clone, Debug, Default)]
pub struct Shortage {
    /// Bytes for all records.
    pub quota: u64,
    /// Bytes that must go at least.
    pub lacking: u64,
    /// Bytes that want to come in, by class.
    pub wants: HashMap<AuthorClass, u64>,
}

/// What is done to make room.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Squeezed {
    /// Bits of the range of strangers that are let in from now on.
    pub bits: u8,
    /// Authors whose records go.
    pub go: Vec<AuthorKey>,
}

/// Makes room among authors; `secret` draws the range, which has so many `bits` now.
///
/// Strangers that take more than their share are thinned: the range is halved until the rest fits, so that which of
/// them stay is drawn, and is no choice of whoever came first or in numbers. Where that frees too little, known authors
/// above their share go, the youngest first, so that a flood which waited is junior to all before it. Whom the grower
/// backs stays.
pub fn squeeze((secret, bits): (u64, u8), authors: &[HeldAuthor], room: &Shortage) -> Squeezed {
    let lacking = room.lacking.max(room.quota / 100 * FREED_AT_ONCE);
    let bits_now = narrowed((secret, bits), authors, room);
    let range = AuthorRange::drawn(secret, bits_now);
    let goes =
        |held: &&HeldAuthor| held.class == AuthorClass::New && bits_now > bits && !range.holds(&held.author);
    let strangers: Vec<&HeldAuthor> = authors.iter().filter(goes).collect();
    let mut freed: u64 = strangers.iter().map(|held| held.bytes).sum();
    let mut go: Vec<AuthorKey> = strangers.iter().map(|held| held.author).collect();
    let mut known: Vec<&HeldAuthor> =
        authors.iter().filter(|held| held.class == AuthorClass::Known).collect();
    known.sort_unstable_by_key(|held| (Reverse(held.first_seen), held.author));
    let mut taken = known.iter().map(|held| held.bytes).sum::<u64>() + wanted(room, AuthorClass::Known);
    for held in known {
        if freed >= lacking || taken <= room.quota / 100 * KNOWN_SHARE {
            break;
        }
        go.push(held.author);
        freed += held.bytes;
        taken -= held.bytes;
    }
    Squeezed { bits: bits_now, go }
}

/// Bits of the widest range in which the strangers, and what wants to come of them, fit into their share.
fn narrowed((secret, bits): (u64, u8), authors: &[HeldAuthor], room: &Shortage) -> u8 {
    let strangers = authors.iter().filter(|held| held.class == AuthorClass::New);
    let mut strangers: Vec<(u64, u64)> =
        strangers.map(|held| (author_hash(&held.author), held.bytes)).collect();
    let mut coming = wanted(room, AuthorClass::New);
    for narrower in bits..MOST_BITS {
        let range = AuthorRange::drawn(secret, narrower);
        if narrower > bits {
            strangers.retain(|(hash, _)| range.holds_hash(*hash));
            coming /= 2;
        }
        let taken: u64 = strangers.iter().map(|(_, bytes)| bytes).sum();
        if taken + coming <= room.quota / 100 * NEW_SHARE {
            return narrower;
        }
    }
    MOST_BITS
}

fn wanted(room: &Shortage, class: AuthorClass) -> u64 {
    room.wants.get(&class).copied().unwrap_or(0)
}
