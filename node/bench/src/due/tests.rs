//! What is due for one trial.

use super::*;
use crate::entry::{Entry, Tally};
use crate::trial::Arm;

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
    let question = Some("does it take?".to_owned());
    Trial { arms: vec![arm], question, ..Trial::empty("M1", "Morus nigra", When::day(day(started))) }
}

fn lift(on: &str, rooted: u16, dead: u16) -> Entry {
    let tally = Tally { arm: 1, rooted: Some(rooted), dead: Some(dead), ..Tally::default() };
    let what = What::Counted {
        trial: "M1".to_owned(),
        stage: Some(Stage::Lift),
        tallies: vec![tally],
        is_blind: false,
        law: crate::Law::Fates,
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
    let due = of_trial(&season, Hemisphere::North, Some(Published::default()));
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
    let due = of_trial(&season, Hemisphere::South, Some(Published::default()));
    assert_eq!(days(&due, DueKind::Suckers).last().map(String::as_str), Some("2027-04-27"));
    assert_eq!(days(&due, DueKind::Spring), ["2027-10-20"]);
}

#[test]
fn checks_follow_the_last_look_until_the_lift() {
    let trial = Trial { lift_on: Some(When::day(day("2026-08-29"))), ..trial("stem cutting", "2026-06-06") };
    let season = Season::new(&trial, std::iter::empty());
    let due = of_trial(&season, Hemisphere::North, Some(Published::default()));
    assert_eq!(days(&due, DueKind::Check), ["2026-06-20"]);
    assert_eq!(days(&due, DueKind::Lift), ["2026-08-29"]);
    let entry = lift("2026-08-29", 20, 4);
    let season = Season::new(&trial, [(1, &entry)].into_iter());
    let due = of_trial(&season, Hemisphere::North, None);
    assert_eq!(due.iter().map(|due| due.kind).collect::<Vec<_>>(), [DueKind::Spring]);
}

#[test]
fn nothing_is_due_where_nothing_lives_but_the_result() {
    let (trial, entry) = (trial("stem cutting", "2026-06-06"), lift("2026-08-29", 0, 24));
    let season = Season::new(&trial, [(1, &entry)].into_iter());
    let due = of_trial(&season, Hemisphere::North, Some(Published::default()));
    assert_eq!(due.iter().map(|due| due.kind).collect::<Vec<_>>(), [DueKind::PublishLift]);
}
