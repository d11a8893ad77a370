//! A pooled answer: the sentence first, then the picture, then what stands behind it.

mod facets;
mod never_tried;
mod order;
mod plot;
mod printed;
mod readings;
mod side_by_side;

use crate::words::InWords;
use std::collections::BTreeMap;

use crate::document::{Action, Document, Phrase, Role};

pub use order::in_order;

use super::behind::behind;
use super::common::{data_words, said, shared_family, stands_behind};
use super::{labels, plain};
use crate::words;
use propagule_answer::pool::{MethodAnswer, PoolAnswer};
use propagule_answer::said::Wording;

/// Methods told one by one on a page.
const MOST_TOLD: usize = 16;
/// Where a page finds what it does not show.
const OTHERS: &str = "in the file of the answer";

/// What stands around an answer.
#[derive(Clone, Debug, Default)]
pub struct Around<'a> {
    /// Names of other plants that the reader takes for this one.
    pub also: &'a [String],
    /// What was typed, where the species has another name.
    pub found_by: Option<&'a str>,
    /// Own successes and pieces by method, as they stand on the bench.
    pub own: BTreeMap<String, (u32, u32)>,
    /// Where a page goes to see what the answer rests on.
    pub rests_on: Vec<Action>,
}

/// The parts of the screen, between which a page has forms of its own.
#[derive(Clone, Debug)]
pub struct PoolScreen {
    /// Title and main statement.
    pub head: Document,
    /// What they rest on.
    pub body: Document,
    /// Trials in print.
    pub printed: Document,
    /// What limits the whole.
    pub foot: Document,
}

/// The screen of an answer.
pub fn pool(answer: &PoolAnswer, around: &Around<'_>) -> PoolScreen {
    if printed::is_alone(answer) {
        let head = title(answer, around).main(printed::first(answer).unwrap_or_default());
        let foot = Document::new().on_page(|page| page.caveat(words::NOT_ADVICE));
        return PoolScreen { head, body: Document::new(), printed: printed::printed(answer), foot };
    }
    let ours = |part| {
        labels::in_our_words(part, answer.methods.iter().map(|method| (&method.method, &method.facets)))
    };
    PoolScreen {
        head: ours(head(answer, around)),
        body: ours(body(answer, around)),
        printed: printed::printed(answer),
        foot: ours(foot(answer)),
    }
}

impl PoolScreen {
    /// All of it.
    pub fn document(self) -> Document {
        self.head.append(self.body).append(self.foot).append(self.printed)
    }
}

/// `rooted at the lift count`, in the words of the kind where all methods are of one.
pub fn question(answer: &PoolAnswer) -> String {
    let family = shared_family(answer.methods.iter().map(|method| method.family));
    words::question_words(Wording::new(family, answer.outcome), answer.stage)
}

fn title(answer: &PoolAnswer, around: &Around<'_>) -> Document {
    let also = (!around.also.is_empty()).then(|| words::also_counted(around.also));
    let title = Phrase::new().name(answer.species.as_str()).then(format!(": {}", question(answer)));
    Document::new()
        .each(&also, |document, also| document.in_text(|text| text.say(also.as_str())))
        .title(title)
        .each(around.found_by, |document, typed| {
            document.on_page(|page| page.note(format!("Found by \u{201c}{typed}\u{201d}.")))
        })
        .each(&also, |document, also| document.on_page(|page| page.note(plain(also))))
}

fn head(answer: &PoolAnswer, around: &Around<'_>) -> Document {
    let title = stands_behind(title(answer, around), answer.behind.as_ref(), true);
    let document = said(title, Role::Main, &answer.sentence.words());
    stands_behind(document, answer.behind.as_ref(), false)
        .in_text(|text| match answer.methods.as_slice() {
            [] => text.each(&answer.silence, |text, silence| text.say(words::silence_words(silence))),
            [only] => lives(text, only),
            _ => text,
        })
        .each(&answer.network, |document, network| {
            document.on_page(|page| page.main(network.sentence.words()))
        })
}

/// Roots first seen after a move, and the whole life.
fn lives(document: Document, method: &MethodAnswer) -> Document {
    lines_of_life(method).fold(document, Document::say)
}

fn lines_of_life(method: &MethodAnswer) -> impl Iterator<Item = String> {
    let moved = method.moved.iter().filter(|moved| moved.rooted > 0).map(|moved| moved.sentence.words());
    moved.chain(method.whole_life.as_ref().map(|life| life.sentence.words()))
}

fn body(answer: &PoolAnswer, around: &Around<'_>) -> Document {
    let document = Document::new();
    if answer.methods.is_empty() {
        return document
            .when(!answer.never_tried.is_empty(), |document| never_tried::never_tried(document, answer))
            .on_page(|page| rests_on(page, around));
    }
    let methods = in_order(answer);
    let several = answer.methods.len() > 1;
    let document = document
        .when(several, |document| document.in_text(|text| text.each(&answer.methods, told)))
        .in_text(|text| text.chart(plot::by_label(answer)))
        .on_page(|page| plot::by_weight(page, answer, &around.own))
        .when(several, |document| document.on_page(|page| told_on_page(page, answer, &methods)))
        .on_page(|page| {
            page.each(&methods, |page, method| {
                let name = if several { format!("{}: ", method.method) } else { String::new() };
                lines_of_life(method).fold(page, |page, line| page.say(format!("{name}{line}")))
            })
            .each(&answer.warnings, |page, warning| page.warn(plain(&warning.text.words())))
        });
    let document = never_tried::never_tried(document, answer);
    let document = side_by_side::linked(side_by_side::contrasts(document, answer), answer)
        .in_text(|text| facets::facets(text, answer))
        .append(behind(answer, &told_behind(answer)));
    readings::readings(document.on_page(|page| rests_on(page, around)), answer, &methods)
}

/// A method with its sentence.
fn told(document: Document, method: &MethodAnswer) -> Document {
    document.section_at(3, method.method.as_str(), |under| lives(under.say(method.sentence.words()), method))
}

fn told_on_page(page: Document, answer: &PoolAnswer, methods: &[&MethodAnswer]) -> Document {
    let left = answer.methods.len().saturating_sub(MOST_TOLD);
    page.fold("Each method in words", |fold| {
        fold.each(methods.iter().take(MOST_TOLD), |fold, method| {
            fold.say(Phrase::new().strong(method.method.as_str())).say(method.sentence.words())
        })
        .when(left > 0, |fold| fold.note(format!("And {left} more {OTHERS}.")))
    })
}

/// Methods that were looked into, in the order in which they were.
fn told_behind(answer: &PoolAnswer) -> Vec<&MethodAnswer> {
    let method = |name: &str| answer.methods.iter().find(|method| method.method == name);
    answer.detail.iter().flatten().filter_map(|detail| method(&detail.method)).collect()
}

fn rests_on(page: Document, around: &Around<'_>) -> Document {
    page.when(!around.rests_on.is_empty(), |page| {
        page.section("What it rests on", |section| {
            section.each(around.rests_on.iter().cloned(), Document::action)
        })
    })
}

/// Until when the data reach; a text that has nothing to tell ends without it.
fn foot(answer: &PoolAnswer) -> Document {
    let data = data_words(answer.data_until.as_deref(), answer.source, answer.whose);
    let held = match &answer.data_until {
        Some(month) => format!("Results until {month}."),
        None => "Published results on this computer.".to_owned(),
    };
    Document::new()
        .when(!answer.methods.is_empty(), |document| document.in_text(|text| text.caveat(data)))
        .on_page(|page| page.caveat(format!("{held} {}", words::NOT_ADVICE)))
}
