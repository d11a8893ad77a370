//! State from records: each rule once, and the same state in any order of arrival.

mod sample;

use propagule_protocol::record::{
    Body, Code, Extensions, Head, Parent, Relation, Revocation, Rotation, Summary, Vouch, Withdrawal,
};
use propagule_protocol::state::{Current, Ended, Flags, Resolved, resolve};
use propagule_protocol::{AuthorKey, Month, RecordId, Signed, StandingPage};
use proptest::prelude::*;
use proptest::sample::{Index, subsequence};
use sample::{arm, month, summary};

fn author(n: u8) -> AuthorKey {
    AuthorKey([n; 32])
}

/// A record whose id is chosen, so that ties go as the test wants; state never looks at signatures.
fn record(id: u8, signer: u8, body: Body) -> Signed {
    Signed { id: RecordId([id; 32]), author: author(signer), bytes: Vec::new(), body }
}

fn head(signed: &str) -> Head {
    Head::new(month(signed))
}

/// Revision `revision`, with `(arm, started, rooted)`.
fn trial(revision: u8, signed: &str, arms: &[(u8, u16, Option<u16>)]) -> Body {
    let arms = arms.iter().map(|(number, started, rooted)| arm(*number, *started, *rooted)).collect();
    Body::Summary(Summary { head: head(signed), revision, ..summary(arms) })
}

fn rotation(signed: &str, to: u8) -> Body {
    let extensions = Extensions::new();
    Body::Rotation(Rotation { head: head(signed), new_key: author(to), proof: [0; 64], extensions })
}

fn revocation(from: Option<&str>) -> Body {
    let from = from.map(month);
    Body::Revocation(Revocation { head: head("2027-06"), from, extensions: Extensions::new() })
}

fn withdrawal(signed: &str) -> Body {
    let extensions = Extensions::new();
    Body::Withdrawal(Withdrawal { head: head(signed), series: [7; 16], reason: Code(2), extensions })
}

fn vouch(subject: u8, sequence: u8, vouches: bool) -> Body {
    let (head, subject) = (head("2026-11"), author(subject));
    Body::Vouch(Vouch { head, subject, sequence, vouches, extensions: Extensions::new() })
}

fn only<'a, 'b>(resolved: &'b Resolved<'a>) -> &'b Current<'a> {
    let mut current = resolved.current();
    let only = current.next().expect("one trial");
    assert_eq!(current.next(), None, "more than one trial");
    only
}

#[test]
fn the_highest_revision_stands() {
    let records = [
        record(9, 1, trial(0, "2026-06", &[(1, 24, None)])),
        record(5, 1, trial(2, "2027-05", &[(1, 24, Some(3))])),
        record(1, 1, trial(1, "2026-10", &[(1, 24, Some(0))])),
    ];
    let resolved = resolve(&records);
    let current = only(&resolved);
    assert_eq!((current.summary.revision, current.author, current.flags), (2, author(1), Flags::default()));
    assert_eq!(current.first_signed, month("2026-06"));
    assert_eq!(current.first_counts_signed, Some(month("2026-10")));
    assert!(current.opened && current.was_opened_first());
}

#[test]
fn a_trial_first_told_with_its_counts_was_not_opened() {
    let records = [record(1, 1, trial(0, "2026-10", &[(1, 24, Some(0))]))];
    let resolved = resolve(&records);
    assert!(!only(&resolved).opened && !only(&resolved).was_opened_first());
}

#[test]
fn shrinking_and_vanishing_are_flagged_and_the_larger_count_is_kept() {
    let records = [
        record(1, 1, trial(0, "2026-06", &[(1, 24, None), (2, 20, None)])),
        record(2, 1, trial(1, "2026-10", &[(1, 18, Some(9))])),
    ];
    let resolved = resolve(&records);
    let current = only(&resolved);
    assert_eq!(current.flags, Flags::SHRUNK.and(Flags::ARM_VANISHED));
    assert!(!current.was_opened_first());
    let arms: Vec<_> = current.arms.iter().map(|now| (now.arm.number, now.started, now.vanished)).collect();
    assert_eq!(arms, [(1, 24, false), (2, 20, true)]);
}

