//! What was left out, what was announced, and other readings of the same results.

use crate::document::{Document, List};
use crate::words::InWords;

use super::MOST_TOLD;
use crate::screens::common::left_out;
use crate::words;
use propagule_answer::pool::{MethodAnswer, PoolAnswer};
use propagule_answer::said::{Rates, Wording};
use propagule_evidence::{Outcome, Whose};

/// At the end of a text; on a page what is beside the point is folded.
pub(super) fn readings(document: Document, answer: &PoolAnswer, methods: &[&MethodAnswer]) -> Document {
    let all: Vec<&MethodAnswer> = answer.methods.iter().collect();
    document.in_text(|text| in_text(text, answer, &all)).on_page(|page| on_page(page, answer, methods))
}

fn in_text(text: Document, answer: &PoolAnswer, methods: &[&MethodAnswer]) -> Document {
    left_out(text, &answer.left_out)
        .each(&answer.regrafts, |text, again| {
            text.caveat(format!("{} {}", again.sentence.words(), words::WITH_REGRAFTS))
        })
        .each(&answer.silence, |text, silence| text.caveat(words::silence_words(silence)))
        .each(other(methods, answer.outcome, answer.whose), Document::caveat)
        .each(&answer.warnings, |text, warning| text.warn(warning.text.words()))
}

fn on_page(page: Document, answer: &PoolAnswer, methods: &[&MethodAnswer]) -> Document {
    let other: Vec<String> =
        other(methods, answer.outcome, answer.whose).into_iter().take(MOST_TOLD).collect();
    let left_out = answer.left_out.iter().map(|line| format!("{} {}", line.count, line.reason.words()));
    page.each(&answer.regrafts, |page, again| page.say(again.sentence.words()))
        .each(&answer.silence, |page, silence| page.say(words::silence_words(silence)))
        .when(!other.is_empty(), |page| {
            page.fold("Other readings of the same results", |fold| fold.each(other, Document::say))
        })
        .when(!answer.left_out.is_empty(), |page| {
            page.fold("Not counted", |fold| fold.list(List::points(left_out)))
        })
}

/// Overdue trials as failures, then everybody where some growers are asked, or with strangers where everybody is.
fn other(methods: &[&MethodAnswer], outcome: Outcome, whose: Whose) -> Vec<String> {
    let name = |method: &MethodAnswer| (methods.len() > 1).then(|| method.method.clone());
    let silent = methods.iter().filter_map(|method| {
        let fit = method.silent_as_zero.as_ref()?;
        Some(words::silent_as_zero_words(
            name(method).as_deref(),
            Wording::new(method.family, outcome),
            &fit.into(),
        ))
    });
    let everybody = methods.iter().filter_map(|method| {
        let all = method.everybody.as_ref()?;
        let rates = Rates::from(&all.fit);
        let words =
            if whose == Whose::Everybody { words::standing::with_strangers } else { words::everybody_words };
        Some(words(name(method).as_deref(), all.growers, all.rooted, all.started, &rates))
    });
    silent.chain(everybody).collect()
}
