//! Bringing in a table: pasted or chosen, its headings mapped, tried first, then taken in.

use std::collections::BTreeMap;

use axum::Router;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use crate::app::viewed;
use crate::app::{Report, Request};
use crate::bench::import::{NEEDED_COLUMNS, known_columns};
use crate::web::Web;
use crate::web::fields::{Fields, TABLE};
use crate::web::form::{self, Bad, Form, token};
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell::{self, Room};
use crate::web::visit::Visit;

/// Headings that can be mapped at once.
const HEADINGS: usize = 60;
/// Trials shown of a long table.
const SHOWN: usize = 100;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/bench/import", get(show).post(read))
}

async fn show(visit: Visit) -> Result<Response, Turned> {
    page(&visit, &Fields::default(), None, None).await
}

async fn page(
    visit: &Visit,
    fields: &Fields,
    bad: Option<&Bad>,
    report: Option<&Report>,
) -> Result<Response, Turned> {
    let names = visit.view(|app| Ok(viewed::names(app))).await?;
    let form = Form::new(fields, bad);
    let orders = [("", "not said"), ("day", "the day comes first"), ("month", "the month comes first")];
    let is_saved = report.is_some_and(|report| report.json["dry_run"] == false);
    let body = html! {
        h1 { "Bring in a table" }
        @if let Some(report) = report { (found(report)) }
        (form.problem())
        @if is_saved { p { a class="button lead" href="/bench" { "To the bench" } } }
        @else {
            form method="post" {
                (token(visit))
                p { "One row a treatment, with the headings in the first row; copy it from your sheet and paste it, or choose a file. Leave out what you do not know: a blank is not a zero." }
                p class="help" { "Needed: code (trial), plant (species), pieces put in (started) and the day (started_on). Your own headings are mapped below." }
                div data-file {}
                (form.lines(TABLE, "The table", "Columns parted by commas, semicolons or tabs", ""))
                (mapping(&form, fields, &names.columns))
                (form.choice("dates", "In days written in numbers", "5/6 is 5 June or 6 May", "", &orders))
                (form.number("year", "The year of days without one", "", ""))
                (form.tick("leave_out", "Take in the rows that are right, and leave the others out", false))
                button class="lead" name="what" value="try" { "Try it: save nothing" }
                @if report.is_some() { button name="what" value="save" { "Take it in" } }
            }
        }
    };
    let mut response = shell::page(visit, Room::Bench, "Bring in a table", &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

/// Headings of the table, split as the reader of tables would.
fn headings(table: &str) -> Vec<String> {
    let first =
        table.trim_start_matches('\u{feff}').lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let parted = [',', ';', '\t'].into_iter().max_by_key(|mark| first.matches(*mark).count()).unwrap_or(',');
    first
        .split(parted)
        .map(|heading| heading.trim().trim_matches('"').to_owned())
        .filter(|heading| !heading.is_empty())
        .take(HEADINGS)
        .collect()
}

/// A choice for each heading that is not a column already.
fn mapping(form: &Form<'_>, fields: &Fields, remembered: &[(String, String)]) -> Markup {
    let known = known_columns();
    let strange: Vec<String> =
        headings(fields.raw(TABLE)).into_iter().filter(|heading| !known.contains(heading)).collect();
    let options: Vec<(&str, String)> = std::iter::once(("", "not used, or guessed".to_owned()))
        .chain(known.iter().map(|column| (column.as_str(), column.replace('_', " "))))
        .collect();
    html! {
        @if !strange.is_empty() {
            fieldset { legend { "Your own headings" }
                p class="help" { "Needed are " (NEEDED_COLUMNS.map(|column| column.replace('_', " ")).join(", ")) ". What you choose is remembered." }
                @for heading in &strange {
                    @let before = remembered.iter().find(|(from, _)| from == heading).map_or("", |(_, to)| to.as_str());
                    (form.choice(&format!("map/{heading}"), heading, "", before, &options))
                }
            }
        }
    }
}

fn found(report: &Report) -> Markup {
    let json = &report.json;
    let list = |key: &str| json[key].as_array().cloned().unwrap_or_default();
    let (trials, refused) = (list("trials"), list("refused"));
    let text = |value: &serde_json::Value| value.as_str().unwrap_or_default().to_owned();
    html! {
        div class="notice" role="status" {
            @if json["dry_run"] == true { p { strong { (trials.len()) " ready, " (refused.len()) " refused." } " Nothing was saved yet." } }
            @else { p { strong { (trials.len()) " taken in." } } }
            @if let Some(totals) = json["totals"].as_str() { p { (totals) } }
        }
        @if !refused.is_empty() {
            h2 { "Refused" }
            ul { @for row in &refused {
                li { strong { (row["trial"].as_str().unwrap_or("no code")) } ": " (text(&row["why"]))
                    @if let Some(number) = row["row"].as_u64() { span class="soft" { " (row " (number) @if let Some(column) = row["column"].as_str() { ", " (column) } ")" } } }
            } }
        }
        details { summary { "The " (trials.len()) " that are ready" }
            p { @for trial in trials.iter().take(SHOWN) { @let code = text(&trial["trial"]);
                @if json["dry_run"] == true { (code) " (" (text(&trial["change"])) ") " } @else { a href=(link::trial(&code, "")) { (code) } " " } }
                @if trials.len() > SHOWN { "and " (trials.len() - SHOWN) " more" } }
        }
        @let unused = list("unused_columns");
        @if !unused.is_empty() { p { "Columns not used: " (unused.iter().map(text).collect::<Vec<_>>().join(", ")) "." } }
    }
}

async fn read(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let table = fields.raw(TABLE).to_owned();
    let columns: BTreeMap<String, String> = headings(&table)
        .into_iter()
        .filter_map(|heading| fields.owned(&format!("map/{heading}")).map(|column| (heading, column)))
        .collect();
    let request = Request::TrialImport {
        file: "the table".to_owned(),
        table,
        dry_run: fields.get("what") != "save",
        columns,
        reading: form::reading(&fields),
        leave_out: fields.is_on("leave_out"),
    };
    match visit.report(request).await {
        Ok(report) => page(&visit, &fields, None, Some(&report)).await,
        Err(failure) => page(&visit, &fields, Some(&Bad::field(TABLE, failure)), None).await,
    }
}
