//! Texts of growers as they are kept, however they came.

/// Without spaces around it, and with lines that end in one way; none where nothing is left.
pub(super) fn kept(text: Option<&str>) -> Option<String> {
    let text = text?.replace("\r\n", "\n");
    Some(text.trim().to_owned()).filter(|text| !text.is_empty())
}

#[cfg(test)]
mod tests {
    use super::kept;

    #[test]
    fn spaces_around_and_ends_of_lines_do_not_tell_texts_apart() {
        assert_eq!(kept(Some(" one\r\ntwo ")), Some("one\ntwo".to_owned()));
        assert_eq!((kept(Some(" \n")), kept(None)), (None, None));
    }
}
