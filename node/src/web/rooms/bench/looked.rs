//! Everything on a spot was looked at and nothing changed: one tap, and one to take it back.

use axum::Router;
use axum::extract::Path;
use axum::response::Response;
use axum::routing::post;
use maud::{Markup, html};

use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form::token;
use crate::web::link;
use crate::web::problem::{Turned, of_another_kind};
use crate::web::visit::{Visit, go};
use propagule_app::outcome::Outcome;
use propagule_app::outcome::looked::{EverythingLooked, LookedAll};
use propagule_app::viewed::SpotView;
use propagule_app::{BenchRequest, Common, Request};
use propagule_bench::dates::When;

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/bench/spot/{name}/looked", post(looked))
        .route("/bench/spot/{name}/unlooked", post(take_back))
}

/// The button; nothing where nothing stands there.
pub(super) fn button(visit: &Visit, view: &SpotView) -> Markup {
    html! {
        @if !view.lots.is_empty() {
            form method="post" action=(link::spot(&view.spot.name, "/looked")) {
                (token(visit))
                button { "All checked, no change" }
            }
        }
    }
}

/// What the button saved, and how that is undone.
pub(super) fn said(visit: &Visit, view: &SpotView, fields: &Fields) -> Markup {
    html! {
        @if let Some((first, last)) = numbers(fields.get("looked")) {
            div class="notice" role="status" {
                p { strong { "Checked everything here, no change: " (last - first + 1) " saved." } " What differs is entered trial by trial." }
                form method="post" action=(link::spot(&view.spot.name, "/unlooked")) {
                    (token(visit))
                    button class="quiet" name="looks" value=(fields.get("looked")) { "Undo" }
                }
            }
        }
        @if fields.get("looked") == "already" { div class="notice" role="status" { p { "This was saved today already; nothing was changed." } } }
        @if fields.is_on("unlooked") { div class="notice" role="status" { p { strong { "Undone." } " The history keeps it." } } }
    }
}

/// `12-14`.
fn numbers(text: &str) -> Option<(u64, u64)> {
    let (first, last) = text.split_once('-')?;
    let (first, last): (u64, u64) = (first.parse().ok()?, last.parse().ok()?);
    (first <= last).then_some((first, last))
}

async fn looked(visit: Visit, Path(name): Path<String>) -> Result<Response, Turned> {
    let common = Common::on(When::day(visit.today()));
    let request = BenchRequest::LookedAll { spot: Some(name.clone()), common };
    let looked = visit.done(Request::Bench(Box::new(request))).await?;
    let Outcome::LookedAll(EverythingLooked::Looked(LookedAll { entries, .. })) = looked else {
        return Err(of_another_kind().into());
    };
    let said = match (entries.first(), entries.last()) {
        (Some(first), Some(last)) => format!("{first}-{last}"),
        _ => "already".to_owned(),
    };
    Ok(go(&link::spot(&name, &format!("?looked={said}"))))
}

async fn take_back(visit: Visit, Path(name): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let entries = numbers(fields.get("looks")).unwrap_or((0, 0));
    visit.bench(BenchRequest::TakeBackLooks { entries }).await?;
    Ok(go(&link::spot(&name, "?unlooked=yes")))
}
