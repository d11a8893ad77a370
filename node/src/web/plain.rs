//! Sentences that name options of commands, in the words of the page.

use propagule_files::fault::Fault;
use propagule_present::fault;

pub(super) use propagule_present::screens::plain;

/// A failure whose hints name options, for the page.
pub(super) fn plainly(failure: &Fault) -> Fault {
    let said = Fault::said(plain(&fault::sentence(failure)));
    fault::hints(failure).iter().fold(said, |failure, hint| failure.hint(plain(hint)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_evidence::Whose;
    use propagule_present::words;

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
