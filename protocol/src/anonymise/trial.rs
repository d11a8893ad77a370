//! The private view of a trial on its grower's bench.

use super::Item;
use crate::date::Date;
use crate::record::{DesignFlags, Facets, Parent, StageCounts, Taxon};

/// A trial with everything its grower knows about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// Random name of the trial on the network; the same over all its revisions.
    pub series: [u8; 16],
    /// 0 for the first publication, one more for each later one.
    pub revision: u8,
    /// What is propagated.
    pub taxon: Taxon,
    /// The day the trial was started.
    pub started: Date,
    /// Days of the stages.
    pub days: StageDays,
    /// How the trial was laid out and scored. With matched replicates every arm has as many, those of one
    /// block at the same place, none started where the block has no place for the arm.
    pub design: DesignFlags,
    /// Exact number of stock plants.
    pub stock_plants: Option<u32>,
    /// Present when transcribed from print.
    pub doi: Option<String>,
    /// Random mark, present when entered for another grower.
    pub grower_mark: Option<[u8; 8]>,
    /// The trial of the same grower that this one follows.
    pub parent: Option<Parent>,
    /// Number of the arm that the others are compared with.
    pub control: Option<u8>,
    /// Treatments in any order.
    pub arms: Vec<TrialArm>,
    /// What is nobody else's business.
    pub private: Private,
}

/// What never leaves, whatever it holds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Private {
    /// The grower's own name of the trial.
    pub name: String,
    /// The grower's own name of the place.
    pub place: String,
    /// Notes.
    pub notes: Vec<String>,
    /// Anything else that stays: photos, operators, spots, days of checks.
    pub other: Vec<Item>,
}

/// Days of the four stages.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct StageDays {
    /// Lift.
    pub lift: StageDay,
    /// Season end, or weaning.
    pub season: StageDay,
    /// Spring count.
    pub spring: StageDay,
    /// Final count.
    pub last: StageDay,
}

/// When a stage was planned, and when it was counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct StageDay {
    /// As planned at the start.
    pub planned: Option<Date>,
    /// As it came.
    pub counted: Option<Date>,
}

/// One treatment as on the bench.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialArm {
    /// 1 to 24, the same over revisions.
    pub number: u8,
    /// The grower's own label.
    pub label: String,
    /// Pieces put in.
    pub started: u16,
    /// The day, where it differs from the trial's.
    pub started_on: Option<Date>,
    /// The day of this arm's lift, where it differs from the trial's.
    pub lifted_on: Option<Date>,
    /// The method, with exact strengths.
    pub method: Facets,
    /// Counts by stage. Ever rooted may be given at every stage; what leaves is only what the rest does not
    /// tell.
    pub stages: StageCounts,
    /// Label and pieces put in of each replicate.
    pub replicates: Option<Vec<(String, u16)>>,
    /// The same number for arms that are alike in operator, shares of stock plants, bench and all else that no
    /// facet holds.
    pub unlisted_difference: Option<u8>,
    /// Later phases in the order of their days.
    pub phases: Vec<TrialPhase>,
}

/// A move of unrooted survivors.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialPhase {
    /// The day.
    pub moved_on: Date,
    /// Where to, in the grower's own words.
    pub spot: String,
    /// The method from then on.
    pub method: Facets,
}
