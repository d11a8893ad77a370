//! What is due for a trial: checks, lift days, wraps and suckers, spring counts, and results that others wait for.

use propagule_protocol::Date;
use propagule_protocol::place::Hemisphere;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub mod agenda;
mod asleep;
mod yearly;

pub use agenda::{Agenda, State, TrialDue};

use super::entry::What;
use super::kind::Kind;
use super::season::Season;
use super::trial::{Stage, Trial};
use crate::dates::When;

/// Days from one look to the next (common practice, no source).
const CHECK_DAYS: i32 = 14;
/// Days from grafting or budding to cutting the wrap (common practice, no source).
const WRAP_DAYS: i32 = 42;
/// Days from one look to the next while plants rest (common practice, no source).
const WINTER_CHECK_DAYS: i32 = 30;
/// Days a lift or spring count may wait before publishing it is due.
const PUBLISH_DAYS: i32 = 14;

/// Something to do.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
pub struct Due {
    /// The day.
    pub day: Date,
    /// The trial.
    pub trial: String,
    /// What.
    pub kind: DueKind,
    /// The kind of the trial, by which it is worded.
    pub of: Kind,
}

/// What is to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum DueKind {
    /// Start the propagules.
    Stick,
    /// Look.
    Check,
    /// Lift and count.
    Lift,
    /// Cut the wrap.
    WrapCut,
    /// Look for suckers.
    Suckers,
    /// Count in spring.
    Spring,
    /// Publish the lift.
    PublishLift,
    /// Publish the spring or final count.
    PublishRevision,
}

impl DueKind {
    /// Stable name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Stick => "stick",
            Self::Check => "check",
            Self::Lift => "lift",
            Self::WrapCut => "wrap-cut",
            Self::Suckers => "suckers",
            Self::Spring => "spring",
            Self::PublishLift => "publish-lift",
            Self::PublishRevision => "publish-revision",
        }
    }
}

/// Which stages of a trial others can see.
#[expect(clippy::struct_excessive_bools, reason = "one for each stage, and one for the series")]
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Published {
    /// Anything at all, were it only the number started.
    pub series: bool,
    /// The lift.
    pub lift: bool,
    /// The season's end.
    pub season: bool,
    /// The spring count.
    pub spring: bool,
    /// The final count.
    pub last: bool,
}

/// What is due for one trial, whatever its day; of `published` none where it is not to be published.
pub fn of_trial(season: &Season<'_>, hemisphere: Hemisphere, published: Option<Published>) -> Vec<Due> {
    let trial = season.trial;
    let (of, mut due) = (trial.kind(), Vec::new());
    if season.closed().is_some() {
        return due;
    }
    let mut add = |day: Option<Date>, kind| {
        due.extend(day.map(|day| Due { day, trial: trial.code.clone(), kind, of }));
    };
    let started = trial.started_on.middle();
    if trial.is_planned {
        add(Some(started), DueKind::Stick);
        return due;
    }
    let stands = season.as_it_stands();
    let is_counted = |stage: Stage| stands.arms.iter().any(|arm| arm.counts(stage).is_some());
    let is_over = season.units.iter().all(|unit| unit.standing().base() == 0);
    let lifted = is_counted(Stage::Lift);
    let ever_after = is_counted(Stage::Spring) || is_counted(Stage::Final);
    let waits = season.units.iter().any(|unit| unit.standing().fates.waiting > 0);
    let is_looked_at = if lifted || ever_after { waits && !is_counted(Stage::Final) } else { !is_over };
    if is_looked_at {
        add(next_check(season.last_look().map_or(started, When::middle), hemisphere), DueKind::Check);
    }
    if !lifted && !ever_after && !is_over {
        add(stands.lift_on.map(|when| when.middle()), DueKind::Lift);
    }
    if is_grafted(trial) && !is_over {
        grafted(season, hemisphere, &stands, &mut add);
    }
    if !ever_after && !is_over {
        let planned = stands.spring_on.map(|when| when.middle());
        add(planned.or_else(|| yearly::in_spring(started, hemisphere)), DueKind::Spring);
    }
    if let Some((kind, stage)) = published.and_then(|published| unpublished(&stands, published)) {
        add(stands.date(stage).and_then(|when| when.middle().plus_days(PUBLISH_DAYS)), kind);
    }
    due
}

/// The day of the next look: in two weeks, or in a month while plants rest, though not after bud break for that.
fn next_check(last: Date, hemisphere: Hemisphere) -> Option<Date> {
    let soon = last.plus_days(CHECK_DAYS)?;
    let Some(bud_break) = yearly::rests_until(soon, hemisphere) else { return Some(soon) };
    Some(last.plus_days(WINTER_CHECK_DAYS)?.min(bud_break))
}

/// What of a trial others wait for: its lift, or a later stage where they have seen something of it already. A batch
/// that answers no question is nobody's business before it was published or opened.
fn unpublished(trial: &Trial, published: Published) -> Option<(DueKind, Stage)> {
    let is_counted = |stage: Stage| trial.arms.iter().any(|arm| arm.counts(stage).is_some());
    if trial.is_lot() && !published.series {
        return None;
    }
    if is_counted(Stage::Lift) && !published.lift {
        return Some((DueKind::PublishLift, Stage::Lift));
    }
    let later = [
        (Stage::Final, published.last),
        (Stage::Spring, published.spring),
        (Stage::Season, published.season),
    ];
    let owed = later.into_iter().find(|(stage, is_out)| is_counted(*stage) && !is_out);
    owed.filter(|_| published.series).map(|(stage, _)| (DueKind::PublishRevision, stage))
}

/// Wraps and suckers.
fn grafted(
    season: &Season<'_>,
    hemisphere: Hemisphere,
    stands: &Trial,
    add: &mut impl FnMut(Option<Date>, DueKind),
) {
    let started = season.trial.started_on.middle();
    let is_cut = season.entries.iter().any(|(_, entry)| matches!(entry.what, What::WrapCut { .. }));
    if !is_cut {
        add(started.plus_days(WRAP_DAYS), DueKind::WrapCut);
    }
    let first = stands.lift_on.filter(|_| stands.arms.iter().any(|arm| arm.lift.is_some()));
    let base = first.map_or(started, |when| when.middle());
    let looked = season.entries.iter().filter(|(_, entry)| matches!(entry.what, What::Suckers { .. }));
    let done = looked.map(|(_, entry)| entry.on.middle()).max();
    let Some(end) = yearly::leaf_fall(base, hemisphere) else { return };
    let mut day = base.plus_days(CHECK_DAYS);
    while let Some(next) = day.filter(|day| *day <= end) {
        if done.is_none_or(|done| next > done) {
            add(Some(next), DueKind::Suckers);
        }
        day = next.plus_days(CHECK_DAYS);
    }
}

/// Whether any treatment is grafted or budded.
pub fn is_grafted(trial: &Trial) -> bool {
    let kinds = trial.arms.iter().filter_map(|arm| crate::spot::checked(&arm.facets).ok());
    kinds
        .filter_map(|facets| facets.word(propagule_protocol::Facet::Kind))
        .any(|kind| matches!(kind.as_str(), "graft" | "bud" | "cutting-graft"))
}

#[cfg(test)]
mod tests;
