//! Who is let in, and whose records go.

use std::collections::{HashMap, HashSet};

use proptest::prelude::*;
use tempfile::TempDir;

use super::*;
use crate::limits::{
    BACKED_PER_DAY, FREED_AT_ONCE, KNOWN_PER_DAY, KNOWN_SHARE, LANE_AUTHORS, NEW_PER_DAY, NEW_SHARE,
    RANGE_REST,
};
use crate::timing::Timing;

fn author(number: u32) -> AuthorKey {
    let mut key = [7; 32];
    key[..4].copy_from_slice(&number.to_be_bytes());
    AuthorKey(key)
}

fn on(day: u64) -> Moment {
    Moment(day * 24 * 60 * 60 * 1_000 + 5_000)
}

fn month_long() -> Admittance {
    Admittance::in_memory(Timing::home().known_after)
}

fn class(admission: &mut Admittance, of: u32, day: u64) -> AuthorClass {
    admission.class(&author(of), on(day), || Ok(false)).expect("memory does not fail")
}

#[derive(Debug)]
struct Backs(Vec<AuthorKey>);

impl Backing for Backs {
    fn backed(&self) -> Result<HashSet<AuthorKey>, StoreError> {
        Ok(self.0.iter().copied().collect())
    }
}

#[test]
fn the_hash_of_an_author_is_the_stated_one_and_ranges_meet_as_stated() {
    let hashes = [[1; 32], [2; 32], [3; 32]].map(|key| author_hash(&AuthorKey(key)));
    assert_eq!(hashes, [0x20fe_3226_64f5_c7ca, 0x76b9_af5e_526f_cb8a, 0x9e1d_52d6_4e28_708c]);
    let range = |bits, prefix| AuthorRange::new(bits, prefix).expect("a range");
    let held = |range: AuthorRange| hashes.map(|hash| range.holds_hash(hash));
    assert_eq!(held(range(1, 0)), [true, true, false]);
    assert_eq!(held(range(2, 1)), [false, true, false]);
    assert_eq!(held(AuthorRange::EVERYBODY), [true; 3]);
    assert_eq!(range(1, 0).meet(range(2, 1)), Some(range(2, 1)));
    assert_eq!(range(2, 1).meet(range(2, 2)), None);
    assert_eq!(range(16, 9).meet(AuthorRange::EVERYBODY), Some(range(16, 9)));
    assert!(AuthorRange::new(17, 0).is_none() && AuthorRange::new(2, 4).is_none());
}

#[test]
fn a_stranger_is_known_after_a_month_and_who_was_here_before_is_known_at_once() {
    let mut admission = month_long();
    assert_eq!(class(&mut admission, 1, 100), AuthorClass::New);
    admission.note(&[author(1)], on(100)).expect("noted");
    assert_eq!([129, 130].map(|day| class(&mut admission, 1, day)), [AuthorClass::New, AuthorClass::Known]);
    admission.note(&[author(1)], on(125)).expect("noted");
    assert_eq!(class(&mut admission, 1, 130), AuthorClass::Known, "seen first is seen first");
    let before = admission.class(&author(2), on(100), || Ok(true)).expect("memory does not fail");
    assert_eq!(before, AuthorClass::Known);
    admission.take_as_known(&[author(3)]).expect("taken");
    assert_eq!(class(&mut admission, 3, 100), AuthorClass::Known);
}

#[test]
fn whom_the_grower_backs_is_asked_again_when_the_circle_changes_and_not_for_each_vouch() {
    let mut admission = month_long();
    assert_eq!(class(&mut admission, 1, 100), AuthorClass::New);
    admission.backed_by(Box::new(Backs(vec![author(1)])));
    assert_eq!(class(&mut admission, 1, 100), AuthorClass::Backed);
    admission.backing_may_have_changed();
    assert_eq!(class(&mut admission, 1, 100), AuthorClass::Backed);
}

#[test]
fn an_author_brings_so_many_a_day_by_class() {
    for (class, most) in [
        (AuthorClass::Backed, BACKED_PER_DAY),
        (AuthorClass::Known, KNOWN_PER_DAY),
        (AuthorClass::New, NEW_PER_DAY),
    ] {
        let most = most as usize;
        let mut admission = month_long();
        let mut admitted = |day| (0..1_500).filter(|_| admission.count(author(1), class, on(day))).count();
        assert_eq!([admitted(5), admitted(5), admitted(6)], [most, 0, most], "{class:?}");
    }
}

#[test]
fn what_was_first_seen_is_there_again_and_a_torn_line_is_none() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("first-seen");
    let open = || Admittance::open(&path, Timing::home().known_after).expect("opens");
    let mut admission = open();
    admission.note(&[author(1), author(2)], on(100)).expect("noted");
    admission.take_as_known(&[author(3)]).expect("taken");
    let mut bytes = std::fs::read(&path).expect("reads");
    assert_eq!(bytes.len(), 32 + 3 * 36);
    bytes.extend([9; 20]);
    std::fs::write(&path, &bytes).expect("writes");
    let mut again = open();
    assert_eq!(
        [1, 2, 3, 4].map(|of| class(&mut again, of, 110)),
        [AuthorClass::New, AuthorClass::New, AuthorClass::Known, AuthorClass::New]
    );
    again.note(&[author(4)], on(110)).expect("noted");
    let mut last = open();
    assert_eq!((last.first_seen(&author(4)), class(&mut last, 1, 130)), (Some(110), AuthorClass::Known));
}

