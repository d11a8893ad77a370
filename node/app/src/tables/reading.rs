//! A file read step by step: headings, columns, totals, rows, trials.

use std::collections::{BTreeMap, BTreeSet};

use super::ask::{Asked, Stated};
use super::columns;
use super::grid::Grid;
use super::heading::{self, Said, Taken};
use super::plan::{self, Known};
use super::row::{NoRow, Reader, Row};
use super::sheet::{self, Line, Sheet};
use super::slips::{check_twice, unreadable};
use super::totals::{self, Running};
use super::{Import, Options, OtherLine, Outcome, Refused, arms, wide};
use propagule_files::fault::{Fault, Problem};
use propagule_files::table::TableOf;

/// Rows named of those that do not mention all pieces.
const MOST_REST: usize = 4;

/// Reads a table against what is known.
///
/// `before` is what was said of headings for the last table that had the same; `known` tells of a trial; `new_series`
/// gives the random name of each new one.
///
/// # Errors
/// When the file is no table at all. What is wrong with its rows is part of the answer.
pub fn read<'k>(
    file: &str,
    bytes: &[u8],
    options: &Options,
    before: impl Fn(&[String]) -> BTreeMap<String, String>,
    known: impl Fn(&str) -> Known<'k>,
    mut new_series: impl FnMut() -> String,
) -> Result<Import, Fault> {
    let sheet = sheet::read(file, bytes, options.sheet.as_deref())?;
    let (columns, parts) = parts(&sheet, options, before, file)?;
    let mut import = Import { sheet: sheet.name.clone(), ..Import::default() };
    let mut asked = Asked::default();
    say_of_columns(&columns, &sheet, &mut asked);
    import.others = parts.others;
    import.title = parts.title;
    let mut refused: Vec<Refused> = Vec::new();
    let rows = sort_rows(&parts.rows, &columns, options, &mut import, &mut asked, &mut refused);
    let grid = Grid::new(options, &columns, &rows, &mut asked);
    wide::settle(&grid, &rows, options, &mut asked);
    let read = read_rows(&grid, &rows, &mut asked, &mut import, &mut refused);
    let mut by_trial: BTreeMap<&str, Vec<&Row>> = BTreeMap::new();
    let mut order = Vec::new();
    for row in &read {
        let rows = by_trial.entry(row.trial.as_str()).or_default();
        if rows.is_empty() {
            order.push(row.trial.as_str());
        }
        rows.push(row);
    }
    let bad: BTreeMap<String, u64> =
        refused.iter().filter_map(|refused| Some((refused.trial.clone()?, refused.problem.row?))).collect();
    for code in order {
        let rows = by_trial.remove(code).unwrap_or_default();
        if let Some(line) = bad.get(code) {
            refused.extend(rows.iter().map(|row| held_back(row, *line)));
            continue;
        }
        let known = known(code);
        let mut problems = Vec::new();
        let lines: Vec<u64> = rows.iter().map(|row| row.line).collect();
        let grouped = arms::group(code, rows, known.trial, &mut asked, &mut problems);
        let planned = if problems.is_empty() {
            plan::plan(&grouped, &known, options, new_series())
        } else {
            Err(problems)
        };
        match planned {
            Ok(planned) => import.trials.push(planned),
            Err(problems) => {
                let first = problems.iter().find_map(|problem| problem.row).unwrap_or(lines[0]);
                let named: BTreeSet<u64> = problems.iter().filter_map(|problem| problem.row).collect();
                let of = |problem| Refused { trial: Some(code.to_owned()), problem };
                refused.extend(problems.into_iter().map(of));
                let held = grouped.rows.iter().filter(|row| !named.contains(&row.line));
                refused.extend(held.map(|row| held_back(row, first)));
            }
        }
    }
    ask_of_changes(&import, options, &mut asked);
    say_of_rest(&import, options, &mut asked);
    if !import.asked.is_empty() && !asked.is_open() {
        let problem = Problem::of_row(import.asked[0], Fault::user("table-line-waits"));
        asked.ask(problem, "map", &[]);
    }
    refused.sort_by_key(|refused| refused.problem.row);
    import.columns = columns;
    import.questions = asked.all;
    import.refused = refused;
    Ok(import)
}

