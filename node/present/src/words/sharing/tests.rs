use std::collections::BTreeMap;

use propagule_app::outcome::peers::Health;
use propagule_network::intake::Counts;

use super::{computers, health, publishing, trust};

fn now() -> jiff::Timestamp {
    "2026-11-26T10:00:00Z".parse().expect("a time")
}

#[test]
fn exchange_that_works_says_with_how_many_and_when() {
    let well = |connected| Health::Well { connected, last_exchange: "2026-11-26T09:56:00Z".into() };
    assert_eq!(health::title(&well(1)), "All well");
    let said = |state: &Health| health::sentence(state, now());
    assert_eq!(said(&well(1)), "Connected to 1 grower\u{2019}s computer. Last exchanged 4 minutes ago.");
    assert_eq!(said(&well(5)), "Connected to 5 growers\u{2019} computers. Last exchanged 4 minutes ago.");
    let nothing_yet = Health::NothingYet { connected: 2 };
    assert_eq!(
        said(&nothing_yet),
        "Connected to 2 growers\u{2019} computers. Nothing has been exchanged yet."
    );
}

#[test]
fn exchange_that_does_not_work_says_what_is_in_the_way() {
    let said = |state: &Health| (health::title(state), health::sentence(state, now()));
    assert!(said(&Health::Stopped).1.contains("does not exchange"));
    assert!(said(&Health::NobodyKnown).1.contains("Ask a grower for an invite"));
    let (title, one) = said(&Health::NobodyThere { known: 1 });
    assert_eq!(title, "Nobody answers now");
    assert!(one.starts_with("The one computer you know does not answer."));
    assert!(
        said(&Health::NobodyThere { known: 3 }).1.starts_with("None of the 3 computers you know answers.")
    );
}

#[test]
fn what_came_in_is_the_sum_of_its_ways() {
    let counts = Counts {
        by_gossip: 1,
        by_stem: 2,
        by_exchange: 3,
        by_bundle: 4,
        refused: BTreeMap::new(),
        ..Counts::default()
    };
    assert_eq!(health::new(&counts), 10);
    assert_eq!(health::ways(&counts).iter().map(|(_, count)| count).sum::<u64>(), 10);
}

#[test]
fn sizes_are_told_in_the_unit_that_keeps_them_short() {
    assert_eq!([999, 1_000, 2_147_483_648].map(health::size), ["999 bytes", "1 KB", "2.1 GB"]);
    assert_eq!(health::of_at_most(32, 2_000_000), "32 bytes of at most 2.0 MB");
}

#[test]
fn computers_and_growers_are_told_at_none_one_and_several() {
    assert!(computers::kept_out(1).starts_with("1 computer is kept out"));
    assert!(computers::kept_out(2).starts_with("2 computers are kept out"));
    assert_eq!(computers::short("12D3KooWABCDEFGH"), "ABCDEFGH");
    assert!(
        trust::too_few(0, 20).starts_with("No results of other growers are held here yet. From about 20 on")
    );
    assert!(trust::too_few(1, 20).starts_with("Results of 1 grower are held here"));
    assert!(trust::chosen(1).starts_with("You trust 1 grower."));
    assert!(trust::chosen(3).starts_with("You trust 3 growers."));
    assert_eq!([1, 2].map(trust::ignored), ["Ignored: 1 grower", "Ignored: 2 growers"]);
}

#[test]
fn withdrawing_is_called_the_same_on_its_link_and_its_page() {
    assert_eq!(publishing::withdraw("M2"), "Withdraw M2");
    assert_eq!(publishing::withdraw_yes("M2"), "Yes, withdraw M2 for good");
}
