//! Reports.

use super::page::{Turn, document, each_in, escape};
use super::{ReportPage, Section};

const STYLE: &str = "\
body{max-width:186mm}\
.subtitle{font-size:11pt;margin-bottom:4mm}\
table{margin:1mm 0 3mm;font-size:9pt}\
pre{font:8pt/1.25 'Liberation Mono','DejaVu Sans Mono',monospace;white-space:pre-wrap;overflow-wrap:anywhere;\
border-left:.6mm solid #000;padding-left:3mm;margin:1mm 0 3mm}\
p{orphans:3;widows:3}\
footer{margin-top:6mm;padding-top:1.5mm;border-top:.25mm solid #000;font-size:8.5pt;break-inside:avoid}";

/// Title, sections with paragraphs, table and preformatted text, and a last line.
pub fn report(page: &ReportPage) -> String {
    let subtitle = if page.subtitle.is_empty() {
        String::new()
    } else {
        format!("<p class=\"subtitle\">{}</p>\n", escape(&page.subtitle))
    };
    let sections: String = page.sections.iter().map(section).collect();
    let body = format!(
        "<h1>{}</h1>\n{subtitle}{sections}<footer>{}</footer>\n",
        escape(&page.title),
        escape(&page.footer)
    );
    document(&page.title, page.size, Turn::Upright, STYLE, &body)
}

fn section(section: &Section) -> String {
    let heading = if section.heading.is_empty() {
        String::new()
    } else {
        format!("<h2>{}</h2>\n", escape(&section.heading))
    };
    let table = section.table.as_ref().map_or_else(String::new, |(heads, rows)| table(heads, rows));
    let picture = section.preformatted.as_ref();
    let picture = picture.map_or_else(String::new, |text| format!("<pre>{}</pre>\n", escape(text)));
    format!("<section>\n{heading}{}\n{table}{picture}</section>\n", each_in("p", &section.paragraphs))
}

/// Rows are filled up, or cut, to the number of headings.
fn table(heads: &[String], rows: &[Vec<String>]) -> String {
    let line = |row: &Vec<String>| {
        let mut cells = row.clone();
        cells.resize(heads.len(), String::new());
        format!("<tr>{}</tr>\n", each_in("td", &cells))
    };
    let lines: String = rows.iter().map(line).collect();
    format!(
        "<table tabindex=\"0\">\n<thead><tr>{}</tr></thead>\n<tbody>\n{lines}</tbody>\n</table>\n",
        each_in("th", heads)
    )
}
