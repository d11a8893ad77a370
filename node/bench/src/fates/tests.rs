//! The fates against worked cases, against a second implementation of the rules, and over random seasons.

mod cases;
mod second;

use proptest::prelude::*;

use super::*;
use crate::dates::When;
use crate::entry::{Law, Tally};
use crate::trial::Stage;

fn day(number: u8) -> When {
    When::day(format!("2026-{:02}-{:02}", 3 + number / 28, 1 + number % 28).parse().expect("a day"))
}

fn taken(number: u8, law: Law) -> Taken {
    Taken { on: day(number), stage: None, rest: None, law }
}

fn at(stage: Stage, rest: Option<Rest>) -> Taken {
    Taken { on: day(50), stage: Some(stage), rest, law: Law::Fates }
}

/// Something that happens to a unit: a tally, or pieces that leave.
#[derive(Clone, Debug)]
enum Step {
    Tally(Tally),
    Left(u16, bool),
}

fn some_count() -> impl Strategy<Value = Option<u16>> {
    prop_oneof![3 => Just(None), 1 => (0_u16..9).prop_map(Some)]
}

fn steps() -> impl Strategy<Value = Vec<Step>> {
    let counts =
        (some_count(), some_count(), some_count(), some_count(), some_count(), some_count(), some_count());
    let tally = counts.prop_map(|(alive, green, dead, lost, not_known, found_alive, rooted)| {
        Step::Tally(Tally { alive, green, dead, lost, not_known, found_alive, rooted, ..Tally::default() })
    });
    let left = (0_u16..6, any::<bool>()).prop_map(|(pieces, at_grade)| Step::Left(pieces, at_grade));
    proptest::collection::vec(prop_oneof![4 => tally, 1 => left], 0..10)
}

fn play(standing: &Standing, step: &Step, number: u8, law: Law) -> Result<Standing, FateFault> {
    match step {
        Step::Tally(tally) => standing.after(tally, taken(number, law)).map(|(next, _)| next),
        Step::Left(pieces, at_grade) => standing.left(*pieces, *at_grade),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4_000))]

    /// Whatever is accepted, every piece has one state, and pieces that ever had roots are never fewer than before.
    #[test]
    fn pieces_are_conserved_and_roots_are_never_unseen(started in 1_u16..40, steps in steps()) {
        let mut standing = Standing::fresh(started);
        for (step, number) in steps.iter().zip(1..) {
            let ever = standing.fates.ever_rooted();
            let Ok(next) = play(&standing, step, number, Law::Fates) else { continue };
            prop_assert_eq!(next.fates.sum(), started);
            prop_assert!(next.fates.ever_rooted() >= ever, "{:?}", step);
            prop_assert!(next.established.unwrap_or(0) <= next.fates.rooted);
            standing = next;
        }
    }

    /// Entries of the first version are read as then, and conserve pieces too.
    #[test]
    fn older_entries_conserve_pieces(started in 1_u16..40, steps in steps()) {
        let mut standing = Standing::fresh(started);
        for (step, number) in steps.iter().zip(1..) {
            if let Ok(next) = play(&standing, step, number, Law::First) {
                prop_assert_eq!(next.fates.sum(), started);
                standing = next;
            }
        }
    }

    /// A second implementation of the rules, written from their text, agrees in every state and in what it refuses.
    #[test]
    fn a_second_implementation_agrees(started in 1_u16..40, steps in steps()) {
        let mut standing = Standing::fresh(started);
        let mut second = second::Unit::new(started);
        for (step, number) in steps.iter().zip(1..) {
            let found = play(&standing, step, number, Law::Fates);
            let expected = second.play(step);
            prop_assert_eq!(found.is_ok(), expected, "{:?}: {:?}", step, found);
            if let Ok(next) = found {
                standing = next;
            }
            prop_assert_eq!(second.states(), second::states_of(standing.fates), "{:?}", step);
            prop_assert_eq!(second.looked, standing.roots_looked.is_some(), "{:?}", step);
        }
    }

    /// A tally with what follows from it filled in means the same as the one that was typed.
    #[test]
    fn what_follows_from_a_tally_changes_nothing(started in 1_u16..40, steps in steps()) {
        let mut standing = Standing::fresh(started);
        for (step, number) in steps.iter().zip(1..) {
            let Ok(next) = play(&standing, step, number, Law::Fates) else { continue };
            if let Step::Tally(tally) = step {
                let (_, full) = standing.after(tally, taken(number, Law::Fates)).expect("it was accepted");
                let again = standing.after(&full, taken(number, Law::Fates)).map(|(again, _)| again);
                prop_assert_eq!(again.as_ref().map(|s| s.fates), Ok(next.fates), "{:?} as {:?}", tally, full);
            }
            standing = next;
        }
    }
}

