//! Sentences that name options of commands, in the words of the page.

pub(super) use propagule_present::screens::plain;

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
