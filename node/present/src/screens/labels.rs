//! Methods of an answer under the names that their reader has for their details.
//!
//! An answer names each method once for all readers, and its parts refer to that name. So it is changed in the finished
//! document, wherever it stands there, and nothing that composes a screen has to know of it.

use propagule_evidence::FacetWords;
use serde_json::Value;

use crate::document::Document;
use crate::kind;

/// A document with the names of these methods in the reader's words.
pub(super) fn in_our_words<'a>(
    document: Document,
    methods: impl IntoIterator<Item = (&'a String, &'a FacetWords)>,
) -> Document {
    let ours = methods.into_iter().map(|(label, facets)| (label.clone(), kind::method(label, facets)));
    let mut names: Vec<(String, String)> = ours.filter(|(stored, ours)| stored != ours).collect();
    if names.is_empty() {
        return document;
    }
    // A name that begins another one must not be found in it.
    names.sort_by_key(|(stored, _)| std::cmp::Reverse(stored.len()));
    let mut value = serde_json::to_value(&document).unwrap_or_default();
    rename(&mut value, &names);
    serde_json::from_value(value).unwrap_or(document)
}

fn rename(value: &mut Value, names: &[(String, String)]) {
    match value {
        Value::String(text) => {
            for (stored, ours) in names {
                if text.contains(stored.as_str()) && !text.contains(ours.as_str()) {
                    *text = text.replace(stored.as_str(), ours);
                }
            }
        }
        Value::Array(items) => items.iter_mut().for_each(|item| rename(item, names)),
        Value::Object(fields) => fields.values_mut().for_each(|item| rename(item, names)),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facets(all: &[(&str, &str)]) -> FacetWords {
        all.iter().map(|(name, words)| ((*name).to_owned(), (*words).to_owned())).collect()
    }

    #[test]
    fn a_name_is_changed_wherever_it_stands_and_nothing_else_is() {
        let stored = "hardwood stem cuttings, open".to_owned();
        let made = facets(&[("kind", "stem cutting"), ("wood", "hardwood"), ("humidity", "open")]);
        let document = Document::new()
            .section("hardwood stem cuttings, open", |under| under.say("An open question."))
            .say("hardwood stem cuttings, open: cannot tell yet");
        let said = crate::text::render(&in_our_words(document, [(&stored, &made)]), 80);
        assert_eq!(said.matches("hardwood stem cuttings, no cover").count(), 2, "{said}");
        assert!(said.contains("An open question.") && !said.contains("cuttings, open"), "{said}");
    }
}