#[test]
fn a_range_once_narrowed_rests_a_week_and_widens_a_bit_a_day() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("first-seen");
    let mut admission = Admittance::open(&path, Timing::home().known_after).expect("opens");
    let sizes: HashMap<AuthorKey, u64> = (0..1_000).map(|number| (author(number), 1_000)).collect();
    admission.note(&sizes.keys().copied().collect::<Vec<_>>(), on(99)).expect("noted");
    let go = admission.make_room(&sizes, (1_000_000, 10_000), &HashMap::new(), on(100)).expect("makes room");
    let bits = admission.range().bits();
    assert!((3..=4).contains(&bits) && (800..1_000).contains(&go.len()), "{bits}, {}", go.len());
    assert!(go.iter().all(|gone| !admission.range().holds(gone) && admission.first_seen(gone).is_none()));
    let mut admission = Admittance::open(&path, Timing::home().known_after).expect("opens");
    assert_eq!(admission.range().bits(), bits);
    assert_eq!(RANGE_REST, 7);
    let widened = [106, 107, 107, 108].map(|day| admission.widen(on(day)).expect("writes"));
    assert_eq!(widened, [false, true, false, true]);
    assert_eq!(admission.range().bits(), bits - 2);
}

fn any_held() -> impl Strategy<Value = Vec<HeldAuthor>> {
    let class = prop::sample::select(vec![AuthorClass::Backed, AuthorClass::Known, AuthorClass::New]);
    let one = (any::<u32>(), class, 0_u32..5, 1_u64..20_000);
    prop::collection::vec(one, 0..200).prop_map(|all| {
        let unique: HashMap<u32, HeldAuthor> = all
            .into_iter()
            .map(|(number, class, first_seen, bytes)| {
                (number, HeldAuthor { author: author(number), class, first_seen, bytes })
            })
            .collect();
        unique.into_values().collect()
    })
}

proptest! {
    #[test]
    fn whom_the_grower_backs_stays_and_shares_are_kept(held in any_held(), secret: u64, quota in 10_000_u64..2_000_000, lacking in 0_u64..100_000) {
        let room = Shortage { quota, lacking, wants: HashMap::new() };
        let squeezed = squeeze((secret, 0), &held, &room);
        let gone: HashSet<AuthorKey> = squeezed.go.iter().copied().collect();
        let left = |class| held.iter().filter(move |one| one.class == class);
        let bytes = |class| left(class).map(|one| one.bytes).sum::<u64>();
        let stays = |class| left(class).filter(|one| !gone.contains(&one.author)).map(|one| one.bytes).sum::<u64>();
        prop_assert_eq!(stays(AuthorClass::Backed), bytes(AuthorClass::Backed));
        let share = |percent| quota / 100 * percent;
        prop_assert!(squeezed.bits == 16 || stays(AuthorClass::New) <= share(NEW_SHARE));
        if bytes(AuthorClass::New) <= share(NEW_SHARE) {
            prop_assert_eq!(stays(AuthorClass::New), bytes(AuthorClass::New));
        }
        if bytes(AuthorClass::Known) <= share(KNOWN_SHARE) {
            prop_assert_eq!(stays(AuthorClass::Known), bytes(AuthorClass::Known));
        } else {
            // One author more and its class would be below its share.
            let largest = left(AuthorClass::Known).map(|one| one.bytes).max().unwrap_or(0);
            prop_assert!(stays(AuthorClass::Known) + largest >= share(KNOWN_SHARE));
            let oldest_gone = left(AuthorClass::Known).filter(|one| gone.contains(&one.author)).map(|one| one.first_seen).min();
            let youngest_left = left(AuthorClass::Known).filter(|one| !gone.contains(&one.author)).map(|one| one.first_seen).max();
            prop_assert!(oldest_gone.is_none() || youngest_left.is_none() || oldest_gone >= youngest_left);
        }
    }
}

#[test]
fn growers_are_asked_for_by_name_in_another_order_each_time_and_not_without_end() {
    let mut admission = month_long();
    let many: Vec<AuthorKey> = (0..LANE_AUTHORS as u32 + 50).map(author).collect();
    admission.take_as_known(&many).expect("taken");
    admission.note(&[author(9_000_000)], on(100)).expect("noted");
    let mut asked = |seed| {
        admission
            .asked_for_by_name(on(100), &mut crate::spread::SeededDice(seed))
            .expect("memory does not fail")
    };
    let (first, second) = (asked(1), asked(2));
    assert_eq!((first.len(), second.len()), (LANE_AUTHORS, LANE_AUTHORS));
    assert_ne!(first, second);
    assert!(!first.contains(&author(9_000_000)), "nobody is asked for a stranger");
}

#[test]
fn some_room_is_made_at_once_however_little_is_lacking() {
    let held: Vec<HeldAuthor> = (0..200)
        .map(|number| HeldAuthor {
            author: author(number),
            class: AuthorClass::Known,
            first_seen: number,
            bytes: 1_000,
        })
        .collect();
    let room = Shortage { quota: 200_000, lacking: 1, wants: HashMap::new() };
    let go = squeeze((0, 0), &held, &room).go;
    assert_eq!(go.len() as u64 * 1_000, room.quota / 100 * FREED_AT_ONCE);
}
