//! What screens say alike.

use crate::document::{Document, Role};
use crate::words::InWords;
use propagule_evidence::{FacetWords, Whose};

use super::plain;
use crate::kind::described;
use crate::words;
use propagule_answer::behind::{Leads, StandsBehind};
use propagule_answer::said::{AnswerSaid, Family};
use propagule_answer::{NotCounted, Source, Warning};

/// A sentence; where it names the option of a command, a page says what its reader does instead.
pub(super) fn said(document: Document, role: Role, sentence: &str) -> Document {
    let on_page = plain(sentence);
    if on_page == sentence {
        return document.sentence(role, sentence);
    }
    document
        .in_text(|text| text.sentence(role, sentence))
        .on_page(|page| page.sentence(role, on_page.as_str()))
}

/// The family that all of some methods are of; mixed where they are of several, or where there are none.
pub(super) fn shared_family(families: impl IntoIterator<Item = Family>) -> Family {
    let mut families = families.into_iter();
    let first = families.next().unwrap_or(Family::Mixed);
    if families.all(|other| other == first) { first } else { Family::Mixed }
}

/// The family in whose words a sentence about a method or a treatment is; none where it is about no one of them.
pub(super) const fn family_of(said: &AnswerSaid) -> Option<Family> {
    match said {
        AnswerSaid::Rate(facts) => Some(facts.wording.family),
        AnswerSaid::Stick { facts, .. } => Some(facts.wording.family),
        AnswerSaid::Compared(facts) => Some(facts.wording.family),
        AnswerSaid::NobodyElse { wording, .. } => Some(wording.family),
        _ => None,
    }
}

/// Who stands behind an answer; it comes before any figure where not all do.
pub(super) fn stands_behind(document: Document, behind: Option<&StandsBehind>, is_first: bool) -> Document {
    let told = behind.filter(|behind| {
        let all_stand = behind.facts.leads == Leads::All;
        is_first != all_stand && !behind.gives_nothing()
    });
    let words = told.map(|behind| behind.sentence.words()).filter(|words| !words.is_empty());
    let role = if is_first { Role::Main } else { Role::Plain };
    document.each(&words, |document, words| said(document, role, words))
}

/// Warnings, but for one that was said already.
pub(super) fn warnings(document: Document, warnings: &[Warning], but: Option<&AnswerSaid>) -> Document {
    let more = warnings.iter().filter(|warning| Some(&warning.text) != but);
    document.each(more, |document, warning| said(document, Role::Warning, &warning.text.words()))
}

/// What was not counted, and why.
pub(super) fn left_out(document: Document, lines: &[NotCounted]) -> Document {
    document.each(lines, |document, line| {
        document.caveat(format!("Not counted: {}, {}.", line.count, line.reason.words()))
    })
}

/// Until when the data reach, and what they are not.
pub fn data_words(data_until: Option<&str>, source: Source, whose: Whose) -> String {
    let data = match (data_until, source) {
        (Some(date), _) => format!("Results until {date} ({whose})."),
        (None, Source::File) => "Results as in the file.".to_owned(),
        (None, Source::Network) => format!("Published results on this computer ({whose})."),
    };
    format!("{data} {}", words::NOT_ADVICE)
}

/// `auxin none, leaves whole`.
pub(super) fn facet_words(facets: &FacetWords) -> String {
    let words: Vec<String> = facets.iter().map(|(facet, word)| described(facet, word)).collect();
    words.join(", ")
}

/// A label with long hexadecimal parts, such as keys, cut to their first eight digits.
pub(super) fn short_label(label: &str) -> String {
    let short = |part: &str| {
        let is_long_hex = part.len() >= 16 && part.bytes().all(|byte| byte.is_ascii_hexdigit());
        if is_long_hex { part[..8].to_owned() } else { part.to_owned() }
    };
    label.split('/').map(short).collect::<Vec<_>>().join("/")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn methods_of_one_family_share_its_words_and_those_of_several_have_none() {
        use Family::{Grafts, Mixed, Seed};
        assert_eq!(shared_family([Seed, Seed]), Seed);
        assert_eq!(shared_family([Seed, Grafts]), Mixed);
        assert_eq!(shared_family([]), Mixed);
    }

    #[test]
    fn keys_in_labels_are_cut_short() {
        let key = "ab".repeat(32);
        assert_eq!(short_label(&format!("{key}/0123456789abcdef")), "abababab/01234567");
        assert_eq!(short_label("g01/t1"), "g01/t1");
    }
}