#[test]
fn a_stage_that_a_later_revision_leaves_out_is_flagged() {
    let records = [
        record(1, 1, trial(0, "2026-10", &[(1, 24, Some(9))])),
        record(2, 1, trial(1, "2027-05", &[(1, 24, None)])),
    ];
    assert_eq!(only(&resolve(&records)).flags, Flags::STAGE_DROPPED);
}

#[test]
fn of_two_records_at_one_revision_the_lowest_id_stands() {
    let records = [
        record(3, 1, trial(0, "2026-10", &[(1, 24, Some(9))])),
        record(2, 1, trial(0, "2026-10", &[(1, 24, Some(1))])),
        record(4, 1, trial(0, "2026-10", &[(1, 24, Some(5))])),
    ];
    let resolved = resolve(&records);
    assert_eq!((only(&resolved).id, only(&resolved).flags), (RecordId([2; 32]), Flags::EQUIVOCATED));
    assert_eq!(resolved.surplus().iter().collect::<Vec<_>>(), [&RecordId([4; 32])]);
}

#[test]
fn the_same_series_of_two_authors_is_two_trials() {
    let records = [
        record(1, 1, trial(0, "2026-10", &[(1, 24, Some(9))])),
        record(2, 2, trial(0, "2026-10", &[(1, 24, Some(9))])),
    ];
    assert_eq!(resolve(&records).current().count(), 2);
}

#[test]
fn a_withdrawal_is_final_for_its_series() {
    let records = [
        record(1, 1, trial(0, "2026-10", &[(1, 24, Some(9))])),
        record(2, 1, withdrawal("2026-11")),
        record(3, 1, trial(1, "2026-12", &[(1, 24, Some(9))])),
    ];
    let resolved = resolve(&records);
    assert_eq!(resolved.current().count(), 0);
    let withdrawn: Vec<_> = resolved.withdrawn().collect();
    assert_eq!((withdrawn.len(), withdrawn[0].series, withdrawn[0].reason), (1, [7; 16], Code(2)));
    assert_eq!(withdrawn[0].was.as_ref().map(|was| was.id), Some(RecordId([3; 32])));
}

#[test]
fn nobody_withdraws_for_another_author() {
    let records =
        [record(1, 1, trial(0, "2026-10", &[(1, 24, Some(9))])), record(2, 2, withdrawal("2026-11"))];
    assert_eq!(resolve(&records).current().count(), 1);
}

#[test]
fn an_author_is_the_oldest_key_of_the_chain() {
    let records = [
        record(1, 9, trial(0, "2026-10", &[(1, 24, Some(0))])),
        record(2, 1, trial(1, "2027-10", &[(1, 24, Some(2))])),
        record(3, 9, rotation("2027-01", 4)),
        record(4, 4, rotation("2027-02", 1)),
    ];
    let resolved = resolve(&records);
    let current = only(&resolved);
    assert_eq!((current.author, current.signer, current.summary.revision), (author(9), author(1), 1));
    assert_eq!(resolved.keys_of(&author(9)), [author(1), author(4), author(9)]);
    assert_eq!(resolved.author_of(&author(4)), author(9));
    assert_eq!(resolved.author_of(&author(7)), author(7));
}

#[test]
fn of_two_rotations_of_one_key_the_lowest_id_wins() {
    let records = [
        record(4, 1, rotation("2027-01", 2)),
        record(3, 1, rotation("2027-01", 3)),
        record(5, 2, trial(0, "2027-02", &[(1, 24, Some(9))])),
    ];
    let resolved = resolve(&records);
    assert_eq!(resolved.author_of(&author(3)), author(1));
    assert_eq!((only(&resolved).author, only(&resolved).flags), (author(2), Flags::ROTATED_TWICE));
}

