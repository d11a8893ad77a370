//! The summary of one trial: what was tried, where in broad terms, and what came of it.

use super::{Arm, Code, Extensions, Head, Taxon};
use crate::month::Month;

/// A whole trial in one revision (kind 1).
#[derive(Clone, Debug, PartialEq)]
pub struct Summary {
    /// Versions and month of publication.
    pub head: Head,
    /// Random name of the trial; the same over all its revisions.
    pub series: [u8; 16],
    /// 0 to 31; the highest one counts.
    pub revision: u8,
    /// What was propagated.
    pub taxon: Taxon,
    /// Coarse form of where.
    pub region: Region,
    /// Month of starting, moved six months in the southern hemisphere.
    pub season: Month,
    /// Weeks from starting to each stage: planned, then actual.
    pub weeks: Weeks,
    /// How the trial was laid out and scored.
    pub design: DesignFlags,
    /// Class of the number of stock plants: 1 one, 2 two or three, 3 four to nine, 4 ten or more.
    pub stock_plants: Option<u8>,
    /// Present when transcribed from print.
    pub doi: Option<String>,
    /// Random mark, present when entered for another grower.
    pub grower_mark: Option<[u8; 8]>,
    /// The trial of the same author that this one follows. From major 1 on.
    pub parent: Option<Parent>,
    /// Number of the arm that the others are compared with. From major 1 on.
    pub control: Option<u8>,
    /// 1 to 24 treatments.
    pub arms: Vec<Arm>,
    /// Unknown ignorable entries.
    pub extensions: Extensions,
}

impl Summary {
    /// Whether any arm was counted at any stage; a summary without counts opens a trial.
    pub fn has_counts(&self) -> bool {
        self.arms.iter().any(|arm| !arm.stages.is_empty())
    }
}

/// The trial that another one follows.
///
/// It names a series of the author of the record; what another author signed under these bytes is not meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Parent {
    /// Random name of the earlier trial.
    pub series: [u8; 16],
    /// What became of it.
    pub relation: Relation,
}

/// How a trial follows an earlier one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Relation {
    /// It stands in the place of the earlier trial, which failed or was entered wrongly.
    Replaces,
    /// The same stocks are worked again where the earlier graft or bud did not take.
    Regraft,
    /// The same question in another season.
    Repeat,
}

impl Relation {
    /// All of them in the order of their numbers.
    pub const ALL: [Self; 3] = [Self::Replaces, Self::Regraft, Self::Repeat];

    /// Its number in a record.
    pub fn number(self) -> u8 {
        match self {
            Self::Replaces => 1,
            Self::Regraft => 2,
            Self::Repeat => 3,
        }
    }

    /// The relation of that number.
    pub fn of_number(number: u8) -> Option<Self> {
        Self::ALL.into_iter().find(|relation| relation.number() == number)
    }

    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Replaces => "replaces",
            Self::Regraft => "regraft of",
            Self::Repeat => "repeats",
        }
    }
}

/// Weeks from starting to a stage, 0 to 520.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Weeks {
    /// Lift day.
    pub lift: Option<u16>,
    /// Season end, or weaning. From major 1 on.
    pub season: Option<u16>,
    /// Spring count.
    pub spring: Option<u16>,
    /// Final count.
    pub last: Option<u16>,
}

/// Bits that say how a trial was laid out and scored.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct DesignFlags(pub u16);

impl DesignFlags {
    /// Replicates were placed at random.
    pub const RANDOMISED: u16 = 1;
    /// Arms were laid out in blocks.
    pub const BLOCKED: u16 = 2;
    /// The scorer did not know the arm.
    pub const SCORED_BLIND: u16 = 4;
    /// Stock plants were split unevenly over the arms.
    pub const STOCK_PLANTS_UNEVEN: u16 = 8;
    /// Every arm of the trial is in the record.
    pub const ALL_ARMS_REPORTED: u16 = 16;
    /// The started count was taken at sticking.
    pub const STARTED_COUNTED: u16 = 32;
    /// One lot without a question.
    pub const LOT: u16 = 64;
    /// The replicates at one place of every arm's list are one block. From major 1 on.
    pub const REPLICATES_MATCHED: u16 = 128;
    /// Each piece was placed by itself among the others. From major 1 on.
    pub const UNIT_IS_PIECE: u16 = 256;
    /// Started was changed after the first count. From major 1 on.
    pub const STARTED_CHANGED: u16 = 512;

    /// The set bits in words, in the order of the bits.
    pub fn words(self) -> Vec<&'static str> {
        let named = [
            (Self::RANDOMISED, "placed at random"),
            (Self::BLOCKED, "laid out in blocks"),
            (Self::SCORED_BLIND, "scored blind"),
            (Self::STOCK_PLANTS_UNEVEN, "stock plants split unevenly over arms"),
            (Self::ALL_ARMS_REPORTED, "all arms reported"),
            (Self::STARTED_COUNTED, "started counted at sticking"),
            (Self::LOT, "one lot without a question"),
            (Self::REPLICATES_MATCHED, "replicates matched in blocks"),
            (Self::UNIT_IS_PIECE, "each piece placed by itself"),
            (Self::STARTED_CHANGED, "started changed after the first count"),
        ];
        named.into_iter().filter(|(bit, _)| self.has(*bit)).map(|(_, word)| word).collect()
    }

    /// Whether all of `bits` are set.
    pub fn has(self, bits: u16) -> bool {
        self.0 & bits == bits
    }

    /// The flags without `bits`.
    #[must_use]
    pub fn without(self, bits: u16) -> Self {
        Self(self.0 & !bits)
    }
}

/// The published, coarse form of a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Region {
    /// Which rule made it.
    pub rule: Code,
    /// Köppen group and second letter, or group alone.
    pub koppen: Option<Code>,
    /// Whole hardiness zone, 1 to 13.
    pub zone: Option<u8>,
    /// floor(coldest month's mean in °C / 4).
    pub coldest: Option<i8>,
    /// floor(hottest month's mean in °C / 4).
    pub hottest: Option<i8>,
    /// floor(ln(yearly rain in mm / 100) / ln 1.5), 0 to 30.
    pub rain: Option<u8>,
    /// Unknown ignorable entries.
    pub extensions: Extensions,
}
