//! What a reader should know about a trial's records.

/// A set of flags.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Flags(pub u8);

impl Flags {
    /// A later revision started with fewer pieces; the larger number is pooled.
    pub const SHRUNK: Self = Self(1);
    /// An arm of an earlier revision is missing; it is still pooled.
    pub const ARM_VANISHED: Self = Self(2);
    /// Counts of a stage that an earlier revision had are missing.
    pub const STAGE_DROPPED: Self = Self(4);
    /// Two records at one revision; the lower id stands.
    pub const EQUIVOCATED: Self = Self(8);
    /// A key of the author rotated twice; the lower id stands.
    pub const ROTATED_TWICE: Self = Self(16);
    /// The key that signed was revoked later.
    pub const KEY_REVOKED: Self = Self(32);

    const WORDS: [(Self, &'static str); 6] = [
        (Self::SHRUNK, "a later revision started with fewer pieces"),
        (Self::ARM_VANISHED, "an arm of an earlier revision is missing"),
        (Self::STAGE_DROPPED, "counts of an earlier revision are missing"),
        (Self::EQUIVOCATED, "two records at one revision"),
        (Self::ROTATED_TWICE, "a key of the author rotated twice"),
        (Self::KEY_REVOKED, "the key was revoked later"),
    ];

    /// Whether all of `flags` are set.
    pub fn has(self, flags: Self) -> bool {
        self.0 & flags.0 == flags.0
    }

    /// Whether nothing is flagged.
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Both sets together.
    #[must_use]
    pub fn and(self, more: Self) -> Self {
        Self(self.0 | more.0)
    }

    /// `more` when `condition` holds.
    #[must_use]
    pub(super) fn and_if(self, condition: bool, more: Self) -> Self {
        if condition { self.and(more) } else { self }
    }

    /// The set flags in words.
    pub fn words(self) -> Vec<&'static str> {
        Self::WORDS.into_iter().filter(|(flag, _)| self.has(*flag)).map(|(_, word)| word).collect()
    }
}