#[test]
fn rings_and_meeting_chains_have_one_author() {
    let ring = [record(1, 5, rotation("2027-01", 3)), record(2, 3, rotation("2027-01", 5))];
    assert_eq!(resolve(&ring).author_of(&author(5)), author(3));
    let meeting = [
        record(1, 8, rotation("2027-01", 1)),
        record(2, 6, rotation("2027-01", 1)),
        record(3, 1, rotation("2027-02", 2)),
    ];
    assert!([1, 2, 6, 8].iter().all(|key| resolve(&meeting).author_of(&author(*key)) == author(6)));
}

#[test]
fn the_printed_revocation_takes_everything_of_its_key_out() {
    let records = [
        record(1, 1, trial(0, "2026-10", &[(1, 24, Some(9))])),
        record(2, 1, rotation("2026-11", 2)),
        record(3, 1, vouch(5, 1, true)),
        record(4, 1, revocation(None)),
        record(5, 1, revocation(Some("2026-12"))),
    ];
    let resolved = resolve(&records);
    assert_eq!((resolved.current().count(), resolved.vouches().count()), (0, 0));
    assert_eq!(resolved.revoked().map(|trial| trial.id).collect::<Vec<_>>(), [RecordId([1; 32])]);
    assert_eq!(resolved.author_of(&author(2)), author(2));
    assert_eq!(resolved.ended(&author(1)).map(|ended| ended.from), Some(Month(0)));
}

/// Revocations from a month on, a page each, that say which records stand.
fn listing(from: &str, standing: &[RecordId]) -> Vec<Body> {
    let revocation = |page: StandingPage| {
        let (head, from) = (head("2027-06"), Some(month(from)));
        Body::Revocation(Revocation { head, from, extensions: page.written() })
    };
    StandingPage::of(standing).expect("few enough").into_iter().map(revocation).collect()
}

/// A trial of its own series, by a number.
fn numbered(number: u16, signed: &str, signer: u8) -> Signed {
    let Body::Summary(mut body) = trial(0, signed, &[(1, 24, Some(9))]) else { unreachable!() };
    body.series[..2].copy_from_slice(&number.to_be_bytes());
    let mut record = record(1, signer, Body::Summary(body));
    record.id.0[..2].copy_from_slice(&number.to_be_bytes());
    record
}

fn counted(records: &[Signed]) -> Vec<RecordId> {
    let mut ids: Vec<RecordId> = resolve(records).current().map(|trial| trial.id).collect();
    ids.sort_unstable();
    ids
}

proptest! {
    /// Both sign months from May 2026 to April 2027; the owner ends the key from January 2027 on.
    #[test]
    fn a_list_of_what_stands_lets_no_backdated_record_count_and_loses_none(
        own in 0_u16..600,
        stolen in 0_u16..60,
        months in prop::collection::vec(0_u16..12, 660),
        shuffle in any::<u64>(),
    ) {
        let month = |number: u16| Month(month("2026-05").0 + months[usize::from(number)]).to_string();
        let all: Vec<Signed> = (0..own + stolen).map(|number| numbered(number, &month(number), 1)).collect();
        let until = Month::new(2027, 1).expect("a month");
        let standing: Vec<RecordId> = all[..usize::from(own)]
            .iter()
            .filter(|record| record.head().signed < until)
            .map(|record| record.id)
            .collect();
        let mut records = all.clone();
        for (page, body) in listing("2027-01", &standing).into_iter().enumerate() {
            let mut said = record(0xf0, 1, body);
            said.id.0[0] = 0xff;
            said.id.0[1] = u8::try_from(page).expect("few");
            records.push(said);
        }
        let at = usize::try_from(shuffle % records.len() as u64).expect("fits");
        records.rotate_left(at);
        let mut expected = standing.clone();
        expected.sort_unstable();
        prop_assert_eq!(counted(&records), expected);
    }
}

