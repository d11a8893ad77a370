//! The sheet to write counts on.

use super::page::{Turn, document, each_in, escape};
use super::{ScoreRow, ScoreSheet};

/// With more boxes than this the page lies sideways.
const BOXES_UPRIGHT: usize = 6;

const STYLE: &str = "\
.date{border-bottom:.25mm solid #000;padding-bottom:2mm;margin-bottom:3mm;white-space:pre-wrap}\
td{height:9mm;vertical-align:middle}\
.number{text-align:right;width:1%;white-space:nowrap}\
td.code{width:1%;white-space:nowrap}\
.box{border-width:.5mm;min-width:13mm}\
th{vertical-align:bottom;font-size:8.5pt}\
ul{margin:4mm 0 0;padding-left:5mm;font-size:8.5pt;break-inside:avoid}";

/// Rows in bench order with an empty box for each count. On a blind sheet no treatment is printed.
pub fn score_sheet(sheet: &ScoreSheet) -> String {
    let ScoreSheet { title, columns, rows, blind, date_line, cautions, size } = sheet;
    let shows_arms = !blind && rows.iter().any(|row| row.arm.is_some());
    let shows_last = rows.iter().any(|row| row.last.is_some());
    let turn = if columns.len() > BOXES_UPRIGHT { Turn::Sideways } else { Turn::Upright };
    let note = if *blind { "<p>Scored blind: the treatments are not printed.</p>\n" } else { "" };
    let arm_head = if shows_arms { "<th>Treatment</th>" } else { "" };
    let last_head = if shows_last { "<th>At the last check</th>" } else { "" };
    let table = if rows.is_empty() {
        "<p>Nothing to score.</p>\n".to_owned()
    } else {
        let boxes = "<td class=\"box\"></td>".repeat(columns.len());
        let lines: String = rows.iter().map(|row| line(row, shows_arms, shows_last, &boxes)).collect();
        format!(
            "<table tabindex=\"0\">\n<thead><tr><th class=\"number\">No.</th><th>Code</th>{arm_head}<th class=\"number\">Started</th>\
             {last_head}{}</tr></thead>\n<tbody>\n{lines}</tbody>\n</table>\n",
            each_in("th", columns)
        )
    };
    let cautions =
        if cautions.is_empty() { String::new() } else { format!("<ul>{}</ul>\n", each_in("li", cautions)) };
    let body = format!(
        "<h1>{}</h1>\n<p class=\"date\">{}</p>\n{note}{table}{cautions}",
        escape(title),
        escape(date_line)
    );
    document(title, *size, turn, STYLE, &body)
}

fn line(row: &ScoreRow, shows_arms: bool, shows_last: bool, boxes: &str) -> String {
    let cell = |is_shown: bool, text: Option<&str>| {
        if is_shown { format!("<td>{}</td>", escape(text.unwrap_or_default())) } else { String::new() }
    };
    format!(
        "<tr><td class=\"number\">{}</td><td class=\"code\">{}</td>{}<td class=\"number\">{}</td>{}{boxes}</tr>\n",
        row.bench_order,
        escape(&row.code),
        cell(shows_arms, row.arm.as_deref()),
        row.started,
        cell(shows_last, row.last.as_deref()),
    )
}
