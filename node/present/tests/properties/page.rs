//! HTML read back by a parser of others: what it says, and whether anything stands in it that no document has.

use quick_xml::Reader;
use quick_xml::escape::unescape;
use quick_xml::events::Event;

/// Elements of documents and of pictures.
const ELEMENTS: &str = "h1 h2 h3 h4 p strong i span code a br ul ol li dl dt dd table caption thead tbody tr th td \
    details summary div figure figcaption svg rect path circle line text g";

/// Attributes that documents and pictures may have; style and scripts are not among them.
const ATTRIBUTES: &str = "class id href scope open role aria-label aria-hidden viewBox width height d x y x1 x2 y1 y2 \
    cx cy r rx text-anchor font-size font-weight preserveAspectRatio";

/// Whether a word is in a list of words.
fn is_in(list: &str, word: &str) -> bool {
    list.split_whitespace().any(|other| other == word)
}

/// What was read.
#[derive(Clone, Debug, Default)]
pub(crate) struct Read {
    /// All text in the order of reading, parts of different elements apart.
    pub(crate) text: String,
    /// Elements and attributes that do not belong there.
    pub(crate) strange: Vec<String>,
}

/// Reads a piece of a page; it has to be well formed.
pub(crate) fn read(html: &str) -> Read {
    // The two spellings in which HTML is not XML.
    let xml = html.replace("<br>", "<br/>").replace("<details open>", "<details open=\"\">");
    let mut reader = Reader::from_str(&xml);
    reader.config_mut().check_comments = true;
    let (mut read, mut depth) = (Read::default(), 0_usize);
    loop {
        match reader.read_event().unwrap_or_else(|e| panic!("{e}: {html}")) {
            Event::Start(element) => {
                depth += 1;
                read.element(&element);
            }
            Event::Empty(element) => read.element(&element),
            Event::End(_) => depth -= 1,
            Event::Text(text) => read.text.push_str(&text.into_inner()),
            Event::GeneralRef(name) => {
                let entity = format!("&{};", name.into_inner());
                read.text.push_str(&unescape(&entity).expect("an entity of HTML and XML"));
            }
            Event::Eof => break,
            other => read.strange.push(format!("{other:?}")),
        }
    }
    assert_eq!(depth, 0, "an element is never closed: {html}");
    read
}

impl Read {
    fn element(&mut self, element: &quick_xml::events::BytesStart<'_>) {
        let name = element.name().into_inner().to_owned();
        if !is_in(ELEMENTS, &name) {
            self.strange.push(name);
        }
        for attribute in element.attributes() {
            let attribute = attribute.expect("an attribute with its value");
            let key = attribute.key.into_inner();
            let value = unescape(&attribute.value).expect("an escaped value");
            let is_script =
                key == "href" && !["/", "#", "?", "http", "mailto:"].iter().any(|s| value.starts_with(s));
            if !is_in(ATTRIBUTES, key) || is_script {
                self.strange.push(format!("{key}={value}"));
            }
        }
    }
}