#[test]
fn a_list_of_which_a_page_is_missing_says_nothing_yet_and_those_of_one_key_cut_each_other() {
    let mut records: Vec<Signed> = (0..300).map(|number| numbered(number, "2026-10", 1)).collect();
    let ids: Vec<RecordId> = records.iter().map(|record| record.id).collect();
    let pages = listing("2027-01", &ids[..299]);
    let page = |number: u8, body: &Body| record(0xf0 + number, 1, body.clone());
    records.push(page(0, &pages[0]));
    assert_eq!(counted(&records).len(), 300, "the month alone acts");
    // Whoever has the key can put a page of its own beside the missing one: it fits nothing.
    let Body::Revocation(mut false_page) = pages[1].clone() else { unreachable!() };
    let written = StandingPage { entries: vec![(&ids[299]).into()], ..page_of(&pages[1]) }.written();
    false_page.extensions = written;
    records.push(page(1, &Body::Revocation(false_page)));
    assert_eq!(counted(&records).len(), 300);
    records.push(page(2, &pages[1]));
    assert_eq!(counted(&records), ids[..299]);
    // A second list, a thief's, can only take away.
    records.push(page(3, &listing("2027-01", &[ids[3], ids[299]])[0]));
    assert_eq!(counted(&records), [ids[3]]);
    records.push(page(4, &listing("2027-01", &[])[0]));
    assert_eq!(counted(&records), []);
}

fn page_of(body: &Body) -> StandingPage {
    let Body::Revocation(revocation) = body else { unreachable!() };
    StandingPage::read(&revocation.extensions).expect("a page")
}

#[test]
fn a_list_covers_rotations_withdrawals_and_vouches_too() {
    let trial = numbered(1, "2026-10", 1);
    let backdated = [record(0x21, 1, rotation("2026-10", 2)), record(0x22, 1, vouch(5, 1, true)), {
        let Body::Withdrawal(mut taken) = withdrawal("2026-10") else { unreachable!() };
        let Body::Summary(summary) = &trial.body else { unreachable!() };
        taken.series = summary.series;
        record(0x23, 1, Body::Withdrawal(taken))
    }];
    let mut records: Vec<Signed> = vec![trial.clone()];
    records.extend(backdated);
    assert_eq!((counted(&records).len(), resolve(&records).vouches().count()), (0, 1));
    records.push(record(0xf0, 1, listing("2027-01", &[trial.id]).remove(0)));
    let resolved = resolve(&records);
    assert_eq!((resolved.current().count(), resolved.vouches().count()), (1, 0));
    assert_eq!(resolved.author_of(&author(2)), author(2));
    assert!(resolved.ended(&author(1)).is_some_and(Ended::is_listed));
}

#[test]
fn a_revocation_with_a_month_leaves_what_was_signed_before() {
    let records = [
        record(1, 1, trial(0, "2026-10", &[(1, 24, Some(9))])),
        record(2, 1, trial(1, "2026-12", &[(1, 24, Some(24))])),
        record(3, 1, withdrawal("2027-01")),
        record(4, 1, rotation("2026-11", 2)),
        record(5, 1, revocation(Some("2026-12"))),
    ];
    let resolved = resolve(&records);
    let current = only(&resolved);
    assert_eq!((current.id, current.flags), (RecordId([1; 32]), Flags::KEY_REVOKED));
    assert_eq!(resolved.author_of(&author(2)), author(1));
    assert_eq!(resolved.revoked().count() + resolved.withdrawn().count(), 0);
}

#[test]
fn the_highest_sequence_of_a_vouch_stands_and_a_tie_is_an_unvouch() {
    let standing = |records: &[Signed]| resolve(records).vouches().count();
    assert_eq!(standing(&[record(1, 1, vouch(2, 0, true))]), 1);
    assert_eq!(standing(&[record(1, 1, vouch(2, 3, true)), record(2, 1, vouch(2, 4, false))]), 0);
    assert_eq!(standing(&[record(1, 1, vouch(2, 5, true)), record(2, 1, vouch(2, 4, false))]), 1);
    assert_eq!(standing(&[record(1, 1, vouch(2, 4, true)), record(2, 1, vouch(2, 4, false))]), 0);
    assert_eq!(standing(&[record(1, 1, vouch(2, 4, true)), record(2, 1, vouch(2, 4, true))]), 1);
    assert_eq!(standing(&[record(1, 1, vouch(1, 0, true))]), 0);
    assert_eq!(standing(&[record(1, 1, vouch(2, 0, true)), record(2, 1, rotation("2027-01", 2))]), 0);
}

