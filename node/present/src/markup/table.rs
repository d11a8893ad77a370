//! Tables with their caption, and with headings that say what they head.

use maud::{Markup, html};

use super::{left, phrase};
use crate::table::{Align, Column, Layout, Row, Table};

/// The table, and how many of its rows are not shown.
pub(crate) fn table(table: &Table) -> Markup {
    let most = table.most.as_ref();
    let shown = &table.rows[..table.rows.len().min(most.map_or(usize::MAX, |most| most.on_page))];
    let class = match table.layout {
        Layout::Flowing => None,
        Layout::Halves => Some("halves"),
        Layout::Thirds => Some("thirds"),
    };
    let is_headed = table.columns.iter().any(|column| !column.title.is_empty());
    html! {
        table class=[class] {
            @if !table.caption.is_empty() { caption { (phrase(&table.caption)) } }
            @if is_headed { thead { tr { @for column in &table.columns { (heading(column)) } } } }
            tbody { @for row in shown { tr { (cells(table, row)) } } }
        }
        (left(most.and_then(|most| most.left_on_page(table.rows.len()))))
    }
}

/// Numbers stand below each other.
fn class(column: &Column) -> Option<&'static str> {
    (column.align == Align::Numbers).then_some("n")
}

fn heading(column: &Column) -> Markup {
    html! { th scope="col" class=[class(column)] { (phrase(&column.title)) } }
}

fn cells(table: &Table, row: &Row) -> Markup {
    html! { @for (index, column) in table.columns.iter().enumerate() {
        @let words = phrase(Table::cell(row, index));
        @if index == 0 && table.has_row_headings { th scope="row" class=[class(column)] { (words) } }
        @else { td class=[class(column)] { (words) } }
    } }
}
