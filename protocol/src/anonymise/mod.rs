//! From a grower's bench to what may leave: one pure function with a complete account.

mod dose;
mod leaves;
mod stays;
mod trial;

pub use trial::{Private, StageDay, StageDays, Trial, TrialArm, TrialPhase};

use crate::cbor;
use crate::date::Date;
use crate::envelope::record_size;
use crate::limits::{RECORD_BYTES, START_OFFSET_MAX, WEEKS_MAX};
use crate::month::Month;
use crate::place::{ClimateError, Place, season};
use crate::record::{
    self, Arm, Body, Counts, DesignFlags, Facets, Head, Phase, RuleError, SchemaError, StageCounts, Summary,
    Weeks,
};

/// One line of the account, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Item {
    /// What it is.
    pub what: String,
    /// Its value.
    pub value: String,
}

impl Item {
    pub(crate) fn new(what: impl Into<String>, value: impl Into<String>) -> Self {
        Self { what: what.into(), value: value.into() }
    }
}

/// A summary ready to be signed, and the account of what leaves and what stays.
#[derive(Clone, Debug, PartialEq)]
pub struct Publication {
    /// What will be signed.
    pub summary: Summary,
    /// Every field that leaves.
    pub leaves: Vec<Item>,
    /// Everything that stays at home.
    pub stays: Vec<Item>,
}