#[test]
fn vouches_follow_the_keys_of_both_sides() {
    let records = [
        record(1, 1, vouch(5, 0, true)),
        record(2, 1, rotation("2027-01", 2)),
        record(3, 5, rotation("2027-01", 6)),
    ];
    let pairs = |records: &[Signed]| -> Vec<(AuthorKey, AuthorKey)> {
        resolve(records).vouches().map(|pair| (pair.author, pair.subject)).collect()
    };
    assert_eq!(pairs(&records), [(author(1), author(5))]);
    let by_the_new_key = record(4, 2, vouch(6, 1, false));
    assert_eq!(pairs(&[&records[..], &[by_the_new_key]].concat()), []);
    let too_low = record(4, 2, vouch(6, 0, true));
    assert_eq!(pairs(&[&records[..], &[record(5, 1, vouch(5, 1, false)), too_low]].concat()), []);
}

#[test]
fn a_void_unvouch_undoes_nothing() {
    let signed = |month: &str, body: Body| match body {
        Body::Vouch(vouch) => Body::Vouch(Vouch { head: head(month), ..vouch }),
        other => other,
    };
    let records = [
        record(1, 1, signed("2026-10", vouch(2, 0, true))),
        record(2, 1, signed("2026-12", vouch(2, 1, false))),
        record(3, 1, revocation(Some("2026-12"))),
    ];
    assert_eq!(resolve(&records[..2]).vouches().count(), 0);
    assert_eq!(resolve(&records).vouches().count(), 1);
}

#[test]
fn a_parent_is_of_the_same_author_or_ignored() {
    let trial = |id, signer, series: u8, parent: Option<u8>, grower_mark| {
        let relation = Relation::Regraft;
        let parent = parent.map(|series| Parent { series: [series; 16], relation });
        let plain =
            Summary { head: Head::of_summary(month("2026-11")), ..summary(vec![arm(1, 24, Some(9))]) };
        record(id, signer, Body::Summary(Summary { series: [series; 16], parent, grower_mark, ..plain }))
    };
    let parents = |records: &[Signed]| -> Vec<Option<u8>> {
        let resolved = resolve(records);
        let parent = |current| resolved.parent_of(current).map(|(parent, _)| parent.series[0]);
        resolved.current().filter(|current| current.series == [2; 16]).map(parent).collect()
    };
    let second = || trial(2, 1, 2, Some(1), None);
    let first = |signer, mark| trial(1, signer, 1, None, mark);
    assert_eq!(parents(&[first(1, None), second()]), [Some(1)]);
    assert_eq!(parents(&[second()]), [None]);
    assert_eq!(parents(&[first(2, None), second()]), [None]);
    assert_eq!(parents(&[first(1, Some([5; 8])), second()]), [None]);
    assert_eq!(parents(&[trial(2, 1, 2, Some(2), None)]), [None]);
    let joined = [first(1, None), trial(2, 3, 2, Some(1), None), record(3, 1, rotation("2026-11", 3))];
    assert_eq!(parents(&joined), [Some(1)]);
    assert_eq!(parents(&joined[..2]), [None]);
}

