//! One trial of one grower: design, pieces, days, and its revisions on the network.

use jiff::civil;
use propagule_protocol::anonymise::{Private, StageDay, StageDays, Trial, TrialArm};
use propagule_protocol::{Date, DesignFlags, Month, StageCounts};

use super::counts::{self, Law, Replicates, Shift};
use super::crop::{Crop, Treatment};
use super::effects::{
    BLOCK_SD, CONFOUNDED_SHARE, EDGE, EDGE_SHARE, REPLICATE_SIZES, STOCK_PLANT_SD, TRIAL_SD,
};
use super::grower::{Character, id};
use super::stream::{Stream, bytes_for};

/// Seasons of the scenario; the spring after the last one has not come.
pub(super) const SEASONS: [u16; 2] = [2025, 2026];
/// Month in which the scenario stands: nothing is signed later.
pub(super) const NOW: (u16, u8) = (2026, 11);
/// Share of trials that are opened on the network when they are started.
const OPENED_SHARE: f64 = 0.7;

/// One trial as its grower holds it, and when each revision was published.
#[derive(Clone, Debug, PartialEq)]
pub struct ScenarioTrial {
    /// The grower's own code, such as `g01-mulberry-2025`.
    pub code: String,
    /// What is propagated.
    pub crop: Crop,
    /// The trial at each revision with the month in which it was signed.
    pub revisions: Vec<(Month, Trial)>,
}

/// What was drawn for a trial before any piece.
struct Design {
    treatments: Vec<Treatment>,
    blocks: usize,
    size: u16,
    trial: f64,
    stock_plants: Vec<f64>,
    confounded: bool,
    block: Vec<f64>,
    has_vole: bool,
}

fn design(stream: &mut Stream, crop: Crop, grower: &Character) -> Design {
    let designs = crop.designs();
    let chosen = designs[stream.weighted(&designs.iter().map(|(_, weight)| *weight).collect::<Vec<_>>())].0;
    let all = crop.treatments(grower.cover);
    let blocks = 3 + stream.below(2);
    let stock_plants = 1 + stream.below(4);
    Design {
        treatments: chosen.iter().map(|index| all[*index].clone()).collect(),
        blocks,
        size: *stream.choose(&REPLICATE_SIZES),
        trial: stream.normal(TRIAL_SD),
        stock_plants: (0..stock_plants).map(|_| stream.normal(STOCK_PLANT_SD)).collect(),
        confounded: stream.chance(CONFOUNDED_SHARE),
        block: (0..blocks).map(|_| stream.normal(BLOCK_SD)).collect(),
        has_vole: false,
    }
}

impl Design {
    /// The stock plant of a piece: one for each arm where they are confounded, else one after the other.
    fn stock_plant(&self, arm: usize, piece: usize) -> f64 {
        let index = if self.confounded { arm } else { piece };
        self.stock_plants[index % self.stock_plants.len()]
    }
}

fn grow(stream: &mut Stream, design: &Design, arm: usize, crop: Crop, grower: &Character) -> Replicates {
    let steps = design.treatments[arm].steps_in(crop, grower.region.distance(), grower.region.hottest());
    let law = Law { steps, in_time: crop.in_time(), can_root: !(grower.hard_water && crop == Crop::Morus) };
    let mut replicates = Vec::new();
    for (block, effect) in design.block.iter().enumerate() {
        let edge = if stream.chance(EDGE_SHARE) { EDGE } else { 0.0 };
        let winter = grower.skill + design.trial;
        let vole = design.has_vole && block == 0;
        let pieces = (0..usize::from(design.size)).map(|piece| {
            let plant = design.stock_plant(arm, block * usize::from(design.size) + piece);
            let shift = Shift { lift: winter + plant + effect + edge, winter, vole };
            counts::piece(stream, &law, shift)
        });
        replicates.push(pieces.collect());
    }
    replicates
}

fn arm(number: usize, treatment: &Treatment, design: &Design, stages: StageCounts) -> TrialArm {
    TrialArm {
        number: number as u8 + 1,
        label: treatment.label.to_owned(),
        started: design.size * design.blocks as u16,
        started_on: None,
        lifted_on: None,
        method: treatment.method(),
        stages,
        replicates: Some((1..=design.blocks).map(|block| (format!("block {block}"), design.size)).collect()),
        unlisted_difference: treatment.unlisted_difference,
        phases: Vec::new(),
    }
}

/// All trials of a grower in order of season and crop. A vole, where there is one, comes to one bed of the first.
pub(super) fn trials(seed: u64, grower: &Character) -> Vec<ScenarioTrial> {
    let mut trials = Vec::new();
    for season in SEASONS {
        for crop in Crop::ALL {
            let vole = grower.has_voles && trials.is_empty();
            trials.extend(trial(seed, grower, (crop, season), vole));
        }
    }
    trials
}

