//! Guards: who becomes one, for how long, how many.

use std::collections::BTreeSet;

use super::super::SeededDice;
use super::*;

const DAY: Duration = Duration::from_hours(24);
const BEGIN: Moment = Moment(1_800_000_000_000);

fn day(number: u32) -> Moment {
    BEGIN.plus(DAY * number)
}

fn candidates(peers: impl IntoIterator<Item = usize>) -> Vec<Candidate<'static, usize>> {
    peers.into_iter().map(|peer| Candidate { peer, is_chosen: true, place: "" }).collect()
}

fn met_on(peers: &std::ops::Range<usize>, days: u32) -> Guards<usize> {
    let mut guards = Guards::default();
    for number in 0..days {
        for peer in peers.clone() {
            guards.meet(peer, true, day(number));
        }
    }
    guards
}

#[test]
fn nobody_is_a_guard_before_it_was_there_on_three_days() {
    let (timing, mut dice) = (Timing::home(), SeededDice(1));
    let mut guards = met_on(&(7..8), 2);
    assert_eq!(guards.choose(candidates([7]).into_iter(), day(1), &timing, &mut dice), None);
    assert_eq!(guards.ready_at(day(1), &timing), day(2));
    assert!(!guards.meet(7, true, day(1).plus(DAY / 3)), "the same day");
    assert!(!guards.meet(7, true, day(0)), "a clock that went back");
    assert!(guards.meet(7, true, day(2)));
    assert_eq!(guards.choose(candidates([7]).into_iter(), day(2), &timing, &mut dice), Some(7));
    assert_eq!(guards.ready_at(day(2), &timing), day(2));
}

#[test]
fn guards_stay_for_nine_to_fifteen_months_and_three_are_chosen_a_year() {
    let timing = Timing::home();
    for seed in 0..200 {
        let (mut dice, mut guards) = (SeededDice(seed), met_on(&(0..50), 3));
        let mut choose = |guards: &mut Guards<usize>, now| {
            guards.choose(candidates(0..50).into_iter(), now, &timing, &mut dice)
        };
        let chosen: Vec<Option<usize>> = (0..5).map(|_| choose(&mut guards, day(3))).collect();
        assert!(chosen[..GUARDS_A_YEAR].iter().all(Option::is_some) && chosen[3..] == [None, None]);
        let different: BTreeSet<&Option<usize>> = chosen[..GUARDS_A_YEAR].iter().collect();
        assert_eq!(different.len(), GUARDS_A_YEAR);
        assert_eq!(guards.standing(day(3 + 9 * 30 - 1), &timing).len(), GUARDS_A_YEAR);
        assert_eq!(guards.standing(day(3 + 15 * 30), &timing), [0; 0]);
        assert_eq!(choose(&mut guards, day(3 + 364)), None, "also where some of them are over");
        assert!(choose(&mut guards, day(3 + 366)).is_some());
    }
}

#[test]
fn the_draw_is_fair_and_two_guards_are_never_in_one_place() {
    let timing = Timing::home();
    let mut times = [0; 4];
    for seed in 0..4_000 {
        let mut guards = met_on(&(0..4), 3);
        let places = ["a", "a", "a", "b"];
        let connected = || (0..4).map(|peer| Candidate { peer, is_chosen: true, place: places[peer] });
        let mut dice = SeededDice(seed);
        let first = guards.choose(connected(), day(3), &timing, &mut dice).expect("there are four");
        times[first] += 1;
        let second = guards.choose(connected(), day(3), &timing, &mut dice).expect("the other place");
        assert_ne!(places[first], places[second]);
        assert_eq!(guards.choose(connected(), day(3), &timing, &mut dice), None);
    }
    assert!(times.iter().all(|count| (900..1_100).contains(count)), "{times:?}");
}

#[test]
fn who_seems_to_be_gone_is_asked_last() {
    let (timing, mut dice) = (Timing::home(), SeededDice(2));
    let mut guards = met_on(&(1..3), 3);
    let first = guards.choose(candidates([1]).into_iter(), day(3), &timing, &mut dice);
    let second = guards.choose(candidates([2]).into_iter(), day(3), &timing, &mut dice);
    assert_eq!((first, second), (Some(1), Some(2)));
    guards.meet(2, true, day(20));
    assert_eq!(guards.standing(day(16), &timing), [1, 2]);
    assert_eq!(guards.standing(day(17), &timing), [2, 1], "the first was last there on day 2");
}

#[test]
fn whoever_comes_by_itself_pushes_out_nobody_that_this_node_chose() {
    let mut guards = met_on(&(0..10), 1);
    for peer in 0..GUARD_CANDIDATES * 3 {
        guards.meet(1_000 + peer, false, day(1));
    }
    assert_eq!(guards.met.len(), GUARD_CANDIDATES);
    assert!((0..10).all(|peer| guards.met.iter().any(|met| met.peer == peer)));
    let mut guards = met_on(&(0..GUARD_CANDIDATES), 1);
    assert!(!guards.meet(9_999, false, day(1)));
    assert!(guards.meet(9_999, true, day(1)), "one that this node chose takes the place of the longest away");
    assert_eq!(guards.met.len(), GUARD_CANDIDATES);
}
