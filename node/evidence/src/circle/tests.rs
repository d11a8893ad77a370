//! Graphs worked out by hand.

use super::*;

fn key(number: u8) -> AuthorKey {
    AuthorKey([number; 32])
}

/// Reader 0 with `friends`, and vouches as (author, subjects).
fn trust(friends: &[u8], vouches: &[(u8, &[u8])]) -> Trust {
    let keys = |numbers: &[u8]| numbers.iter().map(|number| key(*number)).collect();
    Trust {
        friends: keys(friends),
        vouches: vouches.iter().map(|(author, subjects)| (key(*author), keys(subjects))).collect(),
        ..Trust::nobody(key(0))
    }
}

fn received(circle: &Circle, number: u8) -> f64 {
    circle.members().get(&key(number)).map_or(0.0, |member| member.received)
}

fn assert_near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 1e-12, "{found}, not {wanted}");
}

#[test]
fn a_chain_passes_on_what_is_left_and_ends_at_three_steps() {
    let circle = trust(&[1], &[(1, &[2]), (2, &[3]), (3, &[4])]).circle();
    let flows = [1, 2, 3, 4].map(|number| received(&circle, number));
    // 8, then 8 − 1, then 7 − 1; the fourth is out of reach.
    assert_eq!(flows.map(|flow| flow.to_string()), ["8", "7", "6", "0"]);
    assert!(!circle.holds(&key(4)));
    assert_eq!(circle.path(&key(3)), [0, 1, 2, 3].map(key));
}

#[test]
fn a_friend_who_vouches_for_many_gives_each_little() {
    // 7 in parts of 7/14 = 0.5: each weighs a half and passes nothing on.
    let many: Vec<u8> = (10..24).collect();
    let circle = trust(&[1], &[(1, &many), (10, &[30])]).circle();
    assert_near(received(&circle, 12), 0.5);
    assert_near(circle.weight(&key(12), Whose::Circle), 0.5);
    assert_near(circle.weight(&key(30), Whose::Circle), 0.0);
    assert!(circle.holds(&key(30)), "in the circle, with nothing to weigh");
}

#[test]
fn parts_from_two_friends_add_up() {
    // 1 gives 7/2 to each of 3 and 4; 2 gives all 7 to 4: 4 receives 10.5 and passes 9.5 on to 5.
    let circle = trust(&[1, 2], &[(1, &[3, 4]), (2, &[4]), (4, &[5])]).circle();
    assert_near(received(&circle, 3), 3.5);
    assert_near(received(&circle, 4), 10.5);
    assert_near(received(&circle, 5), 9.5);
    assert_eq!(circle.path(&key(4)), [0, 2, 4].map(key), "the way of the larger part");
}

#[test]
fn parts_go_one_step_further_out_only() {
    // 1 vouches for 2, a friend already, and for 3: all 7 go to 3. Vouches for the reader or oneself give nothing.
    let circle = trust(&[1, 2], &[(1, &[0, 1, 2, 3])]).circle();
    assert_near(received(&circle, 2), 8.0);
    assert_near(received(&circle, 3), 7.0);
    assert_eq!(circle.members().len(), 3);
}

#[test]
fn words_choose_by_steps() {
    let circle = trust(&[1], &[(1, &[2]), (2, &[3])]).circle();
    let weights = |whose| [0, 1, 2, 3, 9].map(|number| circle.weight(&key(number), whose).to_string());
    assert_eq!(weights(Whose::Mine), ["1", "0", "0", "0", "0"]);
    assert_eq!(weights(Whose::Friends), ["1", "1", "0", "0", "0"]);
    assert_eq!(weights(Whose::FriendsOfFriends), ["1", "1", "1", "0", "0"]);
    assert_eq!(weights(Whose::Circle), ["1", "1", "1", "1", "0"]);
    assert_eq!(weights(Whose::Everybody), ["1", "1", "1", "1", "1"]);
    assert!(Whose::ALL.iter().all(|whose| Whose::parse(whose.word()) == Some(*whose)));
}

#[test]
fn the_muted_weigh_nothing_anywhere_and_pass_nothing_on() {
    let mut trust = trust(&[1, 2], &[(1, &[3]), (2, &[3])]);
    trust.muted.insert(key(1));
    let circle = trust.circle();
    assert_near(received(&circle, 3), 7.0);
    assert_near(circle.weight(&key(1), Whose::Everybody), 0.0);
    trust.muted.insert(key(3));
    assert_near(trust.circle().weight(&key(3), Whose::Circle), 0.0);
}

#[test]
fn a_cut_edge_is_as_if_it_had_never_been() {
    let trust = trust(&[1, 2], &[(1, &[3]), (2, &[3, 4])]);
    let cut = trust.circle_without(Some(&(key(2), key(4))));
    assert_near(received(&cut, 4), 0.0);
    assert_near(received(&cut, 3), 14.0);
    let friendless = trust.circle_without(Some(&(key(0), key(1))));
    assert_near(received(&friendless, 1), 0.0);
    let edges: Vec<Edge> = trust.circle().edges().into_iter().map(|(edge, _)| edge).collect();
    let expected = [(0, 1), (0, 2), (1, 3), (2, 3), (2, 4)];
    assert_eq!(edges, expected.map(|(from, to)| (key(from), key(to))));
}

/// The bound that the whole rule is for: however many keys stand behind one attacked friend, they weigh less than what
/// that friend passes on; with seven honest others beside the attacker's key, less than one grower does.
#[test]
fn keys_behind_one_friend_weigh_no_more_than_it_received() {
    let strangers: Vec<u8> = (100..200).collect();
    let tree: Vec<(u8, &[u8])> = vec![(1, &[2, 3, 4, 5, 6, 7, 8, 99]), (99, &strangers)];
    let circle = trust(&[1], &tree).circle();
    let behind: f64 = (99..200).map(|number| circle.weight(&key(number), Whose::Circle)).sum();
    assert_near(behind, 7.0 / 8.0);
    let alone = trust(&[1], &[(1, &[99]), (99, &strangers)]).circle();
    let behind: f64 = (99..200).map(|number| alone.weight(&key(number), Whose::Circle)).sum();
    assert_near(behind, 7.0);
}
