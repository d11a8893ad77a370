//! In which order what is due is told, and what is folded away. All trials are invented.

use std::collections::BTreeSet;

use proptest::prelude::*;

use super::*;
use crate::dates::When;
use crate::due::of_trial;
use crate::entry::{Entry, Law, Tally, What};
use crate::trial::{Arm, Stage, Trial};

fn day(text: &str) -> Date {
    text.parse().expect("a day")
}

fn lot(code: &str, started: Date) -> Trial {
    let arm = Arm { number: 1, label: "A".to_owned(), started: 24, ..Arm::default() };
    Trial { arms: vec![arm], ..Trial::empty(code, "Morus nigra", When::day(started)) }
}

fn entry(on: &str, what: What) -> Entry {
    Entry { on: When::day(day(on)), what, note: None, files: Vec::new(), once: None }
}

fn looked(on: &str) -> Entry {
    entry(on, What::Looked { trial: "M1".to_owned() })
}

fn counted(on: &str, stage: Stage, rooted: u16, green: u16, died: u16) -> Entry {
    let (rooted, green, dead) = (Some(rooted), Some(green), Some(died));
    let tally = Tally { arm: 1, rooted, green, dead, ..Tally::default() };
    let (trial, stage) = ("M1".to_owned(), Some(stage));
    entry(on, What::Counted { trial, stage, tallies: vec![tally], is_blind: false, law: Law::Fates })
}

fn seen(trial: &Trial, entries: &[Entry], as_of: &str) -> Option<TrialDue> {
    at(trial, entries, day(as_of), Standpoint::default(), None)
}

fn at(
    trial: &Trial,
    entries: &[Entry],
    as_of: Date,
    at: Standpoint,
    published: Option<super::super::Published>,
) -> Option<TrialDue> {
    let season = Season::new(trial, (1..).zip(entries));
    assert_eq!(season.faults, []);
    let tasks = of_trial(&season, Hemisphere::North, published);
    TrialDue::of(&season, tasks, at, as_of, Hemisphere::North)
}

#[test]
fn a_task_is_soon_a_week_before_now_for_two_weeks_late_for_six_more_and_then_it_sleeps() {
    let trial = lot("M1", day("2026-06-06"));
    // The check falls due on 20 June.
    let days = [
        ("2026-06-12", State::Later),
        ("2026-06-13", State::Soon),
        ("2026-06-19", State::Soon),
        ("2026-06-20", State::Now),
        ("2026-07-04", State::Now),
        ("2026-07-05", State::Late),
        ("2026-08-15", State::Late),
        ("2026-08-16", State::Asleep),
    ];
    for (as_of, state) in days {
        assert_eq!(seen(&trial, &[], as_of).map(|due| due.state), Some(state), "{as_of}");
    }
}

#[test]
fn the_spring_count_wakes_nobody_who_was_never_looked_at() {
    let trial = lot("M1", day("2026-06-06"));
    let asleep = seen(&trial, &[], "2027-04-21").expect("a spring count is due");
    assert_eq!(asleep.state, State::Asleep);
    // One look after leaf fall: the grower has not given up.
    let awake = seen(&trial, &[looked("2026-11-20")], "2027-04-21").expect("due");
    assert_eq!((awake.state, awake.first().kind), (State::Now, DueKind::Spring));
    // A lot that was lifted in autumn is counted in spring, whoever looked at it in winter or did not.
    let lifted = counted("2026-08-29", Stage::Lift, 10, 8, 6);
    let lifted = seen(&trial, &[lifted], "2027-04-21").expect("due");
    assert_eq!((lifted.state, lifted.first().kind), (State::Now, DueKind::Spring));
}

#[test]
fn a_day_that_the_grower_set_wakes_a_lot_that_nobody_looked_at() {
    let set = Trial { lift_on: Some(When::day(day("2026-12-10"))), ..lot("M1", day("2026-06-06")) };
    let states =
        ["2026-11-15", "2026-12-05", "2026-12-12"].map(|as_of| seen(&set, &[], as_of).expect("due").state);
    assert_eq!(states, [State::Asleep, State::Soon, State::Now]);
}

#[test]
fn what_was_touched_lately_does_not_sleep_whatever_was_missed_long_ago() {
    let trial = lot("M1", day("2025-06-06"));
    let missed =
        seen(&trial, &[looked("2026-11-20")], "2026-11-25").expect("its spring count was due in April");
    assert_eq!((missed.state, missed.first().kind), (State::Late, DueKind::Spring));
    assert_eq!(seen(&trial, &[], "2026-11-25").map(|due| due.state), Some(State::Asleep));
}