/// A trial is taken in whole: a row that is right waits for one of the same trial that is not.
fn held_back(row: &Row, line: u64) -> Refused {
    let fault = Fault::user("table-line-of-trial-refused").with("line", line);
    Refused { trial: Some(row.trial.clone()), problem: Problem::of_row(row.line, fault) }
}

/// Lines of a file by what they are.
#[derive(Default)]
struct Parts<'a> {
    title: Option<String>,
    others: Vec<(u64, OtherLine)>,
    rows: Vec<&'a Line>,
}

fn parts<'a>(
    sheet: &'a Sheet,
    options: &Options,
    before: impl Fn(&[String]) -> BTreeMap<String, String>,
    file: &str,
) -> Result<(Vec<Taken>, Parts<'a>), Fault> {
    let none = BTreeMap::new();
    let said = |before| Said {
        now: &options.columns,
        before,
        constants: &options.set,
        one_piece: options.one_piece,
    };
    let at = heading::line_of(&sheet.lines, said(&none));
    let headings = &sheet.lines[at];
    let below = &sheet.lines[at + 1..];
    let texts: Vec<String> = headings.cells.iter().map(|cell| cell.text.clone()).collect();
    let columns = heading::columns(headings, below, said(&before(&texts)));
    check_twice(&columns, file)?;
    let mut parts = Parts::default();
    let mut title = Vec::new();
    for line in &sheet.lines[..at] {
        let words: Vec<&str> =
            line.cells.iter().map(|cell| cell.text.as_str()).filter(|text| !text.is_empty()).collect();
        let words = words.join(" ");
        let what =
            if words.is_empty() { OtherLine::Blank } else { OtherLine::Title { words: words.clone() } };
        parts.others.push((line.number, what));
        title.extend((!words.is_empty()).then_some(words));
    }
    parts.title = (!title.is_empty()).then(|| title.join("\n"));
    parts.others.push((headings.number, OtherLine::Heading));
    for line in below {
        if line.is_blank() {
            parts.others.push((line.number, OtherLine::Blank));
        } else {
            parts.rows.push(line);
        }
    }
    if parts.rows.is_empty() {
        let nothing = Problem::of_file(Fault::user("table-without-rows"));
        return Err(TableOf::Trials.refused_for(file, nothing));
    }
    Ok((columns, parts))
}

fn say_of_columns(columns: &[Taken], sheet: &Sheet, asked: &mut Asked) {
    if columns.iter().any(|column| column.told == super::Told::LastTime) {
        asked.state(Stated::ColumnsAsLastTime, "", &[]);
    }
    for column in columns.iter().filter(|column| column.told == super::Told::Content) {
        let heading = column.heading.clone();
        let field = format!("map/{heading}");
        asked.state(Stated::ColumnByContent { heading, column: column.name.clone() }, field, &[]);
    }
    if columns.iter().any(|column| column.name == "rep") {
        asked.state(Stated::ReplicatesArePots, "", &[]);
    }
    if !sheet.others.is_empty() {
        asked.state(Stated::OtherSheets { names: sheet.others.clone() }, "sheet", &[]);
    }
}

