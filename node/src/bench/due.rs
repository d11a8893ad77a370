//! What is due: checks, lift days, wraps and suckers, spring counts, and results that others wait for.

use propagule_protocol::Date;
use propagule_protocol::place::Hemisphere;

use super::entry::What;
use super::season::Season;
use super::trial::{Stage, Trial};
use crate::paper::dates::When;

/// Days from one look to the next (common practice, no source).
const CHECK_DAYS: i32 = 14;
/// Days from grafting or budding to cutting the wrap (common practice, no source).
const WRAP_DAYS: i32 = 42;
/// Month and day of leaf fall in the north, after which suckers are not looked for (common practice, no source).
const LEAF_FALL: (u8, u8) = (10, 31);
/// Month and day of the spring count in the north, about bud break (common practice, no source).
const SPRING: (u8, u8) = (4, 20);
/// Days a lift or spring count may wait before publishing it is due.
const PUBLISH_DAYS: i32 = 14;

/// Something to do.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Due {
    /// The day.
    pub day: Date,
    /// The trial.
    pub trial: String,
    /// What.
    pub kind: DueKind,
}

/// What is to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DueKind {
    /// Put the pieces in.
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

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Stick => "put the pieces in",
            Self::Check => "check",
            Self::Lift => "lift and count, all arms on one day",
            Self::WrapCut => "cut the wrap",
            Self::Suckers => "look for suckers",
            Self::Spring => "spring count",
            Self::PublishLift => "lift not published",
            Self::PublishRevision => "spring revision owed",
        }
    }
}

/// Which stages of a trial others can see.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Published {
    /// The lift.
    pub lift: bool,
    /// The spring count.
    pub spring: bool,
    /// The final count.
    pub last: bool,
}