#[test]
fn checks_go_on_after_lift_while_pieces_wait_and_are_monthly_in_winter() {
    let trial = lot("M1", day("2026-06-06"));
    let check = |entries: &[Entry]| {
        let season = Season::new(&trial, (1..).zip(entries));
        assert_eq!(season.faults, []);
        let tasks = of_trial(&season, Hemisphere::North, None);
        tasks.iter().find(|due| due.kind == DueKind::Check).map(|due| due.day.to_string())
    };
    assert_eq!(check(&[]).as_deref(), Some("2026-06-20"));
    let waiting = counted("2026-08-29", Stage::Lift, 10, 8, 6);
    assert_eq!(check(std::slice::from_ref(&waiting)).as_deref(), Some("2026-09-12"));
    assert_eq!(check(&[counted("2026-08-29", Stage::Lift, 10, 0, 14)]), None, "none waits");
    // 20 November and 14 days is in winter: a month instead.
    assert_eq!(check(&[looked("2026-11-20")]).as_deref(), Some("2026-12-20"));
    // The month ends at bud break.
    assert_eq!(check(&[looked("2027-04-01")]).as_deref(), Some("2027-04-20"));
    assert_eq!(check(&[looked("2027-04-10")]).as_deref(), Some("2027-04-24"));
    let last = counted("2027-06-10", Stage::Final, 10, 8, 0);
    assert_eq!(check(&[waiting, last]), None, "the final count is the last");
}

#[test]
fn a_closed_trial_asks_for_nothing() {
    let trial = lot("M1", day("2026-06-06"));
    let closed = What::Closed { trial: "M1".to_owned(), because: None, rest: Some(crate::Fate::NotKnown) };
    assert!(seen(&trial, &[], "2026-07-01").is_some());
    assert_eq!(seen(&trial, &[entry("2026-06-30", closed)], "2026-07-01"), None);
}

#[test]
fn publishing_is_asked_for_from_two_weeks_to_ninety_days_and_once() {
    use super::super::Published;
    let question = Some("does it root?".to_owned());
    let trial = Trial { question, ..lot("M1", day("2026-06-06")) };
    let lifted = [counted("2026-08-29", Stage::Lift, 10, 0, 14)];
    let kinds = |trial: &Trial, entries: &[Entry], as_of: &str, published: Option<Published>| {
        let due = at(trial, entries, day(as_of), Standpoint::default(), published);
        let (state, tasks) = due.map_or((State::Later, Vec::new()), |due| (due.state, due.tasks));
        let kinds = tasks.iter().filter(|(_, due)| due.kind.is_publishing()).map(|(_, due)| due.kind);
        (state, kinds.collect::<Vec<_>>())
    };
    let never = Some(Published::default());
    assert_eq!(kinds(&trial, &lifted, "2026-09-11", never), (State::Later, vec![DueKind::PublishLift]));
    assert_eq!(kinds(&trial, &lifted, "2026-09-12", never), (State::Now, vec![DueKind::PublishLift]));
    assert_eq!(
        kinds(&trial, &lifted, "2026-11-27", never),
        (State::Now, vec![DueKind::PublishLift]),
        "day 90"
    );
    assert_eq!(kinds(&trial, &lifted, "2026-11-28", never), (State::Later, vec![DueKind::PublishLift]));
    let folded = at(&trial, &lifted, day("2026-11-28"), Standpoint::default(), never).expect("folded");
    assert!(folded.is_unpublished);
    assert_eq!(kinds(&trial, &lifted, "2026-09-12", None).1, [], "publishing is off");
    let lot_alone = Trial { question: None, ..trial.clone() };
    assert_eq!(kinds(&lot_alone, &lifted, "2026-09-12", never).1, [], "a lot without a question");
    let opened = Some(Published { series: true, ..Published::default() });
    assert_eq!(kinds(&lot_alone, &lifted, "2026-09-12", opened).1, [DueKind::PublishLift], "it was opened");
    let both = [lifted[0].clone(), counted("2027-04-20", Stage::Spring, 10, 0, 0)];
    assert_eq!(kinds(&trial, &both, "2027-05-10", never).1, [DueKind::PublishLift], "once a trial");
    let seen = Some(Published { series: true, lift: true, ..Published::default() });
    assert_eq!(kinds(&trial, &both, "2027-05-10", seen).1, [DueKind::PublishRevision]);
}

/// A bench of `lots` lots, put in over ten years in early summer and touched no more.
fn untouched(lots: usize, as_of: Date) -> Agenda {
    let per_year = lots / 10;
    let trials = (0..lots).filter_map(|index| {
        let year = 2017 + (index / per_year) as u16;
        let started = Date::new(year, 6, 1)?.plus_days((index % 28) as i32)?;
        let spot = Some(format!("bench {}", index % 7));
        let stands = Standpoint { place: Some("garden".to_owned()), spot };
        at(&lot(&format!("L{index:04}"), started), &[], as_of, stands, None)
    });
    Agenda::new(as_of, trials.collect())
}

