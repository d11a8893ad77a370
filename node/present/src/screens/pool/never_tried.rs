//! Methods that nobody has tried with the plant, below those that somebody has, and how far learning from other plants is.

use crate::document::Document;
use crate::words::InWords;
use propagule_answer::pool::{NeverTriedAnswer, PoolAnswer};

/// Heading of the list.
const HEADING: &str = "Not tried by anybody here";

/// A list of their own, the highest average first.
pub(super) fn never_tried(document: Document, answer: &PoolAnswer) -> Document {
    let told = |document: Document, line: &NeverTriedAnswer| {
        document.section_at(3, line.method.as_str(), |under| under.say(line.sentence.words()))
    };
    document
        .when(!answer.never_tried.is_empty(), |document| {
            document.section(HEADING, |under| under.each(&answer.never_tried, told))
        })
        .each(&answer.learnt, |document, learnt| {
            let said = learnt.sentence.words();
            document.when(!said.is_empty(), |document| document.note(said))
        })
}