/// What is due for one trial, whatever its day.
pub fn of_trial(season: &Season<'_>, hemisphere: Hemisphere, published: Published) -> Vec<Due> {
    let trial = season.trial;
    let mut due = Vec::new();
    let mut add = |day: Option<Date>, kind| {
        due.extend(day.map(|day| Due { day, trial: trial.code.clone(), kind }));
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
    if !lifted && !ever_after && !is_over {
        let last = season.last_look().map_or(started, When::middle);
        add(last.plus_days(CHECK_DAYS), DueKind::Check);
        add(stands.lift_on.map(|when| when.middle()), DueKind::Lift);
    }
    if is_grafted(trial) && !is_over {
        grafted(season, hemisphere, &stands, &mut add);
    }
    if !ever_after && !is_over {
        let planned = stands.spring_on.map(|when| when.middle());
        add(planned.or_else(|| in_spring(started, hemisphere)), DueKind::Spring);
    }
    let waits = |stage: Stage| stands.date(stage).and_then(|when| when.middle().plus_days(PUBLISH_DAYS));
    if lifted && !published.lift {
        add(waits(Stage::Lift), DueKind::PublishLift);
    }
    let owed = [(Stage::Final, published.last), (Stage::Spring, published.spring)];
    if let Some((stage, _)) = owed.into_iter().find(|(stage, is_out)| is_counted(*stage) && !is_out) {
        add(waits(stage), DueKind::PublishRevision);
    }
    due
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
    let Some(end) = leaf_fall(base, hemisphere) else { return };
    let mut day = base.plus_days(CHECK_DAYS);
    while let Some(next) = day.filter(|day| *day <= end) {
        if done.is_none_or(|done| next > done) {
            add(Some(next), DueKind::Suckers);
        }
        day = next.plus_days(CHECK_DAYS);
    }
}

/// Whether any arm is grafted or budded.
pub fn is_grafted(trial: &Trial) -> bool {
    let kinds = trial.arms.iter().filter_map(|arm| crate::bench::spot::checked(&arm.facets).ok());
    kinds
        .filter_map(|facets| facets.word(propagule_protocol::Facet::Kind))
        .any(|kind| matches!(kind.as_str(), "graft" | "bud" | "cutting-graft"))
}

/// The first such day of a year that is not before `from`; shifted six months in the south.
fn next_yearly(from: Date, (month, day): (u8, u8), hemisphere: Hemisphere) -> Option<Date> {
    let month = match hemisphere {
        Hemisphere::North => month,
        Hemisphere::South => (month + 5) % 12 + 1,
    };
    (from.year()..=from.year() + 1)
        .filter_map(|year| Date::new(year, month, day.min(if month == 2 { 28 } else { 30 })))
        .find(|found| *found >= from)
}

fn leaf_fall(from: Date, hemisphere: Hemisphere) -> Option<Date> {
    next_yearly(from, LEAF_FALL, hemisphere)
}

/// The spring after the season of starting: three months after it at least, so that what is put in in spring is
/// counted a year later.
fn in_spring(started: Date, hemisphere: Hemisphere) -> Option<Date> {
    next_yearly(started.plus_days(92)?, SPRING, hemisphere)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::entry::{Entry, Tally};
    use crate::bench::trial::Arm;

    fn day(text: &str) -> Date {
        text.parse().expect("a day")
    }

    fn trial(kind: &str, started: &str) -> Trial {
        let arm = Arm {
            number: 1,
            label: "A".to_owned(),
            started: 24,
            facets: [("kind".to_owned(), kind.to_owned())].into(),
            ..Arm::default()
        };
        Trial { arms: vec![arm], ..Trial::empty("M1", "Morus nigra", When::day(day(started))) }
    }

    fn lift(on: &str, rooted: u16, dead: u16) -> Entry {
        let tally = Tally { arm: 1, rooted: Some(rooted), dead: Some(dead), ..Tally::default() };
        let what = What::Counted {
            trial: "M1".to_owned(),
            stage: Some(Stage::Lift),
            tallies: vec![tally],
            is_blind: false,
            law: crate::bench::Law::Fates,
        };
        Entry { on: When::day(day(on)), what, note: None, files: Vec::new(), once: None }
    }

    fn days(due: &[Due], kind: DueKind) -> Vec<String> {
        due.iter().filter(|due| due.kind == kind).map(|due| due.day.to_string()).collect()
    }

    #[test]
    fn sucker_checks_run_every_two_weeks_to_leaf_fall() {
        let (trial, entry) = (trial("graft", "2026-05-04"), lift("2026-06-08", 19, 5));
        let season = Season::new(&trial, [(1, &entry)].into_iter());
        let due = of_trial(&season, Hemisphere::North, Published::default());
        let suckers = days(&due, DueKind::Suckers);
        assert_eq!(suckers.len(), 10);
        assert_eq!((suckers[0].as_str(), suckers[9].as_str()), ("2026-06-22", "2026-10-26"));
        assert_eq!(days(&due, DueKind::WrapCut), ["2026-06-15"]);
        assert_eq!(days(&due, DueKind::Spring), ["2027-04-20"]);
        assert_eq!(days(&due, DueKind::PublishLift), ["2026-06-22"]);
    }

    #[test]
    fn the_south_has_its_seasons_half_a_year_later() {
        let (trial, entry) = (trial("graft", "2026-11-04"), lift("2026-12-08", 19, 5));
        let season = Season::new(&trial, [(1, &entry)].into_iter());
        let due = of_trial(&season, Hemisphere::South, Published::default());
        assert_eq!(days(&due, DueKind::Suckers).last().map(String::as_str), Some("2027-04-27"));
        assert_eq!(days(&due, DueKind::Spring), ["2027-10-20"]);
    }

    #[test]
    fn checks_follow_the_last_look_until_the_lift() {
        let trial =
            Trial { lift_on: Some(When::day(day("2026-08-29"))), ..trial("stem cutting", "2026-06-06") };
        let season = Season::new(&trial, std::iter::empty());
        let due = of_trial(&season, Hemisphere::North, Published::default());
        assert_eq!(days(&due, DueKind::Check), ["2026-06-20"]);
        assert_eq!(days(&due, DueKind::Lift), ["2026-08-29"]);
        let entry = lift("2026-08-29", 20, 4);
        let season = Season::new(&trial, [(1, &entry)].into_iter());
        let due = of_trial(&season, Hemisphere::North, Published { lift: true, ..Published::default() });
        assert_eq!(due.iter().map(|due| due.kind).collect::<Vec<_>>(), [DueKind::Spring]);
    }

    #[test]
    fn nothing_is_due_where_nothing_lives_but_the_result() {
        let (trial, entry) = (trial("stem cutting", "2026-06-06"), lift("2026-08-29", 0, 24));
        let season = Season::new(&trial, [(1, &entry)].into_iter());
        let due = of_trial(&season, Hemisphere::North, Published::default());
        assert_eq!(due.iter().map(|due| due.kind).collect::<Vec<_>>(), [DueKind::PublishLift]);
    }
}