#[test]
fn ten_untouched_years_sleep_the_newest_first() {
    let agenda = untouched(1190, day("2026-11-25"));
    let folded = agenda.folded(40);
    assert_eq!((folded.now, folded.soon, folded.more), (Vec::new(), Vec::new(), 0));
    let years: Vec<(u16, usize)> = (2017..=2026).rev().map(|year| (year, 119)).collect();
    assert_eq!(agenda.asleep_by_year(), years);
    assert_eq!(agenda.calendar(), Vec::<&Due>::new());
}

#[test]
fn a_year_of_lots_that_are_due_at_once_keeps_to_its_room() {
    let agenda = untouched(600, day("2026-06-25"));
    let folded = agenda.folded(30);
    let groups = || folded.now.iter().chain(&folded.soon);
    let lines: usize = groups().map(|group| group.lines.len()).sum();
    let headings =
        groups().count() + usize::from(!folded.now.is_empty()) + usize::from(!folded.soon.is_empty());
    assert!(lines + headings <= 30 && lines > 15, "{lines} lines, {headings} headings");
    let near = agenda.of(State::Now).count() + agenda.of(State::Soon).count();
    assert_eq!(folded.more, near - lines);
    assert!(folded.more > 0);
}

#[test]
fn lines_stand_together_by_place_and_spot_the_nearest_first() {
    let as_of = day("2026-06-25");
    let due = |code: &str, started: &str, place: &str, spot: &str| {
        let stands = Standpoint { place: Some(place.to_owned()), spot: Some(spot.to_owned()) };
        at(&lot(code, day(started)), &[], as_of, stands, None).expect("a check is due")
    };
    let trials = vec![
        due("L1", "2026-06-02", "garden", "frame"),
        due("L2", "2026-06-08", "nursery", "mist house"),
        due("L3", "2026-06-10", "garden", "mist house"),
        due("L4", "2026-06-11", "garden", "frame"),
        due("L5", "2026-06-14", "garden", "frame"),
    ];
    let agenda = Agenda::new(as_of, trials);
    let folded = agenda.folded(40);
    let told = |groups: &[Group<'_>]| -> Vec<String> {
        let line = |group: &Group<'_>| {
            let codes: Vec<&str> = group.lines.iter().map(|(trial, _)| trial.trial.as_str()).collect();
            format!("{}: {}", group.heading(), codes.join(" "))
        };
        groups.iter().map(line).collect()
    };
    assert_eq!(
        told(&folded.now),
        ["garden, frame: L4 L1", "garden, mist house: L3", "nursery, mist house: L2"]
    );
    assert_eq!(told(&folded.soon), ["garden, frame: L5"]);
}

proptest! {
    /// Whatever was put in and looked at when: every trial is told exactly once before the folds are opened, every task
    /// exactly once after, and no more lines are taken than there is room for.
    #[test]
    fn nothing_is_left_out_and_nothing_told_twice(
        lots in prop::collection::vec((0i32..900, prop::option::of(0i32..300), 0u8..4), 0..40),
        room in 3usize..60,
    ) {
        let (from, as_of) = (day("2024-06-01"), day("2026-11-25"));
        let trials = lots.iter().enumerate().filter_map(|(index, (after, look, spot))| {
            let started = from.plus_days(*after)?;
            let looks: Vec<Entry> = look.iter().filter_map(|look| started.plus_days(*look))
                .filter(|on| *on <= as_of)
                .map(|on| Entry { on: When::day(on), ..looked("2026-01-01") }).collect();
            let stands = Standpoint { place: None, spot: (*spot > 0).then(|| format!("bench {spot}")) };
            let trial = Trial { code: "M1".to_owned(), ..lot("M1", started) };
            let due = at(&trial, &looks, as_of, stands, None)?;
            Some(TrialDue { trial: format!("L{index}"), ..due })
        });
        let agenda = Agenda::new(as_of, trials.collect());
        let folded = agenda.folded(room);
        let groups = || folded.now.iter().chain(&folded.soon);
        let shown: Vec<&str> = groups().flat_map(|group| &group.lines).map(|(trial, _)| trial.trial.as_str()).collect();
        let once: BTreeSet<&str> = shown.iter().copied().collect();
        prop_assert_eq!(once.len(), shown.len());
        let others = [State::Late, State::Asleep, State::Later].map(|state| agenda.of(state).count());
        prop_assert_eq!(shown.len() + folded.more + others.iter().sum::<usize>(), agenda.trials.len());
        let headings = groups().filter(|group| !group.heading().is_empty()).count();
        let parts = [&folded.now, &folded.soon].iter().filter(|groups| !groups.is_empty()).count();
        prop_assert!(shown.len() + headings + parts <= room);
        let all: usize = State::ALL.iter()
            .flat_map(|state| agenda.opened(*state, None)).map(|group| group.lines.len()).sum();
        prop_assert_eq!(all, agenda.tasks().len());
        let asleep: usize = agenda.asleep_by_year().iter().map(|(_, trials)| trials).sum();
        prop_assert_eq!(asleep, others[1]);
    }
}