#[test]
fn at_a_stage_every_piece_is_accounted_for() {
    let some = Tally { rooted: Some(2), ..Tally::default() };
    let after = |rest| Standing::fresh(4).after(&some, at(Stage::Lift, rest)).map(|(next, _)| next.fates);
    assert_eq!(after(None), Err(FateFault::Unaccounted { count: 2, base: 4 }));
    let dead = after(Some(Rest::Dead)).expect("fits");
    assert_eq!((dead.rooted, dead.waiting, dead.dead.without), (2, 0, 2));
    let open = after(Some(Rest::NotKnown)).expect("fits");
    assert_eq!((open.alive(), open.not_known.all(), open.left_to_count()), (2, 2, 4));
    let alive = after(Some(Rest::Alive)).expect("fits");
    assert_eq!((alive.rooted, alive.waiting), (2, 2));
}

#[test]
fn green_alone_is_a_finding_only_where_it_names_all_that_are_left() {
    let green = |count| Tally { green: Some(count), ..Tally::default() };
    let (all, full) = Standing::fresh(5).after(&green(5), at(Stage::Lift, None)).expect("all are named");
    assert_eq!((all.rooted(), full.rooted, full.alive), (Some(0), Some(0), Some(5)));
    let (rest, _) =
        Standing::fresh(5).after(&green(3), at(Stage::Lift, Some(Rest::Dead))).expect("the rest died");
    assert_eq!((rest.rooted(), rest.fates.dead.all()), (Some(0), 2));
    let fault = Standing::fresh(5).after(&green(3), taken(1, Law::Fates)).expect_err("two are not named");
    assert_eq!(fault, FateFault::GreenOnly { green: 3, alive: 5 });
    let alive = Standing::fresh(5).after(&green(3), at(Stage::Lift, Some(Rest::Alive)));
    assert_eq!(alive.map(|_| ()), Err(FateFault::GreenOnly { green: 3, alive: 5 }));
}

#[test]
fn what_was_not_known_stays_so_at_a_stage_when_nothing_is_said() {
    let rooted = Tally { rooted: Some(21), ..Tally::default() };
    let (standing, _) =
        Standing::fresh(30).after(&rooted, at(Stage::Lift, Some(Rest::NotKnown))).expect("fits");
    let sold = standing.left(15, true).expect("there are so many");
    let last = Tally { finished: Some(4), dead: Some(2), ..Tally::default() };
    let (last, _) = sold.after(&last, at(Stage::Final, None)).expect("six were kept, nine never known");
    let fates = last.fates;
    assert_eq!((fates.alive(), fates.dead.all(), fates.not_known.all(), fates.finished.all()), (4, 2, 9, 15));
    let open = sold.after(&Tally { finished: Some(4), ..Tally::default() }, at(Stage::Final, None));
    assert_eq!(open.map(|_| ()), Err(FateFault::Unaccounted { count: 11, base: 15 }));
}

#[test]
fn deaths_are_said_to_have_had_roots() {
    let looked = Tally { rooted: Some(4), green: Some(2), ..Tally::default() };
    let (standing, _) = Standing::fresh(6).after(&looked, taken(1, Law::Fates)).expect("fits");
    let dead = Tally { dead: Some(2), of_rooted: Some(1), ..Tally::default() };
    let (after, _) = standing.after(&dead, taken(2, Law::Fates)).expect("fits");
    assert_eq!((after.fates.dead.with, after.fates.dead.without, after.fates.rooted), (1, 1, 3));
    let again = Tally { rooted: Some(2), green: Some(2), ..Tally::default() };
    assert!(
        after.after(&again, taken(3, Law::Fates)).is_err(),
        "one fewer, and only the other death could be it"
    );
}

#[test]
fn parts_are_never_more_than_the_whole() {
    let more = Tally { alive: Some(3), rooted: Some(4), dead: Some(1), ..Tally::default() };
    let fault = Standing::fresh(4).after(&more, at(Stage::Lift, None)).expect_err("too many");
    assert_eq!(fault, FateFault::TooMany { part: Part::Rooted, count: 4, of: 3, whole: Whole::Alive });
    let many = Tally { dead: Some(9), ..Tally::default() };
    assert!(Standing::fresh(4).after(&many, taken(1, Law::Fates)).is_err());
    assert!(Standing::fresh(4).left(5, true).is_err());
    let huge = Tally { green: Some(65_000), rooted: Some(65_000), ..Tally::default() };
    assert!(Standing::fresh(4).after(&huge, taken(1, Law::Fates)).is_err());
}

#[test]
fn established_pieces_have_roots() {
    let sound = Tally { established: Some(3), dead: Some(1), ..Tally::default() };
    let (all, _) = Standing::fresh(4).after(&sound, at(Stage::Spring, None)).expect("fits");
    assert_eq!((all.rooted(), all.established), (Some(3), Some(3)));
    let (some, _) = Standing::fresh(6).after(&sound, at(Stage::Spring, Some(Rest::Alive))).expect("fits");
    assert_eq!((some.fates.rooted, some.rooted()), (3, None), "of the two others it is not known");
}
