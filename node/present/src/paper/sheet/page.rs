//! What all printed pages share.

use super::PaperSize;

/// Rules of every page. A table that is wider than a phone is moved sideways, by keys too: it can have the focus.
const STYLE: &str = "\
*{box-sizing:border-box}\
html{color:#000;background:#fff;font:10pt/1.35 'Liberation Sans','DejaVu Sans',Arial,sans-serif}\
body{margin:0 auto;max-width:277mm}\
h1{font-size:15pt;margin:0 0 2mm}\
h2{font-size:11.5pt;margin:5mm 0 1.5mm;break-after:avoid}\
p{margin:0 0 2mm;overflow-wrap:anywhere}\
table{border-collapse:collapse;width:100%}\
thead{display:table-header-group}\
tr{break-inside:avoid}\
th,td{border:.25mm solid #000;padding:1mm 1.5mm;text-align:left;vertical-align:top;overflow-wrap:anywhere}\
th{border-bottom-width:.6mm}\
.code{font-family:'Liberation Mono','DejaVu Sans Mono',monospace;font-weight:bold}\
@media screen{body{padding:6mm}}\
@media screen and (max-width:45rem){table{display:block;overflow-x:auto}th,td{overflow-wrap:normal}}";

/// How a page lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Turn {
    Upright,
    Sideways,
}

/// A whole document. `title` is escaped here; `style` and `body` are ours.
pub(super) fn document(title: &str, size: PaperSize, turn: Turn, style: &str, body: &str) -> String {
    let paper = match size {
        PaperSize::A4 => "A4",
        PaperSize::Letter => "letter",
    };
    let turn = if turn == Turn::Sideways { " landscape" } else { "" };
    let title = escape(title);
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width\"/>\n<title>{title}</title>\n\
         <style>@page{{size:{paper}{turn};margin:12mm}}{STYLE}{style}</style>\n</head>\n<body>\n{body}</body>\n</html>\n"
    )
}

/// A text as HTML and SVG show it, in elements and in quoted attributes.
///
/// Control characters and marks that turn the direction of writing, by which a text can be made to look like
/// another, become the replacement character.
pub fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            '\'' => escaped.push_str("&#39;"),
            '\n' | '\t' => escaped.push(c),
            '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
                escaped.push('\u{fffd}');
            }
            '\u{fffe}' | '\u{ffff}' => escaped.push('\u{fffd}'),
            c if c.is_control() => escaped.push('\u{fffd}'),
            c => escaped.push(c),
        }
    }
    escaped
}

/// The texts escaped, each in an element.
pub(super) fn each_in(element: &str, texts: &[String]) -> String {
    texts.iter().map(|text| format!("<{element}>{}</{element}>", escape(text))).collect()
}
