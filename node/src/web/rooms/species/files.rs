//! What is shown, as files: the counts as the table that the program reads, the answer as data.

use axum::http::header;
use axum::response::{IntoResponse, Response};

use super::only;
use crate::web::fields::Fields;
use crate::web::problem::{Turned, of_another_kind};
use crate::web::visit::Visit;
use propagule_app::{Reply, Request, reading};
use propagule_files::table::as_csv;

pub(super) async fn csv(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let (asked, taxon) = only(&visit, &fields).await?;
    let Reply::Export { files, .. } = visit.ask(Request::PoolEvidence(asked.pool(false))).await? else {
        return Err(of_another_kind().into());
    };
    let rows = files.into_iter().next().map(|(_, rows)| rows).unwrap_or_default();
    Ok(file(&format!("{}.csv", name(&taxon.species_key())), "text/csv; charset=utf-8", as_csv(&rows)?))
}

pub(super) async fn json(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let (asked, taxon) = only(&visit, &fields).await?;
    let request = asked.pool(false);
    let view = visit.view(move |app| reading::species(app, &request)).await?;
    let text = serde_json::to_string_pretty(&*view.answer).expect("an answer is plain data");
    Ok(file(&format!("{}.json", name(&taxon.species_key())), "application/json", text))
}

/// A name that every file system takes.
fn name(key: &str) -> String {
    key.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect()
}

pub(in crate::web::rooms) fn file(name: &str, kind: &'static str, text: String) -> Response {
    let headers = [
        (header::CONTENT_TYPE, kind.to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
    ];
    (headers, text).into_response()
}
