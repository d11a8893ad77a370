//! What a form or a query holds: names with texts, in their order.

use std::convert::Infallible;

use axum::extract::FromRequestParts;
use axum::http::request::Parts;

/// The longest text of a field; a table to import is longer.
pub(super) const TEXT_CHARACTERS: usize = 4_000;
/// The field that holds a table.
pub(super) const TABLE: &str = "table";

/// Names with texts.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Fields(Vec<(String, String)>);

impl Fields {
    /// Reads `application/x-www-form-urlencoded`; lines of a text end in one way.
    pub(super) fn read(bytes: &[u8]) -> Self {
        let pairs =
            form_urlencoded::parse(bytes).map(|(name, text)| (name.into_owned(), text.replace("\r\n", "\n")));
        Self(pairs.collect())
    }

    /// The field whose text is too long to be kept.
    pub(super) fn too_long(&self) -> Option<&str> {
        let is_long = |name: &str, text: &str| name != TABLE && text.chars().count() > TEXT_CHARACTERS;
        self.0.iter().find(|(name, text)| is_long(name, text)).map(|(name, _)| name.as_str())
    }

    /// The text of a field without spaces around it; empty where it is not there.
    pub(super) fn get(&self, name: &str) -> &str {
        self.0.iter().find(|(found, _)| found == name).map_or("", |(_, text)| text.trim())
    }

    /// The text of a field, where it has one.
    pub(super) fn given(&self, name: &str) -> Option<&str> {
        Some(self.get(name)).filter(|text| !text.is_empty())
    }

    /// The same, owned.
    pub(super) fn owned(&self, name: &str) -> Option<String> {
        self.given(name).map(str::to_owned)
    }

    /// Every field that was sent.
    pub(super) fn all(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().map(|(name, text)| (name.as_str(), text.as_str()))
    }

    /// Every text of a field that may be sent several times, as ticked boxes of one name are.
    pub(super) fn each(&self, name: &str) -> impl Iterator<Item = &str> {
        self.0.iter().filter(move |(found, _)| found == name).map(|(_, text)| text.trim())
    }

    /// The same with another text in a field.
    #[must_use]
    pub(super) fn with(mut self, name: &str, text: &str) -> Self {
        self.0.retain(|(found, _)| found != name);
        self.0.push((name.to_owned(), text.to_owned()));
        self
    }

    /// The same with its fields renamed; one that has no new name is left out.
    #[must_use]
    pub(super) fn renamed(self, name: impl Fn(&str) -> Option<String>) -> Self {
        Self(self.0.into_iter().filter_map(|(old, text)| Some((name(&old)?, text))).collect())
    }

    /// As a query of an address.
    pub(super) fn query(&self) -> String {
        form_urlencoded::Serializer::new(String::new()).extend_pairs(self.all()).finish()
    }

    /// Whether a box is ticked.
    pub(super) fn is_on(&self, name: &str) -> bool {
        !self.get(name).is_empty()
    }

    /// Whether nothing was sent.
    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Names of the fields, each once, in their order.
    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        let is_first = |(at, (name, _)): &(usize, &(String, String))| {
            self.0[..*at].iter().all(|(other, _)| other != name)
        };
        self.0.iter().enumerate().filter(is_first).map(|(_, (name, _))| name.as_str())
    }

    /// The text of a field just as it was sent.
    pub(super) fn raw(&self, name: &str) -> &str {
        self.0.iter().find(|(found, _)| found == name).map_or("", |(_, text)| text.as_str())
    }
}

/// The form that the guard has read, else the query.
impl<S: Sync> FromRequestParts<S> for Fields {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Infallible> {
        let form = parts.extensions.get::<Self>().cloned();
        Ok(form.unwrap_or_else(|| Self::read(parts.uri.query().unwrap_or_default().as_bytes())))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forms_are_read_as_browsers_write_them() {
        // Examples in the shape of the WHATWG URL standard, §5.1: + is a space, %XX are bytes of UTF-8.
        let fields = Fields::read("a=1&b=x+y&d=%C3%A9&c=&text=one%0D%0Atwo".as_bytes());
        assert_eq!(
            (fields.get("a"), fields.get("b"), fields.get("d"), fields.get("none")),
            ("1", "x y", "\u{e9}", "")
        );
        assert_eq!((fields.given("c"), fields.get("text")), (None, "one\ntwo"));
    }

    #[test]
    fn fields_are_changed_and_written_as_a_query_that_reads_as_the_same() {
        let fields = Fields::read(b"also=a&also=b&x=1&note=a%26b%0D%0Ac");
        assert_eq!(fields.each("also").collect::<Vec<_>>(), ["a", "b"]);
        assert_eq!(Fields::read(fields.query().as_bytes()), fields);
        let changed = fields.with("x", "2").renamed(|name| (name != "also").then(|| name.replace('x', "y")));
        assert_eq!((changed.get("y"), changed.get("also"), changed.get("note")), ("2", "", "a&b\nc"));
    }

    #[test]
    fn a_text_may_be_too_long_and_a_table_may_not() {
        let (fits, long) = ("x".repeat(TEXT_CHARACTERS), "x".repeat(TEXT_CHARACTERS + 1));
        assert_eq!(Fields::read(format!("note={fits}&table={long}").as_bytes()).too_long(), None);
        assert_eq!(Fields::read(format!("code=M1&note={long}").as_bytes()).too_long(), Some("note"));
    }
}
