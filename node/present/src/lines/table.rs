//! Tables as lines: columns below each other where they fit, else each row as lines of its own.

use super::{Lines, broken, columns, line, pad_left, pad_right, words};
use crate::phrase::{Phrase, Style};
use crate::table::{Align, Column, Row, Table};

/// Columns between two cells.
const GAP: &str = "  ";
/// Columns by which a table is set in where nothing around it is.
const STEP: usize = 2;
/// The narrowest that a column of words is made.
const NARROWEST: usize = 10;

/// Writes a table.
pub(crate) fn table(lines: &mut Lines, table: &Table) {
    let step = if lines.indent == 0 { STEP } else { 0 };
    let most = table.most.as_ref();
    let shown = &table.rows[..table.rows.len().min(most.map_or(usize::MAX, |most| most.in_text))];
    if !table.is_bare_in_text {
        lines.wrap(&words(&table.caption));
    }
    lines.set_in(step, |lines| {
        let grid = Grid::of(table, shown);
        match grid.widths(lines.room()) {
            Some(fit) => grid.write(lines, &fit),
            None => grid.stack(lines),
        }
        if let Some(left) = most.and_then(|most| most.left_in_text(table.rows.len())) {
            lines.wrap_text(&left);
        }
    });
}

/// A column as text sees it.
#[derive(Clone, Debug)]
struct Lane {
    title: String,
    align: Align,
    wraps: bool,
    drops: bool,
    least: usize,
    cells: Vec<Cell>,
}

/// Words of a cell; between them it may be broken.
type Cell = Vec<String>;

impl Lane {
    fn natural(&self, is_headed: bool) -> usize {
        let title = if is_headed { columns(&self.title) } else { 0 };
        let cells = self.cells.iter().map(|cell| columns(&cell.join(" "))).max().unwrap_or(0);
        cells.max(title).max(self.least)
    }

    /// The narrowest that it can be made; cells that stand above their row need no room in it.
    fn narrowest(&self, natural: usize, is_headed: bool, cells_stand_above: bool) -> usize {
        let title = self.title.split(' ').filter(|_| is_headed).map(columns).max().unwrap_or(0);
        let cells = self.cells.iter().filter(|_| !cells_stand_above).flatten();
        let word = cells.map(|word| columns(word)).max().unwrap_or(0);
        let may_give_way = self.wraps || cells_stand_above;
        if may_give_way { word.max(title).max(self.least).max(NARROWEST).min(natural) } else { natural }
    }

    /// Numbers below each other, whatever goes on behind them.
    fn set_apart(&mut self) {
        if self.align == Align::Words {
            return;
        }
        let width = self.natural(false);
        for cell in &mut self.cells {
            let gap = width.saturating_sub(columns(&cell.join(" ")));
            if let Some(first) = cell.first_mut() {
                first.insert_str(0, &" ".repeat(gap));
            }
        }
        self.align = Align::Words;
    }

    fn padded(&self, text: &str, width: usize) -> String {
        match self.align {
            Align::Words => pad_right(text, width),
            Align::Numbers => pad_left(text, width),
        }
    }
}

/// Columns that are shown, with the widths that they have.
type Fit = Vec<(usize, usize)>;

struct Grid {
    lanes: Vec<Lane>,
    rows: usize,
    is_headed: bool,
    has_row_headings: bool,
}

impl Grid {
    /// Columns in which nothing stands are left out.
    fn of(table: &Table, rows: &[Row]) -> Self {
        let mut lanes: Vec<Lane> = Vec::new();
        for (index, column) in table.columns.iter().enumerate() {
            let cells = rows.iter().map(|row| cell(table, column, Table::cell(row, index)));
            match lanes.last_mut() {
                Some(last) if table.is_bare_in_text && column.joins => {
                    last.set_apart();
                    last.cells.iter_mut().zip(cells).for_each(|(cell, more)| join(cell, more));
                }
                _ => lanes.push(Lane {
                    title: line(&column.title),
                    align: column.align,
                    wraps: column.wraps,
                    drops: column.drops,
                    least: column.least,
                    cells: cells.map(|text| text.words).collect(),
                }),
            }
        }
        let has_row_headings = table.has_row_headings;
        lanes.retain(|lane| lane.cells.iter().any(|cell| !cell.is_empty()));
        Self { lanes, rows: rows.len(), is_headed: !table.is_bare_in_text, has_row_headings }
    }

