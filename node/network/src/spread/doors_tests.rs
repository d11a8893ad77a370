//! Crowds at the doors, drawn at random.

use proptest::prelude::*;

use super::*;
use crate::limits::{ANTEROOM, CONNECTIONS_IN};
use crate::spread::{Dice, SeededDice};

const ROOM: Seats = Seats { places: CONNECTIONS_IN as usize, anteroom: ANTEROOM as usize };
const PATIENCE: Duration = Duration::from_secs(10);

/// Visitors, and who stands there.
struct Scene {
    doors: Visitors<u32, u32>,
    now: Moment,
    next: u32,
}

impl Scene {
    fn new() -> Self {
        Self { doors: Visitors::new(ROOM, 7), now: Moment(1_000_000), next: 0 }
    }

    fn close(&mut self, all: Vec<u32>) {
        for id in all {
            self.doors.left(id);
        }
    }

    /// Somebody comes, and says so much.
    fn comes(&mut self, group: u32, shown: Shown) -> u32 {
        self.now = self.now.plus(Duration::from_millis(1));
        self.next += 1;
        let id = self.next;
        let closed = self.doors.came(id, (Some(group), false), (self.now, PATIENCE));
        self.close(closed);
        if shown >= Shown::Network {
            let closed = self.doors.named(id);
            self.close(closed);
        }
        if shown == Shown::Exchange {
            let closed = self.doors.exchanged(id);
            self.close(closed);
        }
        id
    }

    fn stands(&self, id: u32) -> bool {
        self.doors.here.contains_key(&id)
    }

    fn counts(&self) -> (usize, usize) {
        let placed = self.doors.placed().count();
        (placed, self.doors.here.len() - placed)
    }
}

#[test]
fn who_says_nothing_takes_no_place_and_goes_when_its_time_is_over() {
    let mut scene = Scene::new();
    let mut first = (0..1_000).map(|group| scene.comes(group, Shown::Nothing)).collect::<Vec<_>>();
    assert_eq!(scene.counts(), (0, ANTEROOM as usize));
    first.retain(|id| scene.stands(*id));
    assert_eq!(first, (1_001 - ANTEROOM..=1_000).collect::<Vec<_>>(), "who had most time goes first");
    assert!(first.iter().all(|id| scene.doors.is_silent(*id)));
    assert!(scene.doors.overdue(scene.now).is_empty());
    assert_eq!(scene.doors.overdue(scene.now.plus(PATIENCE)), first);
    let node = scene.comes(5_000, Shown::Network);
    assert!(scene.stands(node) && !scene.doors.is_silent(node));
}

#[test]
fn of_a_crowd_before_the_door_the_crowd_goes() {
    let mut scene = Scene::new();
    let alone = scene.comes(1, Shown::Nothing);
    for _ in 0..1_000 {
        scene.comes(2, Shown::Nothing);
    }
    assert!(scene.stands(alone));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Any number of groups, each refilling without end with peers that name the network and do nothing: whoever
    /// exchanges as nodes do gets in and stays.
    #[test]
    fn idle_peers_neither_keep_a_node_out_nor_push_it_out(groups in 1_u32..300, seed: u64) {
        let (mut scene, mut dice) = (Scene::new(), SeededDice(seed));
        let refill = |scene: &mut Scene, dice: &mut SeededDice| for _ in 0..300 {
            scene.comes(dice.below(u64::from(groups)) as u32, Shown::Network);
        };
        refill(&mut scene, &mut dice);
        let node = scene.comes(1_000, Shown::Exchange);
        prop_assert!(scene.stands(node));
        refill(&mut scene, &mut dice);
        prop_assert!(scene.stands(node));
        prop_assert!(scene.counts().0 <= ROOM.places);
    }

    /// Peers that do all that nodes do cannot be told from nodes. From fewer groups than half of the places they push
    /// nobody out, as their own groups are more crowded.
    #[test]
    fn a_crowd_from_few_places_makes_way(groups in 1_u32..16, seed: u64) {
        let (mut scene, mut dice) = (Scene::new(), SeededDice(seed));
        let refill = |scene: &mut Scene, dice: &mut SeededDice| for _ in 0..300 {
            scene.comes(dice.below(u64::from(groups)) as u32, Shown::Exchange);
        };
        refill(&mut scene, &mut dice);
        let node = scene.comes(1_000, Shown::Exchange);
        prop_assert!(scene.stands(node));
        refill(&mut scene, &mut dice);
        prop_assert!(scene.stands(node));
    }
}

#[test]
fn a_newcomer_has_time_to_show_that_it_is_a_node() {
    let mut scene = Scene::new();
    for group in 0..100 {
        scene.comes(group, Shown::Network);
    }
    let node = scene.comes(1_000, Shown::Network);
    for group in 100..100 + ROOM.places as u32 - 1 {
        scene.comes(group, Shown::Network);
    }
    assert!(scene.stands(node));
    let closed = scene.doors.exchanged(node);
    scene.close(closed);
    for group in 0..100 {
        scene.comes(group, Shown::Network);
    }
    assert!(scene.stands(node));
}

#[test]
fn friends_and_those_that_nobody_outdoes_at_will_are_never_moved() {
    let mut scene = Scene::new();
    let friend = scene.next + 1;
    scene.next = friend;
    let closed = scene.doors.came(friend, (Some(1), true), (scene.now, PATIENCE));
    scene.close(closed);
    let crowd: Vec<u32> = (1..ROOM.places).map(|_| scene.comes(1, Shown::Exchange)).collect();
    let (bringer, quick) = (crowd[20], crowd[25]);
    scene.doors.brought(bringer, scene.now);
    for id in &crowd {
        scene.doors.answered(*id, Duration::from_millis(40));
    }
    scene.doors.answered(quick, Duration::from_millis(1));
    for other in 0..ROOM.places as u32 {
        scene.comes(100 + other, Shown::Exchange);
    }
    for id in [friend, bringer, quick, crowd[0], crowd[SHIELDED - 1]] {
        assert!(scene.stands(id), "{id}");
    }
    assert!(!scene.stands(crowd[30]) && !scene.stands(crowd[SHIELDED + 1]));
    // A friend finds a place whoever is there.
    let late = scene.next + 1;
    let closed = scene.doors.came(late, (Some(100), true), (scene.now, PATIENCE));
    assert!(!closed.contains(&late));
}
