//! What is shown, as files: the counts as the table that the program reads, the answer as data.

use axum::http::header;
use axum::response::{IntoResponse, Response};

use super::only;
use crate::web::fields::Fields;
use crate::web::problem::{Turned, of_another_kind};
use crate::web::visit::Visit;
use propagule_answer::pool::PoolAnswer;
use propagule_app::outcome::Outcome;
use propagule_app::outcome::answers::PoolOutcome;
use propagule_app::{Reply, Request, reading};
use propagule_files::table::as_csv;
use propagule_present::outcome as present;

pub(super) async fn csv(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let (asked, taxon) = only(&visit, &fields).await?;
    let Reply::Table(rows) = visit.ask(Request::PoolEvidence(asked.question)).await? else {
        return Err(of_another_kind().into());
    };
    Ok(file(&format!("{}.csv", name(&taxon.species_key())), "text/csv; charset=utf-8", as_csv(&rows)?))
}

pub(super) async fn json(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let (asked, taxon) = only(&visit, &fields).await?;
    let view = visit.view(move |app| reading::species(app, &asked.question)).await?;
    let pooled = PoolOutcome { answer: PoolAnswer::clone(&view.answer), synonyms: view.also };
    let name = format!("{}.json", name(&taxon.species_key()));
    Ok(data(&name, &Outcome::Pool(Box::new(pooled))))
}

/// A name that every file system takes.
fn name(key: &str) -> String {
    key.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect()
}

/// An answer as data.
pub(in crate::web::rooms) fn data(name: &str, outcome: &Outcome) -> Response {
    file(name, "application/json", format!("{:#}", present::json(outcome)))
}

fn file(name: &str, kind: &'static str, text: String) -> Response {
    let headers = [
        (header::CONTENT_TYPE, kind.to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
    ];
    (headers, text).into_response()
}