    /// Widths with which all stands in `room` columns; none where words are too long for that.
    fn widths(&self, room: usize) -> Option<Fit> {
        let mut shown: Vec<usize> = (0..self.lanes.len()).collect();
        loop {
            let natural: Vec<usize> =
                shown.iter().map(|lane| self.lanes[*lane].natural(self.is_headed)).collect();
            if total(&natural) <= room {
                return Some(shown.into_iter().zip(natural).collect());
            }
            let Some(place) = shown.iter().rposition(|lane| self.lanes[*lane].drops) else {
                return self.squeezed(&shown, &natural, room);
            };
            shown.remove(place);
        }
    }

    /// Columns that may break give way; the heading of a row may stand above it.
    fn squeezed(&self, shown: &[usize], natural: &[usize], room: usize) -> Option<Fit> {
        let narrowest = |(lane, natural): (&usize, &usize)| {
            let stands_above = *lane == 0 && self.has_row_headings && shown.len() > 1;
            self.lanes[*lane].narrowest(*natural, self.is_headed, stands_above)
        };
        let mut widths: Vec<usize> = shown.iter().zip(natural).map(narrowest).collect();
        let mut left = room.checked_sub(total(&widths))?;
        // What says the result has room before the heading of its row.
        for place in (1..widths.len()).chain([0]) {
            let more = left.min(natural[place] - widths[place]);
            widths[place] += more;
            left -= more;
        }
        Some(shown.iter().copied().zip(widths).collect())
    }

    fn write(&self, lines: &mut Lines, fit: &Fit) {
        if self.is_headed && fit.iter().any(|(lane, _)| !self.lanes[*lane].title.is_empty()) {
            let titles = |lane: usize| self.lanes[lane].title.split(' ').map(str::to_owned).collect();
            self.line(lines, fit, titles);
        }
        for row in 0..self.rows {
            let cell = |lane: usize| -> Cell { self.lanes[lane].cells[row].clone() };
            match fit.first() {
                Some((0, width)) if self.stands_above(row, *width, fit.len()) => {
                    lines.wrap(&cell(0));
                    self.line(lines, fit, |lane| if lane == 0 { Vec::new() } else { cell(lane) });
                }
                _ => self.line(lines, fit, cell),
            }
        }
    }

    /// Whether the heading of a row is too long to stand beside it.
    fn stands_above(&self, row: usize, width: usize, shown: usize) -> bool {
        self.has_row_headings && shown > 1 && columns(&self.lanes[0].cells[row].join(" ")) > width
    }

    /// One row, in as many lines as its highest cell takes.
    fn line(&self, lines: &mut Lines, fit: &Fit, cell: impl Fn(usize) -> Cell) {
        let cells: Vec<Vec<String>> = fit.iter().map(|(lane, width)| broken(&cell(*lane), *width)).collect();
        for number in 0..cells.iter().map(Vec::len).max().unwrap_or(0) {
            let parts = fit.iter().zip(&cells).map(|((lane, width), cell)| {
                self.lanes[*lane].padded(cell.get(number).map_or("", String::as_str), *width)
            });
            lines.push(&parts.collect::<Vec<_>>().join(GAP));
        }
    }

    /// Each row as lines: what it is of, and below that cell by cell.
    fn stack(&self, lines: &mut Lines) {
        for row in 0..self.rows {
            for (place, lane) in self.lanes.iter().enumerate().filter(|(_, lane)| !lane.cells[row].is_empty())
            {
                let is_head = place == 0 && self.has_row_headings;
                let named = self.is_headed && !lane.title.is_empty() && !is_head;
                let mut said: Cell = Vec::new();
                if named {
                    said.extend(format!("{}:", lane.title).split(' ').map(str::to_owned));
                }
                said.extend(lane.cells[row].iter().map(|word| word.trim_start().to_owned()));
                lines.set_in(if is_head { 0 } else { STEP }, |lines| lines.wrap(&said));
            }
        }
    }
}

