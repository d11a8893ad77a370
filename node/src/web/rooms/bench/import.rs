//! Bringing in a table: pasted or chosen, previewed with a menu for each column and a field for each question, saved.

use std::collections::BTreeMap;

use axum::Router;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use base64::Engine as _;
use maud::{Markup, html};

use crate::web::Web;
use crate::web::fields::{Fields, TABLE};
use crate::web::form;
use crate::web::form::{Bad, Form, token};
use crate::web::link;
use crate::web::problem::{Turned, of_another_kind};
use crate::web::shell;
use crate::web::visit::Visit;
use propagule_app::outcome::Outcome;
use propagule_app::outcome::import::{ImportLine, ImportQuestion, RefusedRow, TrialImport};
use propagule_app::tables::{Checks, Options, known_columns};
use propagule_app::{Request, Table};
use propagule_bench::Rest;
use propagule_files::fault::Fault;
use propagule_present::outcome::{self as present, said};
use propagule_present::words::new_trial::NOT_SAID;
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::tasks::{SAVE, importing as words};

/// Lines shown of a long table.
const SHOWN: usize = 200;

/// Where a table is sent.
pub(in crate::web::rooms) const IMPORT: &str = "/bench/import";

pub(super) fn routes() -> Router<Web> {
    Router::new().route(IMPORT, get(show).post(read))
}

async fn show(visit: Visit) -> Result<Response, Turned> {
    Ok(page(&visit, &Fields::default(), None, None))
}