/// Few keys, series, revisions and months, so that everything collides with everything.
fn any_body() -> impl Strategy<Value = Body> {
    let key = || 1..=4_u8;
    let any_month = || (1524..1530_u16).prop_map(Month);
    let parent = proptest::option::of((0..2_u8, Just(Relation::Repeat)));
    let arms = proptest::collection::vec((20..24_u16, proptest::option::of(0..5_u16)), 1..4);
    let trial =
        (0..2_u8, 0..3_u8, any_month(), arms, parent).prop_map(|(series, revision, signed, arms, parent)| {
            let arms =
                arms.into_iter().zip(1..).map(|((started, rooted), number)| arm(number, started, rooted));
            Body::Summary(Summary {
                head: Head::of_summary(signed),
                series: [series; 16],
                revision,
                parent: parent.map(|(series, relation)| Parent { series: [series; 16], relation }),
                ..summary(arms.collect())
            })
        });
    let with_head = |signed| Head::new(signed);
    prop_oneof![
        6 => trial,
        1 => (0..2_u8, any_month()).prop_map(move |(series, signed)| {
            let (head, extensions) = (with_head(signed), Extensions::new());
            Body::Withdrawal(Withdrawal { head, series: [series; 16], reason: Code(series), extensions })
        }),
        2 => (key(), any_month()).prop_map(move |(to, signed)| {
            let (head, extensions) = (with_head(signed), Extensions::new());
            Body::Rotation(Rotation { head, new_key: author(to), proof: [0; 64], extensions })
        }),
        1 => proptest::option::of(any_month()).prop_map(move |from| {
            let (head, extensions) = (with_head(Month(1527)), Extensions::new());
            Body::Revocation(Revocation { head, from, extensions })
        }),
        2 => (key(), 0..3_u8, any::<bool>(), any_month()).prop_map(move |(subject, sequence, vouches, signed)| {
            let (head, extensions) = (with_head(signed), Extensions::new());
            Body::Vouch(Vouch { head, subject: author(subject), sequence, vouches, extensions })
        }),
    ]
}

fn any_records() -> impl Strategy<Value = Vec<Signed>> {
    let id = proptest::array::uniform32(any::<u8>());
    let one = (id, 1..=4_u8, any_body());
    let signed =
        |(id, signer, body)| Signed { id: RecordId(id), author: author(signer), bytes: Vec::new(), body };
    proptest::collection::vec(one.prop_map(signed), 0..30)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, ..ProptestConfig::default() })]

    #[test]
    fn order_and_duplicates_do_not_matter(
        (records, shuffled) in any_records().prop_flat_map(|r| (Just(r.clone()), Just(r).prop_shuffle())),
        again in proptest::collection::vec(any::<Index>(), 0..10),
    ) {
        let mut arrived = shuffled.clone();
        if !shuffled.is_empty() {
            arrived.extend(again.iter().map(|at| at.get(&shuffled).clone()));
        }
        prop_assert_eq!(resolve(&records), resolve(&arrived));
    }

    #[test]
    fn what_is_dropped_as_surplus_never_matters_to_late_arrivals(
        (records, early) in any_records().prop_flat_map(|r| {
            let most = r.len();
            (Just(r.clone()), subsequence(r, 0..=most))
        }),
    ) {
        let state = resolve(&early);
        let late = records.iter().filter(|record| !early.contains(record));
        let kept: Vec<&Signed> = early.iter().filter(|r| !state.surplus().contains(&r.id)).chain(late).collect();
        let (with, without) = (resolve(&records), resolve(kept));
        prop_assert!(with.current().eq(without.current()));
        for (one, other) in with.current().zip(without.current()) {
            prop_assert_eq!(with.parent_of(one), without.parent_of(other));
        }
        prop_assert!(with.withdrawn().eq(without.withdrawn()));
        prop_assert!(with.revoked().eq(without.revoked()));
        prop_assert!(with.vouches().eq(without.vouches()));
    }

    #[test]
    fn every_series_stands_once_or_is_taken_out_once(records in any_records()) {
        let resolved = resolve(&records);
        let mut seen: Vec<_> = resolved.current().chain(resolved.revoked()).map(|t| (t.author, t.series)).collect();
        seen.extend(resolved.withdrawn().map(|w| (w.author, w.series)));
        let number = seen.len();
        seen.sort_unstable();
        seen.dedup();
        prop_assert_eq!(seen.len(), number);
        for record in &records {
            if let Some(summary) = record.summary() {
                let series = (resolved.author_of(&record.author), summary.series);
                prop_assert!(seen.contains(&series), "{:?} is nowhere", series);
            }
        }
    }

    #[test]
    fn a_denominator_never_shrinks(records in any_records()) {
        for trial in resolve(&records).current() {
            for now in &trial.arms {
                prop_assert!(now.started >= now.arm.started);
            }
        }
    }
}