/// Leaves out totals and lines that cannot be read.
fn sort_rows<'a>(
    rows: &[&'a Line],
    columns: &[Taken],
    options: &Options,
    import: &mut Import,
    asked: &mut Asked,
    refused: &mut Vec<Refused>,
) -> Vec<&'a Line> {
    let counted: Vec<totals::Counted> = columns
        .iter()
        .filter(|column| columns::is_count(&column.name))
        .map(|column| (column.index, column.is_per_cent))
        .collect();
    let mut kept: Vec<&Line> = Vec::new();
    let mut since = 0;
    let mut running = Running::new(&counted);
    for line in rows {
        let said = options.rows.get(&line.number).map(String::as_str);
        if let Some(found) = totals::named(line, &kept[since..], &counted).filter(|_| said != Some("plants"))
        {
            if let Some(wrong) = found.wrong.filter(|_| said.is_none() && !options.leave_out) {
                asked.ask(Problem::of_row(line.number, wrong), format!("row/{}", line.number), &["total"]);
            }
            import.others.push((line.number, OtherLine::Sum(found.sum)));
            (since, running) = (kept.len(), Running::new(&counted));
            continue;
        }
        match said {
            Some("total") => {
                import.others.push((line.number, OtherLine::SaidTotal));
                continue;
            }
            Some(_) => {}
            None => ask_suspect(&running, line, asked),
        }
        running.add(line);
        // Its numbers belong to a sum even where the line cannot be read.
        kept.push(line);
        if let Some(problem) = unreadable(line, columns) {
            refused.push(Refused { trial: code_in(line, columns), problem });
        }
    }
    let bad: BTreeSet<u64> = refused.iter().filter_map(|refused| refused.problem.row).collect();
    kept.retain(|line| !bad.contains(&line.number));
    kept
}

fn ask_suspect(running: &Running, line: &Line, asked: &mut Asked) {
    let Some(fault) = running.suspect(line) else { return };
    let field = format!("row/{}", line.number);
    asked.ask(Problem::of_row(line.number, fault), field, &["total", "plants"]);
}

fn code_in(line: &Line, columns: &[Taken]) -> Option<String> {
    let column = columns.iter().find(|column| column.name == "trial")?;
    line.cells.get(column.index).map(|cell| cell.text.clone()).filter(|code| !code.is_empty())
}

fn read_rows(
    grid: &Grid<'_>,
    rows: &[&Line],
    asked: &mut Asked,
    import: &mut Import,
    refused: &mut Vec<Refused>,
) -> Vec<Row> {
    let mut reader = Reader::new(grid, asked);
    let mut read = Vec::new();
    for line in rows {
        match reader.read(line) {
            Ok(mut row) => {
                if let Some(title) = &import.title {
                    row.note =
                        Some(row.note.map_or_else(|| title.clone(), |note| format!("{title}\n{note}")));
                }
                read.push(row);
            }
            Err(NoRow::Asked) => import.asked.push(line.number),
            Err(NoRow::Refused(problems)) => {
                let trial = grid.text(line, "trial");
                let first = problems.into_iter().map(|problem| Refused { trial: trial.clone(), problem });
                refused.extend(first);
            }
        }
    }
    read
}

/// What is known and would change is asked for once.
fn ask_of_changes(import: &Import, options: &Options, asked: &mut Asked) {
    let rows = import.trials.iter().flat_map(|planned| &planned.rows);
    let changed: Vec<u64> = rows.filter(|row| row.outcome == Outcome::Changed).map(|row| row.line).collect();
    if changed.is_empty() || options.update {
        return;
    }
    let fault = Fault::user("table-says-otherwise").with_data("lines", &changed);
    asked.ask(Problem::of_row(changed[0], fault), "update", &["yes"]);
}

/// States how pieces that a stage does not mention were taken.
fn say_of_rest(import: &Import, options: &Options, asked: &mut Asked) {
    if options.rest.is_some() {
        return;
    }
    let rows = import.trials.iter().flat_map(|planned| &planned.rows);
    let open: Vec<u16> = rows
        .flat_map(|row| &row.played)
        .filter_map(|dated| dated.not_mentioned.map(|(count, _)| count).filter(|count| *count > 0))
        .collect();
    if open.is_empty() {
        return;
    }
    let counts = open.iter().take(MOST_REST).copied().collect();
    let stated = Stated::RestNotKnown { counts, and_more: open.len() > MOST_REST };
    asked.state(stated, "rest", &["alive", "dead", "not-known"]);
}