fn page(visit: &Visit, fields: &Fields, bad: Option<&Bad>, read: Option<&TrialImport>) -> Response {
    let (form, title) = (Form::new(fields, bad), RoomPage::Import.name());
    let is_saved = read.is_some_and(|import| import.saved);
    let can_save = read.is_some_and(|import| import.can_save);
    let body = html! {
        h1 { (title) }
        @if let Some(import) = read { (found(import)) }
        (form.problem())
        @if is_saved { p { a class="button lead" href="/bench" { (words::TO_BENCH) } } }
        @else {
            form method="post" {
                (token(visit))
                p { (words::HOW) }
                div data-file {}
                (form.lines(TABLE, words::TABLE, words::TABLE_HELP, ""))
                @if let Some(import) = read { (answers(&form, import)) }
                (constants(&form, fields))
                details { summary { (words::READING) }
                    (form.choice("dates", words::DATES, "", "", &words::DATES_CHOICES))
                    (form.number("year", words::YEAR, "", ""))
                    (form.choice("checks", words::CHECKS, "", "", &words::CHECKS_CHOICES))
                    (form.choice("rest", words::REST, "", "", &words::REST_CHOICES))
                    (form.text("sheet", words::SHEET, "", ""))
                    (form.tick("one_piece", words::ONE_PLANT, false))
                    (form.tick("leave_out", words::LEAVE_OUT, false))
                }
                @if can_save {
                    button class="lead" name="what" value="save" { (SAVE) }
                    button name="what" value="try" { (words::TRY_AGAIN) }
                } @else {
                    button class="lead" name="what" value="try" { (words::TRY) }
                }
            }
        }
    };
    let mut response = shell::page(visit, RoomPage::Import, title, &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    response
}

/// A menu for each column, and a field for each open question.
fn answers(form: &Form<'_>, import: &TrialImport) -> Markup {
    let known = known_columns();
    let options: Vec<(&str, String)> = std::iter::once(("", words::AS_READ.to_owned()))
        .chain(known.iter().map(|column| (column.as_str(), column.replace('_', " "))))
        .collect();
    html! {
        fieldset { legend { (words::COLUMNS) }
            @for column in import.columns.iter().filter(|column| !column.heading.is_empty()) {
                @let heading = &column.heading;
                @let taken = column.taken_for.as_deref().unwrap_or(words::UNUSED).replace('_', " ");
                @let help = format!("{taken}, {}", present::import::told(column.told));
                (form.choice(&format!("map/{heading}"), heading, &help, "", &options))
            }
        }
        @let questions: Vec<&ImportQuestion> = import.open_questions().collect();
        @if !questions.is_empty() {
            fieldset { legend { (words::QUESTIONS) }
                @for question in questions { (answer(form, question)) }
            }
        }
    }
}

/// The field that answers a question; those that are on the form anyway are named only.
fn answer(form: &Form<'_>, question: &ImportQuestion) -> Markup {
    let (field, label, help) = (question.field.as_str(), said::line(&question.text), "");
    let label = label.as_str();
    let choices: Vec<&str> = question.choices.iter().map(String::as_str).collect();
    let options: Vec<(&str, &str)> =
        std::iter::once(("", NOT_SAID)).chain(choices.iter().map(|word| (*word, *word))).collect();
    html! {
        @if matches!(field, "dates" | "year" | "checks" | "rest" | "sheet") || field.starts_with("map/") { p { (label) } }
        @else if choices == ["yes"] { (form.tick(field, label, false)) }
        @else if choices.is_empty() { (form.text(field, label, help, "")) }
        @else { (form.choice(field, label, help, "", &options)) }
    }
}

/// What holds for all rows; a constant that a question asked for stays when the form is sent again.
fn constants(form: &Form<'_>, fields: &Fields) -> Markup {
    let said = fields
        .names()
        .filter(|name| ["set/", "fill/", "word/", "row/"].iter().any(|of| name.starts_with(of)));
    html! {
        (form.lines("set", words::ALL_ROWS, words::ALL_ROWS_HELP, ""))
        @for name in said { input type="hidden" name=(name) value=(fields.get(name)); }
    }
}

fn found(import: &TrialImport) -> Markup {
    let TrialImport { trials, refused, lines, .. } = import;
    let count = if import.saved { words::taken_in } else { words::ready };
    let said = count(trials.len(), refused.len());
    html! {
        div class="notice" role="status" {
            p { strong { (said[0]) } " " (said[1]) }
            @if let Some(totals) = &import.totals { p { (said::line(totals)) } }
        }
        @for question in import.questions.iter().filter(|question| !question.is_open) {
            p class="soft" { (said::line(&question.text)) }
        }
        @if !refused.is_empty() {
            h2 { (words::REFUSED) }
            ul { @for row in refused { li { (refusal(row)) } } }
        }
        details open[!import.saved] { summary { (words::LINES) }
            ul { @for line in lines.iter().take(SHOWN) { li { (of_line(line, import.saved)) } } }
            @if lines.len() > SHOWN { p { (words::more(lines.len() - SHOWN)) } }
        }
        @if !import.unused_columns.is_empty() { p { (words::unused(&import.unused_columns)) } }
    }
}

fn refusal(row: &RefusedRow) -> Markup {
    html! {
        strong { (row.trial.as_deref().unwrap_or(words::NO_CODE)) } ": " (said::line(&row.why))
        @if let Some(number) = row.row { " " span class="soft" { (words::at(number, row.column.as_deref())) } }
    }
}

fn of_line(line: &ImportLine, is_saved: bool) -> Markup {
    let row = line.row.as_ref();
    let arm = row.map_or("", |row| &row.arm);
    let pot = row.and_then(|row| row.pot.as_deref()).unwrap_or_default();
    html! {
        (words::line(line.line)) " " strong { (present::import::outcome(&line.outcome)) }
        @if let Some(trial) = &line.trial { " " @if is_saved { a href=(link::trial(trial, "")) { (trial) } } @else { (trial) } }
        " " (arm) " " (pot) " " (row.map(|row| said::line(&row.says)).unwrap_or_default()) " " (present::import::why(line))
    }
}

/// The bytes of the table: a workbook that was chosen comes as a data URL.
fn bytes(table: &str) -> Result<Vec<u8>, Fault> {
    match table.strip_prefix("data:").and_then(|rest| rest.split_once(";base64,")) {
        None => Ok(table.as_bytes().to_vec()),
        Some((_, coded)) => base64::engine::general_purpose::STANDARD
            .decode(coded.trim())
            .map_err(|e| Fault::user("page-upload-damaged").with("e", &e)),
    }
}

/// Fields that begin so, by what follows.
fn begun(fields: &Fields, begins: &str) -> BTreeMap<String, String> {
    let named = fields.names().filter_map(|name| Some((name, name.strip_prefix(begins)?)));
    named.filter_map(|(name, rest)| Some((rest.to_owned(), fields.owned(name)?))).collect()
}

fn options(fields: &Fields) -> Options {
    let mut set = begun(fields, "set/");
    for line in fields.raw("set").lines() {
        if let Some((column, value)) = line.split_once('=') {
            set.insert(column.trim().to_owned(), value.trim().to_owned());
        }
    }
    let rows = begun(fields, "row/").into_iter().filter_map(|(line, what)| Some((line.parse().ok()?, what)));
    Options {
        columns: begun(fields, "map/"),
        set,
        fill: begun(fields, "fill/").into_keys().collect(),
        words: begun(fields, "word/"),
        rows: rows.collect(),
        checks: Checks::ALL
            .into_iter()
            .find(|(_, word)| *word == fields.get("checks"))
            .map(|(checks, _)| checks),
        rest: match fields.get("rest") {
            "alive" => Some(Rest::Alive),
            "dead" => Some(Rest::Dead),
            _ => None,
        },
        reading: form::reading(fields),
        sheet: fields.owned("sheet"),
        one_piece: fields.is_on("one_piece"),
        leave_out: fields.is_on("leave_out"),
        update: fields.is_on("update"),
        ..Options::default()
    }
}

async fn read(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let save = fields.get("what") == "save";
    let bytes = match bytes(fields.raw(TABLE)) {
        Ok(bytes) => bytes,
        Err(failure) => return Ok(page(&visit, &fields, Some(&Bad::field(TABLE, failure)), None)),
    };
    let table = Table::new("the table", &bytes, options(&fields), save);
    Ok(match visit.done(Request::TrialImport(Box::new(table))).await {
        Ok(Outcome::TrialImport(import)) => page(&visit, &fields, None, Some(&import)),
        Ok(_) => return Err(of_another_kind().into()),
        Err(failure) => page(&visit, &fields, Some(&Bad::field(TABLE, failure)), None),
    })
}
