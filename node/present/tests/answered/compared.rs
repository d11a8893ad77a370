//! An own trial beside others.

use propagule_answer::AnswerError;
use propagule_answer::compare::{CompareAnswer, compare};
use propagule_answer::question::{CompareQuestion, Given, OwnTrial};
use propagule_bench::kind::Kind;
use propagule_evidence::EvidenceRow;
use propagule_evidence::fixtures::{evidence, row};
use propagule_files::fault::Fault;
use propagule_present::fault;
use propagule_present::words::InWords;

fn asked(rows: Vec<EvidenceRow>, trial: &str) -> Result<CompareAnswer, AnswerError> {
    let (own, question) = (OwnTrial::of("x y", trial), CompareQuestion::about(trial));
    compare(&evidence(rows), &own, &question, &Given::default())
}

fn own(row: EvidenceRow) -> EvidenceRow {
    EvidenceRow { own: true, ..row }
}

#[test]
fn it_is_said_with_whom_there_was_to_compare() {
    let alone = asked(vec![own(row("me", "1", "1", 20, 5))], "me/1").expect("a comparison");
    let said = alone.warnings[0].text.words();
    assert!(said.contains("No other grower has reported this method"), "{said}");
    let rows = std::iter::once(own(row("me", "1", "1", 20, 5)));
    let rows = rows.chain(["a", "b", "c"].map(|grower| row(grower, "1", "1", 40, 8))).collect();
    let said = asked(rows, "me/1").expect("a comparison").arms[0].sentence.words();
    assert!(said.contains("No climate is known, so all 3 are"), "{said}");
}

#[test]
fn what_is_not_there_or_not_counted_has_its_words() {
    let slip = asked(vec![own(row("me", "mulberry", "1", 20, 5))], "me/mulbery").expect_err("a slip");
    assert_eq!(fault::hints(&slip.into()), ["did you mean me/mulberry?"]);
    let pending = EvidenceRow { pending: true, ..own(row("me", "1", "1", 20, 0)) };
    let pending = asked(vec![pending], "me/1").expect_err("pending");
    let said = |kind: Option<Kind>| {
        let fault = Fault::from(pending.clone());
        fault::sentence(&kind.map_or(fault.clone(), |kind| fault.with("kind", kind.word())))
    };
    assert_eq!(said(None), "cannot compare me/1: nothing was counted as succeeded at the first count yet");
    assert_eq!(
        said(Some(Kind::Cutting)),
        "cannot compare me/1: nothing was counted as rooted at the lift count yet"
    );
}
