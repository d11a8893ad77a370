//! Messages survive the wire, and what is none is refused.

use super::*;
use proptest::prelude::*;

fn a_range() -> AuthorRange {
    AuthorRange::new(3, 5).expect("a range")
}

fn questions() -> Vec<Question> {
    vec![
        Question::Months(NetworkId([7; 32])),
        Question::Reconcile(Month(1517), vec![0x61, 0, 1]),
        Question::Fetch(vec![RecordId([1; 32]), RecordId([2; 32])]),
        Question::Stem(vec![9; 300]),
        Question::Stem(vec![]),
        Question::Peers,
        Question::MonthsWithin(NetworkId([7; 32]), AuthorRange::EVERYBODY),
        Question::ReconcileWithin(Month(1517), vec![0x61, 0, 1], a_range()),
        Question::Heads(vec![AuthorKey([3; 32]), AuthorKey([4; 32])]),
        Question::OfAuthor(AuthorKey([3; 32]), None),
        Question::OfAuthor(AuthorKey([3; 32]), Some(RecordId([5; 32]))),
    ]
}

fn replies() -> Vec<Reply> {
    vec![
        Reply::Months(vec![MonthRow { month: Month(3599), count: 70_000, fingerprint: [9; 16] }]),
        Reply::Reconcile(vec![0x61]),
        Reply::Records(vec![vec![1, 2, 3], vec![]]),
        Reply::Taken,
        Reply::Peers(vec!["/ip4/192.0.2.7/tcp/48620".to_owned(), String::new()]),
        Reply::MonthsWithin(
            vec![MonthRow { month: Month(3599), count: 70_000, fingerprint: [9; 16] }],
            a_range(),
        ),
        Reply::Heads(vec![AuthorHead { count: 3, fingerprint: [4; 16] }, AuthorHead::default()]),
        Reply::OfAuthor(vec![RecordId([1; 32])]),
        Reply::Declined(Decline::OtherNetwork),
        Reply::Declined(Decline::OverLimit),
        Reply::Declined(Decline::Busy),
        Reply::Declined(Decline::OverBudget(90)),
    ]
}

#[test]
fn messages_survive_the_wire() {
    for question in questions() {
        assert_eq!(Question::decode(&question.encode()), Ok(question));
    }
    for reply in replies() {
        assert_eq!(Reply::decode(&reply.encode()), Ok(reply));
    }
}

#[test]
fn what_a_message_is_said_to_take_is_what_it_takes_but_for_a_few_bytes() {
    let row = MonthRow { month: Month(3_000), count: 70_000, fingerprint: [9; 16] };
    let many = [
        Reply::Months(vec![row; 900]),
        Reply::Records(vec![vec![7; 400]; 256]),
        Reply::Peers(vec!["x".repeat(limits::ADDRESS_BYTES); limits::TOLD_ADDRESSES]),
        Reply::Reconcile(vec![7; limits::FRAME_BYTES]),
    ];
    let fetch = Question::Fetch(vec![RecordId([7; 32]); limits::FETCH_IDS]);
    let asked = questions().into_iter().chain([fetch]).map(|all| (all.bytes(), all.encode().len()));
    let said = replies().into_iter().chain(many).map(|all| (all.bytes(), all.encode().len()));
    for (told, took) in asked.chain(said) {
        assert!(took.abs_diff(told) <= 24, "{told} for {took}");
    }
}

#[test]
fn a_cut_message_and_an_unknown_number_are_refused() {
    for question in questions() {
        let whole = question.encode();
        for length in 0..whole.len() {
            assert_eq!(Question::decode(&whole[..length]), Err(NotAMessage));
        }
    }
    assert_eq!(Question::decode(&encoded(&Value::Array(vec![number(5_u8)]))), Err(NotAMessage));
    for declined in [vec![number(9_u8), number(3_u8)], vec![number(9_u8), number(4_u8), number(1_u8)]] {
        assert_eq!(Reply::decode(&encoded(&Value::Array(declined))), Err(NotAMessage));
    }
}

#[test]
fn each_question_is_answered_by_one_kind_of_reply_or_declined() {
    for question in questions() {
        let fits: Vec<Reply> = replies().into_iter().filter(|reply| question.is_answered_by(reply)).collect();
        let declined = fits.iter().filter(|reply| matches!(reply, Reply::Declined(_))).count();
        let ranged = usize::from(matches!(question, Question::MonthsWithin(..)));
        assert_eq!((declined, fits.len()), (4, 5 + ranged), "{question:?}");
    }
}

#[test]
fn more_ids_than_the_limit_are_refused() {
    let ids = vec![RecordId([0; 32]); limits::FETCH_IDS + 1];
    assert_eq!(Question::decode(&Question::Fetch(ids).encode()), Err(NotAMessage));
}

#[test]
fn an_oversized_record_and_too_many_or_too_long_addresses_are_refused() {
    let stem = |length| Question::Stem(vec![0; length]).encode();
    assert!(Question::decode(&stem(RECORD_BYTES)).is_ok());
    assert_eq!(Question::decode(&stem(RECORD_BYTES + 1)), Err(NotAMessage));
    let told = |count, length| Reply::Peers(vec!["x".repeat(length); count]).encode();
    assert!(Reply::decode(&told(limits::TOLD_ADDRESSES, limits::ADDRESS_BYTES)).is_ok());
    assert_eq!(Reply::decode(&told(limits::TOLD_ADDRESSES + 1, 1)), Err(NotAMessage));
    assert_eq!(Reply::decode(&told(1, limits::ADDRESS_BYTES + 1)), Err(NotAMessage));
}

#[test]
fn months_that_do_not_exist_are_refused() {
    let at = |month| Question::Reconcile(Month(month), vec![]).encode();
    assert!(Question::decode(&at(limits::MONTHS - 1)).is_ok());
    assert_eq!(Question::decode(&at(limits::MONTHS)), Err(NotAMessage));
}

proptest! {
    #[test]
    fn any_bytes_are_answered_without_a_panic(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let _ = Question::decode(&bytes);
        let _ = Reply::decode(&bytes);
    }
}
