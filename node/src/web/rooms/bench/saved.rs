//! After something was saved: on to a page that says so and offers to undo it, or a short answer to `app.js`.

use axum::Router;
use axum::extract::Path;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::post;
use schemars::JsonSchema;
use serde::Serialize;

use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::visit::{Visit, go};
use propagule_app::BenchRequest;
use propagule_app::outcome::entry::{EntryOutcome, PlaceStands};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/bench/trial/{code}/undo", post(undo))
}

/// What saving an entry said.
#[derive(Clone, Debug)]
pub(super) struct Answer {
    /// Number of the entry; 0 where there is none.
    pub(super) entry: u64,
    /// False when it had been sent before.
    pub(super) is_new: bool,
    /// How places stand now, in the order of the trial, where the entry is about all of them.
    stands: Option<Vec<PlaceStands>>,
}

/// What the script of the page is told of an entry that was saved.
#[derive(Serialize, JsonSchema)]
#[serde(tag = "format", rename = "propagule.page_saved/1")]
pub(crate) struct Saved<'a> {
    /// Number of the entry; 0 where there is none.
    entry: u64,
    /// False when it had been sent before.
    #[serde(rename = "new")]
    is_new: bool,
    /// How places stand now, where the entry is about all of them.
    stands: Option<&'a [PlaceStands]>,
    /// The address to which its number is sent to undo it.
    undo: String,
}

impl Answer {
    pub(super) fn of(outcome: &EntryOutcome) -> Self {
        Self {
            entry: outcome.entry.unwrap_or(0),
            is_new: outcome.saved,
            stands: outcome.stands().map(<[PlaceStands]>::to_vec),
        }
    }
}

/// Goes on to `back`, which is told the number of the entry; an entry that was sent before is said to be so.
pub(super) fn answer(visit: &Visit, code: &str, said: &Answer, back: impl FnOnce(u64) -> String) -> Response {
    if visit.is_script {
        let saved = Saved {
            entry: said.entry,
            is_new: said.is_new,
            stands: said.stands.as_deref(),
            undo: link::trial(code, "/undo"),
        };
        let body = serde_json::to_string(&saved).expect("plain data");
        return ([(header::CONTENT_TYPE, "application/json")], shell::clean(&body)).into_response();
    }
    if !said.is_new {
        return go(&link::trial(code, &format!("?again={}", said.entry)));
    }
    go(&back(said.entry))
}

async fn undo(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let entry = fields.get("entry").parse().unwrap_or(0);
    let request = BenchRequest::CorrectEntry {
        trial: code.clone(),
        entry,
        counts: Vec::new(),
        on: None,
        take_back: true,
    };
    let outcome = visit.enter(request).await?;
    if visit.is_script {
        return Ok(answer(&visit, &code, &Answer::of(&outcome), |_| String::new()));
    }
    Ok(go(&link::trial(&code, &format!("?undone={entry}"))))
}