fn total(widths: &[usize]) -> usize {
    widths.iter().sum::<usize>() + GAP.len() * widths.len().saturating_sub(1)
}

/// A cell, and whether it goes on where the one before ended.
struct Text {
    words: Cell,
    goes_on: bool,
}

/// What a cell says in text.
fn cell(table: &Table, column: &Column, phrase: &Phrase) -> Text {
    if !table.is_bare_in_text {
        return Text { words: words(phrase), goes_on: false };
    }
    let mut said = phrase.clone();
    said.runs.retain(|run| run.style != Style::Soft);
    if said.is_empty() {
        return Text { words: Vec::new(), goes_on: false };
    }
    let around = Phrase::from(&column.before).and(said).then(column.after.as_str());
    Text { words: words(&around), goes_on: !column.before.starts_with(char::is_whitespace) }
}

/// Puts what goes on at the end of a cell.
fn join(cell: &mut Cell, more: Text) {
    let mut words = more.words.into_iter();
    if let Some(last) = cell.last_mut().filter(|_| more.goes_on) {
        last.extend(words.next());
    }
    cell.extend(words);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(table: &Table, width: usize) -> String {
        let mut lines = Lines::new(width);
        super::table(&mut lines, table);
        lines.into_text()
    }

    fn pots() -> Table {
        let columns = [
            Column::words("pot").whole(),
            Column::words("treatment"),
            Column::words("block"),
            Column::numbers("put in"),
            Column::numbers("alive"),
            Column::words("last look"),
        ];
        Table::new("", columns).row(["P1", "dip", "", "4", "3", "2026-07-18"]).row([
            "P10",
            "none, as always",
            "",
            "12",
            "?",
            "not yet",
        ])
    }

    #[test]
    fn columns_line_up_and_empty_ones_are_left_out() {
        assert_eq!(
            text(&pots(), 80),
            "  pot  treatment        put in  alive  last look\n  \
               P1   dip                   4      3  2026-07-18\n  \
               P10  none, as always      12      ?  not yet\n"
        );
    }

    #[test]
    fn words_give_way_before_numbers_do() {
        assert_eq!(
            text(&pots(), 44),
            "  pot  treatment   put in  alive  last look\n  \
               P1   dip              4      3  2026-07-18\n  \
               P10  none, as        12      ?  not yet\n       \
                    always\n"
        );
    }

    #[test]
    fn a_column_that_may_drop_goes_first() {
        let mut table = pots();
        table.columns[1].drops = true;
        assert_eq!(
            text(&table, 44),
            "  pot  put in  alive  last look\n  P1        4      3  2026-07-18\n  P10      12      ?  not yet\n"
        );
    }

    #[test]
    fn what_has_no_room_for_columns_is_said_row_by_row() {
        let long = "n".repeat(40);
        let table = pots().row(["P11", long.as_str(), "", "4", "4", "2026-07-18"]);
        let said = text(&table, 44);
        let end = format!(
            "  P11\n    treatment:\n    {long}\n    put in: 4\n    alive: 4\n    last look: 2026-07-18\n"
        );
        assert!(
            said.starts_with("  P1\n    treatment: dip\n    put in: 4\n") && said.ends_with(&end),
            "{said}"
        );
    }

    #[test]
    fn rows_alone_say_what_their_cells_are_and_a_long_heading_stands_above() {
        let columns = [
            Column::words("Method"),
            Column::numbers("Count").at_least(9),
            Column::numbers("Chance").joined(" (", " in 100)"),
            Column::words("Needed").joined(", needs ", ""),
        ];
        let long = "softwood stem cuttings under a humidity dome, wounded";
        let table = Table::new("never printed", columns)
            .row(["dip".into(), Phrase::from("3/20").soft(" soft"), "12".into(), "4 pots".into()])
            .row([long, "12/30", "", "over 30"])
            .bare_in_text()
            .at_most(2, 9, "");
        assert_eq!(
            text(&table, 60),
            format!(
                "  dip{}3/20 (12 in 100), needs 4 pots\n  {long}\n{}12/30, needs over 30\n",
                " ".repeat(25),
                " ".repeat(29)
            )
        );
        let table = table.row(["more", "1/1"]);
        assert!(text(&table, 60).ends_with("\n  and 1 more\n"));
    }
}
