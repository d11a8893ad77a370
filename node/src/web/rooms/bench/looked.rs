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
use propagule_present::words::today as words;

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
                button { (words::all_looked(view.lots.len())) }
            }
        }
    }
}

/// The button of Today: only those whose look is due, and back to Today.
pub(in crate::web::rooms) fn due_button(visit: &Visit, spot: &str, due: &[&str]) -> Markup {
    html! {
        form method="post" action=(link::spot(spot, "/looked")) {
            (token(visit))
            input type="hidden" name="only" value=(due.join(" "));
            input type="hidden" name="back" value="today";
            button { (words::all_looked(due.len())) }
        }
    }
}

/// The trials that a form names; codes have no spaces.
fn codes(text: &str) -> Vec<String> {
    text.split_whitespace().map(str::to_owned).collect()
}

/// Where the button stood: on Today, or on the page of the bench.
fn back(name: &str, fields: &Fields, said: &str) -> String {
    if fields.get("back") == "today" {
        format!("/today{said}&spot={}", link::part(name))
    } else {
        link::spot(name, said)
    }
}

/// What the button saved, and how that is undone.
pub(super) fn said(visit: &Visit, view: &SpotView, fields: &Fields) -> Markup {
    saved(visit, &view.spot.name, "", fields)
}

/// The same on Today, of the bench whose button it was.
pub(in crate::web::rooms) fn said_today(visit: &Visit, fields: &Fields) -> Markup {
    fields.given("spot").map(|spot| saved(visit, spot, "today", fields)).unwrap_or_default()
}

fn saved(visit: &Visit, spot: &str, back: &str, fields: &Fields) -> Markup {
    html! {
        @if let Some((first, last)) = numbers(fields.get("looked")) {
            div class="notice toast" role="status" {
                p { strong { (words::all_looked_saved(spot, last - first + 1)) } }
                form method="post" action=(link::spot(spot, "/unlooked")) {
                    (token(visit)) input type="hidden" name="back" value=(back);
                    button class="quiet" name="looks" value=(fields.get("looked")) { "Undo" }
                }
            }
        }
        @if fields.get("looked") == "already" { div class="notice" role="status" { p { (words::ALL_LOOKED_BEFORE) } } }
        @if fields.is_on("unlooked") { div class="notice" role="status" { p { strong { (words::UNDONE) } } } }
    }
}

/// `12-14`.
fn numbers(text: &str) -> Option<(u64, u64)> {
    let (first, last) = text.split_once('-')?;
    let (first, last): (u64, u64) = (first.parse().ok()?, last.parse().ok()?);
    (first <= last).then_some((first, last))
}

async fn looked(visit: Visit, Path(name): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let common = Common::on(When::day(visit.today()));
    let request =
        BenchRequest::LookedAll { spot: Some(name.clone()), only: codes(fields.get("only")), common };
    let looked = visit.done(Request::Bench(Box::new(request))).await?;
    let Outcome::LookedAll(EverythingLooked::Looked(LookedAll { entries, .. })) = looked else {
        return Err(of_another_kind().into());
    };
    let said = match (entries.first(), entries.last()) {
        (Some(first), Some(last)) => format!("{first}-{last}"),
        _ => "already".to_owned(),
    };
    Ok(go(&back(&name, &fields, &format!("?looked={said}"))))
}

async fn take_back(visit: Visit, Path(name): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let entries = numbers(fields.get("looks")).unwrap_or((0, 0));
    visit.bench(BenchRequest::TakeBackLooks { entries }).await?;
    Ok(go(&back(&name, &fields, "?unlooked=yes")))
}