/// The trial of a crop and a season, unless this grower does not try it then.
pub(super) fn trial(
    seed: u64,
    grower: &Character,
    (crop, season): (Crop, u16),
    has_vole: bool,
) -> Option<ScenarioTrial> {
    let code = format!("{}-{}-{season}", id(grower.number), crop.word());
    let mut stream = Stream::new(seed, &format!("trial {code}"));
    if !stream.chance(crop.share()) {
        return None;
    }
    let design = Design { has_vole, ..design(&mut stream, crop, grower) };
    let days = days(&mut stream, crop, season);
    let plan = Publishing::draw(&mut stream);
    let arms: Vec<Replicates> =
        (0..design.treatments.len()).map(|arm| grow(&mut stream, &design, arm, crop, grower)).collect();
    let spring_counted = season < NOW.0;
    let whole = Trial {
        series: bytes_for(seed, &format!("series {code}"))[..16].try_into().expect("16 of 32 bytes"),
        revision: 0,
        taxon: crop.taxon(),
        started: days.started,
        days: days.planned(),
        design: flags(&design),
        stock_plants: Some(design.stock_plants.len() as u32),
        doi: None,
        grower_mark: None,
        parent: None,
        control: None,
        arms: arms
            .iter()
            .enumerate()
            .map(|(n, pieces)| arm(n, &design.treatments[n], &design, counts::stages(pieces, spring_counted)))
            .collect(),
        private: Private { name: code.clone(), ..Private::default() },
    };
    Some(ScenarioTrial { code, crop, revisions: plan.revisions(&whole, &days) })
}

fn flags(design: &Design) -> DesignFlags {
    let uneven =
        if design.confounded && design.stock_plants.len() > 1 { DesignFlags::STOCK_PLANTS_UNEVEN } else { 0 };
    let counted = DesignFlags::ALL_ARMS_REPORTED | DesignFlags::STARTED_COUNTED;
    DesignFlags(DesignFlags::RANDOMISED | DesignFlags::BLOCKED | counted | uneven)
}

struct Days {
    started: Date,
    lift: Date,
    spring: Date,
}

impl Days {
    fn planned(&self) -> StageDays {
        let day = |date| StageDay { planned: Some(date), counted: None };
        StageDays { lift: day(self.lift), spring: day(self.spring), ..StageDays::default() }
    }
}

fn days(stream: &mut Stream, crop: Crop, season: u16) -> Days {
    let (year, month) = crop.start(season);
    let started = Date::new(year, month, 1 + stream.below(28) as u8).expect("every month has 28 days");
    let spring = Date::new(season + 1, 4, 10 + stream.below(15) as u8).expect("April has 30 days");
    Days { started, lift: later(started, crop.days_to_lift()), spring }
}

/// So many days after a date.
fn later(date: Date, days: i32) -> Date {
    let date = civil::date(date.year() as i16, date.month() as i8, date.day() as i8);
    let later = date.checked_add(jiff::Span::new().days(days)).expect("the scenario stays in this century");
    Date::new(later.year() as u16, later.month() as u8, later.day() as u8).expect("a civil date exists")
}

/// Whether a trial is opened, and how many months after a count it is published.
struct Publishing {
    opened: bool,
    after_lift: i32,
    after_spring: i32,
}

impl Publishing {
    fn draw(stream: &mut Stream) -> Self {
        Self {
            opened: stream.chance(OPENED_SHARE),
            after_lift: stream.below(3) as i32,
            after_spring: stream.below(2) as i32,
        }
    }

    /// Opening, lift and spring, as far as they have come.
    fn revisions(&self, whole: &Trial, days: &Days) -> Vec<(Month, Trial)> {
        let now = Month::new(NOW.0, NOW.1).expect("a month");
        let signed = |date: Date, after: i32| Month::from(date).plus(after).min(now);
        let mut revisions = Vec::new();
        if self.opened {
            revisions.push((Month::from(days.started), with_stages(whole, days, false, false)));
        }
        revisions.push((signed(days.lift, self.after_lift), with_stages(whole, days, true, false)));
        if Month::from(days.spring) < now {
            revisions.push((signed(days.spring, self.after_spring), with_stages(whole, days, true, true)));
        }
        for (number, (_, trial)) in revisions.iter_mut().enumerate() {
            trial.revision = number as u8;
        }
        revisions
    }
}

fn with_stages(whole: &Trial, days: &Days, lift: bool, spring: bool) -> Trial {
    let mut trial = whole.clone();
    trial.days.lift.counted = lift.then_some(days.lift);
    trial.days.spring.counted = spring.then_some(days.spring);
    for arm in &mut trial.arms {
        arm.stages.lift = arm.stages.lift.take().filter(|_| lift);
        arm.stages.spring = arm.stages.spring.take().filter(|_| spring);
    }
    trial
}
