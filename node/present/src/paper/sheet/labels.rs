//! Labels to cut apart.

use fast_qr::convert::Builder as _;
use fast_qr::convert::svg::SvgBuilder;
use fast_qr::{ECL, QRBuilder};

use super::page::{Turn, document, escape};
use super::{Label, LabelSheet, PaperSize};

const ACROSS: usize = 3;

/// Label width and height are such that three across and eight (A4) or seven (Letter) down leave the margins free.
const STYLE: &str = "\
body{max-width:186mm}\
.sheet{break-after:page}.sheet:last-child{break-after:auto}\
.head{height:7mm;margin:0;font-size:8pt;white-space:nowrap;overflow:hidden}\
.row{display:flex;break-inside:avoid}\
.label{width:62mm;height:32mm;padding:1.5mm;overflow:hidden;display:flex;gap:1mm;border:.2mm dashed #777}\
.label svg{width:25mm;height:25mm;flex:none;align-self:center}\
.label div{min-width:0;align-self:center}\
.label p{margin:0;font-size:8pt;line-height:1.2;max-height:2.4em;overflow:hidden}\
.label .code{font-size:14pt;max-height:none;overflow:visible;padding:.6mm 0}\
.label .long{font-size:10pt}.label .longest{font-size:8pt}\
.label b{border:.4mm solid #000;padding:0 .6mm;margin-left:.6mm}";

/// Labels with code, check character, species, treatment and day, three across. The QR code, where wanted, holds
/// the code with its check character and nothing else.
///
/// Texts that are too long for a label are cut off on it; the code never is.
pub fn labels(sheet: &LabelSheet, size: PaperSize) -> String {
    let down = match size {
        PaperSize::A4 => 8,
        PaperSize::Letter => 7,
    };
    let pages: Vec<&[Label]> = sheet.labels.chunks(ACROSS * down).collect();
    let page = |(at, labels): (usize, &&[Label])| {
        let head = format!("{} · sheet {} of {}", escape(&sheet.title), at + 1, pages.len());
        let rows: String = labels.chunks(ACROSS).map(row).collect();
        format!("<section class=\"sheet\">\n<p class=\"head\">{head}</p>\n{rows}</section>\n")
    };
    let body: String = if pages.is_empty() {
        format!("<h1>{}</h1>\n<p>No labels.</p>\n", escape(&sheet.title))
    } else {
        pages.iter().enumerate().map(page).collect()
    };
    document(&sheet.title, size, Turn::Upright, STYLE, &body)
}

fn row(labels: &[Label]) -> String {
    format!("<div class=\"row\">\n{}</div>\n", labels.iter().map(label).collect::<String>())
}

fn label(label: &Label) -> String {
    let Label { code, check, hand_copy, species, arm, started, qr } = label;
    let picture = if *qr { qr_code(&format!("{code}-{check}")).unwrap_or_default() } else { String::new() };
    let length = match code.chars().count() {
        0..=7 => "",
        8..=12 => " long",
        _ => " longest",
    };
    let line = |text: &str| if text.is_empty() { String::new() } else { format!("<p>{}</p>", escape(text)) };
    let by_hand = hand_copy.as_ref().filter(|copy| **copy != format!("{code}-{check}"));
    format!(
        "<div class=\"label\">{picture}<div><p class=\"code{length}\">{}<b>{}</b></p>{}<p><i>{}</i></p>{}{}</div></div>\n",
        escape(code),
        escape(&check.to_string()),
        by_hand.map_or_else(String::new, |copy| line(&format!("by hand: {copy}"))),
        escape(species),
        arm.as_deref().map_or_else(String::new, line),
        line(started),
    )
}

/// The QR code of a text, with its quiet zone; `None` where the text is too long for one.
fn qr_code(text: &str) -> Option<String> {
    // Level Q: a quarter of a label may be dirty.
    let code = QRBuilder::new(text).ecl(ECL::Q).build().ok()?;
    let svg = SvgBuilder::default().margin(4).to_str(&code);
    let name = format!("<svg role=\"img\" aria-label=\"QR code of {}\" ", escape(text));
    Some(svg.replacen("<svg ", &name, 1))
}
