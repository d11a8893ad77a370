//! One more grower: a mulberry trial with nothing rooted and most alive at lift, and what spring brought.

use propagule_protocol::anonymise::{Private, StageDay, StageDays, Trial, TrialArm};
use propagule_protocol::{Counts, Date, DesignFlags, Place, StageCounts};

use super::crop::{Cover, Crop, Treatment};
use super::region::REGIONS;
use super::stream::bytes_for;
use super::table::import_table;

/// The grower that a demonstration plays.
#[derive(Clone, Debug, PartialEq)]
pub struct ExtraGrower {
    /// Place with the means of its region.
    pub place: Place,
    /// Name of the region.
    pub region: &'static str,
    /// Code of the trial.
    pub code: &'static str,
    /// The species.
    pub species: &'static str,
    /// The trial after lift.
    pub at_lift: Trial,
    /// The same trial after the spring count.
    pub in_spring: Trial,
    /// Table for `trial import` after lift.
    pub lift_table: String,
    /// The same table after the spring count.
    pub spring_table: String,
}

const CODE: &str = "mulberry-dome-2025";
const STARTED: u16 = 12;
/// Alive at lift, dead at lift, lost at lift, rooted in spring, dead in spring; by treatment.
const OUTCOMES: [(u16, u16, u16, u16, u16); 3] = [(9, 3, 0, 1, 11), (10, 2, 0, 3, 9), (8, 3, 1, 0, 11)];

/// The extra grower of a seed; the counts are written by hand and the same for every seed.
pub fn extra_grower(seed: u64) -> ExtraGrower {
    let region = &REGIONS[0];
    let (at_lift, in_spring) = (trial(seed, false), trial(seed, true));
    ExtraGrower {
        place: region.mean_place(),
        region: region.name,
        code: CODE,
        species: "Morus nigra",
        lift_table: import_table([&at_lift]),
        spring_table: import_table([&in_spring]),
        at_lift,
        in_spring,
    }
}

fn date(year: u16, month: u8, day: u8) -> Date {
    Date::new(year, month, day).expect("the days of the story exist")
}

fn trial(seed: u64, spring: bool) -> Trial {
    let day = |planned, is_counted: bool| StageDay {
        planned: Some(planned),
        counted: is_counted.then_some(planned),
    };
    let treatments = Crop::Morus.treatments(Cover::Dome);
    Trial {
        series: bytes_for(seed, "series of the extra grower")[..16].try_into().expect("16 of 32 bytes"),
        revision: u8::from(spring),
        taxon: Crop::Morus.taxon(),
        started: date(2025, 7, 12),
        days: StageDays {
            lift: day(date(2025, 10, 11), true),
            spring: day(date(2026, 5, 16), spring),
            ..StageDays::default()
        },
        design: DesignFlags(DesignFlags::ALL_ARMS_REPORTED | DesignFlags::STARTED_COUNTED),
        stock_plants: Some(2),
        doi: None,
        grower_mark: None,
        parent: None,
        control: None,
        arms: treatments
            .iter()
            .take(3)
            .zip(OUTCOMES)
            .enumerate()
            .map(|(n, arm)| self::arm(n, arm, spring))
            .collect(),
        private: Private { name: CODE.to_owned(), ..Private::default() },
    }
}

fn arm(
    index: usize,
    (treatment, outcome): (&Treatment, (u16, u16, u16, u16, u16)),
    spring: bool,
) -> TrialArm {
    let (alive, dead, lost, rooted, dead_by_spring) = outcome;
    let lift = Counts {
        alive: Some(alive),
        rooted: Some(0),
        dead: Some(dead),
        lost: Some(lost),
        ..Counts::default()
    };
    let later = Counts {
        alive: Some(rooted),
        rooted: Some(rooted),
        dead: Some(dead_by_spring),
        lost: Some(lost),
        ..Counts::default()
    };
    TrialArm {
        number: index as u8 + 1,
        label: treatment.label.to_owned(),
        started: STARTED,
        started_on: None,
        lifted_on: None,
        method: treatment.method(),
        stages: StageCounts { lift: Some(lift), spring: spring.then_some(later), ..StageCounts::default() },
        replicates: None,
        unlisted_difference: None,
        phases: Vec::new(),
    }
}
