//! Sentences that name options of commands, in the words of the page.

use propagule_files::fault::Fault;
use propagule_present::fault;

/// What a sentence says where an option would be named, and what a reader of the page does instead.
const SAID: [(&str, &str); 8] = [
    (" (see propagule plant).", "."),
    (": --whose everybody.", "; choose \u{201c}everybody\u{201d} to see them."),
    ("see them with --whose everybody.", "choose \u{201c}everybody\u{201d} to see them."),
    ("take them in with --whose everybody.", "choose \u{201c}everybody\u{201d} to take them in."),
    ("see who moves it: --detail.", "see who moves it under \u{201c}What moves the figures\u{201d}."),
    ("ask for another stage with --stage and --outcome", "choose another count"),
    ("ask for another stage with --stage", "choose another count"),
    ("leave it out with --where", "leave it out with a filter"),
];

/// The same sentence for the page.
pub(super) fn plain(sentence: &str) -> String {
    SAID.iter().fold(sentence.to_owned(), |text, (option, words)| text.replace(option, words))
}

/// A failure whose hints name options, for the page.
pub(super) fn plainly(failure: &Fault) -> Fault {
    let said = Fault::said(plain(&fault::sentence(failure)));
    fault::hints(failure).iter().fold(said, |failure, hint| failure.hint(plain(hint)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::words;
    use propagule_evidence::Whose;

    #[test]
    fn no_sentence_names_an_option_on_the_page() {
        let sentences = [
            words::nobody_asked_for("Morus nigra", Whose::Circle, 3),
            words::outside_only(2),
            words::others_outside(1),
            words::circle_differs(None),
        ];
        for sentence in sentences {
            assert!(sentence.contains("--") && !plain(&sentence).contains("--"), "{sentence}");
        }
    }
}
