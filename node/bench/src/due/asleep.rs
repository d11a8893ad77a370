//! Which trials nobody will come back to, and which tasks were overtaken by a later one.

use propagule_protocol::Date;
use propagule_protocol::place::Hemisphere;

use super::agenda::{LATE_DAYS, SOON_DAYS};
use super::{Due, DueKind, yearly};
use crate::season::Season;
use crate::trial::Stage;

/// Whether nobody will come back to a trial that was not touched for eight weeks: its last overdue task is overdue by more than eight weeks and nothing is
/// near, or it was never counted, its look is overdue as long, and nothing was entered since the last leaf fall.
/// Then the spring count, which every trial has by itself, wakes it no more; a day that the grower set does.
pub(super) fn is_asleep(season: &Season<'_>, tasks: &[Due], as_of: Date, hemisphere: Hemisphere) -> bool {
    if as_of.days_since(last_touch(season)) <= LATE_DAYS {
        return false;
    }
    let own = || tasks.iter().filter(|due| !due.kind.is_publishing());
    let late = |due: &Due| as_of.days_since(due.day);
    let is_near = |due: &&Due| (-SOON_DAYS..=LATE_DAYS).contains(&late(due));
    let is_forgotten = own().any(|due| late(due) > LATE_DAYS);
    if !own().any(|due| is_near(&due)) {
        return is_forgotten;
    }
    let is_unlooked = own().any(|due| due.kind == DueKind::Check && late(due) > LATE_DAYS);
    let is_set = |due: &Due| {
        matches!(due.kind, DueKind::Lift | DueKind::Stick)
            || (due.kind == DueKind::Spring && season.trial.spring_on.is_some())
    };
    let is_counted = Stage::ALL.iter().any(|stage| season.counted_on(*stage).is_some());
    is_unlooked
        && !is_counted
        && is_untouched(season, as_of, hemisphere)
        && !own().filter(is_near).any(is_set)
}

/// Whether nothing was entered since the last leaf fall.
fn is_untouched(season: &Season<'_>, as_of: Date, hemisphere: Hemisphere) -> bool {
    let leaf_fall = yearly::last_leaf_fall(as_of, hemisphere);
    leaf_fall.is_some_and(|leaf_fall| last_touch(season) <= leaf_fall)
}

/// The last day of which anything was entered.
fn last_touch(season: &Season<'_>) -> Date {
    season.entries.last().map_or(season.trial.started_on, |(_, entry)| entry.on).middle()
}

/// Of what repeats, only the latest that is overdue: one look makes up for all that were missed.
pub(super) fn latest_suckers(tasks: Vec<Due>, as_of: Date) -> Vec<Due> {
    let is_past = |due: &Due| due.kind == DueKind::Suckers && due.day <= as_of;
    let latest = tasks.iter().filter(|due| is_past(due)).map(|due| due.day).max();
    tasks.into_iter().filter(|due| !is_past(due) || Some(due.day) == latest).collect()
}