/// Why a trial cannot be published.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum AnonymiseError {
    /// Zone and climate are both missing.
    #[error("the place has neither a hardiness zone nor a climate")]
    NoRegion,
    /// A number of the place's climate that cannot be.
    #[error("place: {0}")]
    Climate(#[from] ClimateError),
    /// A day before the start, or more than ten years after it.
    #[error("{what}: {day} is {weeks} weeks after the start on {started}; 0 to {WEEKS_MAX} can be published")]
    Weeks {
        /// Which day.
        what: String,
        /// The day.
        day: Date,
        /// Weeks from the start.
        weeks: i32,
        /// The start.
        started: Date,
    },
    /// An arm that started more than a year apart from its trial.
    #[error(
        "arm {arm} started {months} months apart from its trial; at most {START_OFFSET_MAX} can be published"
    )]
    StartOffset {
        /// The arm's number.
        arm: u8,
        /// Months from the trial's start.
        months: i32,
    },
    /// A field that the schema cannot carry.
    #[error(transparent)]
    Schema(#[from] SchemaError),
    /// Counts that cannot all be true.
    #[error(transparent)]
    Rule(#[from] RuleError),
    /// An extension or a value outside the profile.
    #[error(transparent)]
    Write(#[from] cbor::WriteError),
    /// Too large even without replicates.
    #[error("the record would take {bytes} bytes, the limit is {RECORD_BYTES}")]
    Oversized {
        /// As encoded, envelope included.
        bytes: usize,
    },
}

/// Makes the summary of `trial` that a record signed in month `signed` will carry.
///
/// Days become months and weeks, strengths two significant digits, stock plants a class, the place a
/// region. Ever rooted leaves only where the rest does not tell it. If replicates do not fit into a record they
/// are left out of all arms, with the flags that speak of them, and the account says so: readers see one pot
/// for each arm.
pub fn anonymise(trial: &Trial, place: &Place, signed: Month) -> Result<Publication, AnonymiseError> {
    place.climate.check()?;
    let mut summary = coarse(trial, place, signed)?;
    let mut stays = stays::account(trial, place);
    if size(&summary)? > RECORD_BYTES {
        without_replicates(&mut summary);
        let why = "counts per replicate of all arms: they do not fit into a record, so readers see it as one pot each";
        stays.push(Item::new("replicates", why));
    }
    check(&summary)?;
    Ok(Publication { leaves: leaves::account(&summary), summary, stays })
}

fn coarse(trial: &Trial, place: &Place, signed: Month) -> Result<Summary, AnonymiseError> {
    let region = place.region();
    if region.zone.is_none() && region.koppen.is_none() {
        return Err(AnonymiseError::NoRegion);
    }
    let weeks = weeks(trial)?;
    let mut arms = trial.arms.iter().map(|arm| coarse_arm(trial, arm)).collect::<Result<Vec<_>, _>>()?;
    arms.sort_by_key(|arm| arm.number);
    Ok(Summary {
        head: Head::of_summary(signed),
        series: trial.series,
        revision: trial.revision,
        taxon: trial.taxon.clone(),
        region,
        season: season(trial.started, place.hemisphere),
        weeks,
        design: trial.design,
        stock_plants: trial.stock_plants.and_then(stock_plant_class),
        doi: trial.doi.clone(),
        grower_mark: trial.grower_mark,
        parent: trial.parent,
        control: trial.control,
        arms,
        extensions: record::Extensions::new(),
    })
}

fn weeks(trial: &Trial) -> Result<Weeks, AnonymiseError> {
    let StageDays { lift, season, spring, last } = &trial.days;
    let weeks = |what: &str, day: &StageDay| {
        day.counted.or(day.planned).map(|day| weeks_between(what, trial.started, day)).transpose()
    };
    Ok(Weeks {
        lift: weeks("lift", lift)?,
        season: weeks("season end", season)?,
        spring: weeks("spring", spring)?,
        last: weeks("final", last)?,
    })
}

fn weeks_between(what: &str, started: Date, day: Date) -> Result<u16, AnonymiseError> {
    let weeks = day.weeks_since(started);
    if day >= started && weeks <= i32::from(WEEKS_MAX) {
        Ok(weeks as u16)
    } else {
        Err(AnonymiseError::Weeks { what: what.to_owned(), day, weeks, started })
    }
}

/// Classes 1 one, 2 two or three, 3 four to nine, 4 ten or more.
fn stock_plant_class(number: u32) -> Option<u8> {
    match number {
        0 => None,
        1 => Some(1),
        2..=3 => Some(2),
        4..=9 => Some(3),
        _ => Some(4),
    }
}

fn coarse_arm(trial: &Trial, arm: &TrialArm) -> Result<Arm, AnonymiseError> {
    let started_on = arm.started_on.unwrap_or(trial.started);
    let phases = arm.phases.iter().map(|phase| coarse_phase(arm.number, started_on, phase));
    Ok(Arm {
        number: arm.number,
        started: arm.started,
        facets: coarse_facets(&arm.method),
        stages: plain_stages(&arm.stages),
        replicates: arm.replicates.as_ref().map(|replicates| replicates.iter().map(|(_, n)| *n).collect()),
        start_offset_months: start_offset(trial, arm.number, started_on)?,
        unlisted_difference: arm.unlisted_difference,
        phases: phases.collect::<Result<_, _>>()?,
        weeks_to_lift: weeks_to_lift(trial, arm, started_on)?,
        extensions: record::Extensions::new(),
    })
}

fn coarse_phase(arm: u8, started: Date, phase: &TrialPhase) -> Result<Phase, AnonymiseError> {
    let after_weeks = weeks_between(&format!("arm {arm}, move"), started, phase.moved_on)?.max(1);
    Ok(Phase { after_weeks, facets: coarse_facets(&phase.method) })
}

fn coarse_facets(method: &Facets) -> Facets {
    let auxin = method.auxin.as_ref().map(|auxins| auxins.iter().copied().map(dose::coarse).collect());
    Facets { auxin, extensions: record::Extensions::new(), ..method.clone() }
}

/// Counts without extensions: what nobody knows the meaning of does not leave.
fn plain_stages(stages: &StageCounts) -> StageCounts {
    let mut plain = stages.clone();
    plain.slots().into_iter().flatten().for_each(plain_counts);
    plain
}

fn plain_counts(counts: &mut Counts) {
    counts.extensions.clear();
    if counts.ever_rooted == counts.rooted_and_left() {
        counts.ever_rooted = None;
    }
    if counts.lost.is_none_or(|lost| lost == 0) {
        counts.lost_by_replicate = None;
    }
}

fn start_offset(trial: &Trial, arm: u8, started_on: Date) -> Result<Option<i8>, AnonymiseError> {
    let months = Month::from(started_on).months_since(Month::from(trial.started));
    match months {
        0 => Ok(None),
        _ if months.abs() <= i32::from(START_OFFSET_MAX) => Ok(Some(months as i8)),
        _ => Err(AnonymiseError::StartOffset { arm, months }),
    }
}

/// Weeks to this arm's lift where they differ from the trial's.
fn weeks_to_lift(trial: &Trial, arm: &TrialArm, started_on: Date) -> Result<Option<u16>, AnonymiseError> {
    let trial_day = trial.days.lift.counted.or(trial.days.lift.planned);
    let Some(day) = arm.lifted_on.or(trial_day) else { return Ok(None) };
    let own = weeks_between(&format!("arm {}, lift", arm.number), started_on, day)?;
    let trial_weeks = trial_day.map(|day| weeks_between("lift", trial.started, day)).transpose()?;
    Ok(Some(own).filter(|_| Some(own) != trial_weeks))
}

/// Takes the lists out, and the flags that would be read of a single pot without them.
fn without_replicates(summary: &mut Summary) {
    if summary.arms.iter().all(|arm| arm.replicates.is_none()) {
        return;
    }
    summary.design = summary.design.without(DesignFlags::REPLICATES_MATCHED | DesignFlags::UNIT_IS_PIECE);
    for arm in &mut summary.arms {
        arm.replicates = None;
        for counts in arm.stages.slots().into_iter().flatten() {
            (counts.replicates, counts.lost_by_replicate) = (None, None);
        }
    }
}

fn size(summary: &Summary) -> Result<usize, AnonymiseError> {
    let payload = cbor::to_bytes(&record::encode_body(&Body::Summary(summary.clone())))?;
    Ok(record_size(payload.len()))
}

/// What every receiver will check.
fn check(summary: &Summary) -> Result<(), AnonymiseError> {
    record::decode_body(record::encode_body(&Body::Summary(summary.clone())), &mut Vec::new())?;
    record::check_rules(summary)?;
    let bytes = size(summary)?;
    if bytes > RECORD_BYTES { Err(AnonymiseError::Oversized { bytes }) } else { Ok(()) }
}
