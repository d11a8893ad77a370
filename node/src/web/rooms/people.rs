//! Whose results count, whether exchange with others works, and the computers it goes by.

#[cfg(test)]
mod tests;
mod trust;

use std::sync::Arc;

use axum::Router;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use jiff::Timestamp;
use maud::{Markup, PreEscaped, html};

use super::phone::qr;
use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form::{Bad, Form, token};
use crate::web::problem::{Turned, of_another_kind};
use crate::web::shell;
use crate::web::visit::{Visit, go};
use propagule_app::outcome::Outcome;
use propagule_app::outcome::peers::{Invite, OnTheWay};
use propagule_app::reading;
use propagule_app::reading::NetworkView;
use propagule_app::{Request, reached};
use propagule_network::intake::Counts;
use propagule_network::net::NetStatus;
use propagule_present::number::grouped;
use propagule_present::outcome::peers::{leaving, only_allowed, reach, stuck};
use propagule_present::words::rooms::{RoomPage, back_to};
use propagule_present::words::sharing::{computers as words, health};
use propagule_present::words::time::ago;

/// Most peers and most reasons that are listed.
const LISTED: usize = 50;
/// The room.
const ROOM: &str = "/share/people";
/// The invite of this node.
const INVITE: &str = "/share/people/invite";

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route(ROOM, get(people))
        .route("/share/people/peer", post(add))
        .route(INVITE, get(invite))
        .merge(trust::routes())
}

async fn people(visit: Visit) -> Result<Response, Turned> {
    page(&visit, &Fields::default(), None).await
}

/// The room, with a form that was refused where there is one.
async fn page(visit: &Visit, fields: &Fields, bad: Option<&Bad>) -> Result<Response, Turned> {
    let app = Arc::clone(&visit.web.app);
    let view = reading::network(&app).await?;
    let now = app.clock().now();
    let title = RoomPage::People.name();
    let body = html! {
        h1 { (title) }
        (Form::new(fields, bad).problem())
        div class="panes" {
            div {
                (trust::section(visit, &view, fields, bad))
                (connect(visit, fields, bad, &view))
                (trust::folds(visit, &view, fields, bad))
            }
            div {
                (standing(&view, now))
                div class="folds" { (arrivals(&view.standing.counts)) (computers(&view, now)) (storage(&view)) }
            }
        }
    };
    let mut response = shell::page(visit, RoomPage::People, title, &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

/// Whether all is well, and what is held.
fn standing(view: &NetworkView, now: Timestamp) -> Markup {
    let standing = &view.standing;
    let state = standing.health();
    html! {
        section class="card" {
            h2 { (health::title(&state)) }
            p { (health::sentence(&state, now)) }
            dl class="facts even" {
                dt { (health::HELD) } dd { (grouped(standing.records)) }
                dt { (health::NEW) } dd { (grouped(health::new(&standing.counts))) }
                dt { (health::LEAVING) } dd { (outbox(standing.on_the_way)) }
                @if standing.aside > 0 { dt { (health::LATER) } dd { (standing.aside) } }
            }
        }
    }
}

/// Own records that are not known to be with others yet, by how far they have come.
fn outbox(on_the_way: OnTheWay) -> Markup {
    let said = leaving(on_the_way);
    html! {
        @if said.is_empty() { (health::NONE_LEAVING) } @else { (said.join(", ")) }
        @if on_the_way.stuck > 0 { p class="soft" { (stuck(on_the_way.stuck)) } }
    }
}

/// What came in since the start, by the way it came, and what did not pass.
fn arrivals(counts: &Counts) -> Markup {
    let refused: u64 = counts.refused.values().sum();
    html! {
        details { summary { (health::HOW_THEY_CAME) }
            dl class="facts even" {
                @for (way, count) in health::ways(counts) { dt { (way) } dd { (grouped(count)) } }
                dt { (health::KNOWN_ALREADY) } dd { (grouped(counts.known)) }
                @if counts.delayed > 0 { dt { (health::OVER_QUOTA) } dd { (grouped(counts.delayed)) } }
                @if counts.dropped > 0 { dt { (health::DROPPED) } dd { (grouped(counts.dropped)) } }
                dt { (health::REFUSED) } dd { (grouped(refused)) }
            }
            @if refused > 0 {
                h3 { (health::WHY_REFUSED) }
                ul { @for (reason, count) in counts.refused.iter().take(LISTED) { li { (health::reason(*count, reason)) } } }
            }
        }
    }
}

/// Computers that are connected or known, and how this one is reached.
fn computers(view: &NetworkView, now: Timestamp) -> Markup {
    let (running, book) = (view.standing.running.as_ref(), &view.standing.book);
    html! {
        @if let Some(status) = running {
            details { summary { (words::connected(status.peers.len())) }
                @if status.peers.is_empty() { p { (words::NOBODY) } }
                ul { @for peer in status.peers.iter().take(LISTED) { li {
                    strong { "\u{2026}" (words::short(&peer.peer_id)) } " " (words::exchange(peer, |last| ago(last, now)))
                } } }
                @if status.blocked > 0 { p { (words::kept_out(status.blocked)) } }
            }
        }
        @if !book.is_empty() {
            details { summary { (words::book(book.len())) }
                ul { @for entry in book.iter().take(LISTED) { li { code { (entry.address) } ": " (words::met(entry, now)) } } }
            }
        }
        @if let Some(status) = running { (reachable(view, status)) }
    }
}

/// What is known of who can reach this node.
fn reachable(view: &NetworkView, status: &NetStatus) -> Markup {
    html! {
        details { summary { (words::REACHED) }
            @for line in reached::lines(status) { p { (reach(&line)) } }
            @if let Some(nodes) = &view.standing.allowed {
                p { (only_allowed(nodes.len())) }
                ul { @for node in nodes.iter().take(LISTED) { li { strong { "\u{2026}" (words::short(&node.peer_id)) } " " (node.name) } } }
            }
            @if !status.to_hand_out.is_empty() {
                p { (words::own(status.to_hand_out.len())) }
                ul { @for address in status.to_hand_out.iter().take(LISTED) { li { code { (address) } } } }
            }
        }
    }
}

fn storage(view: &NetworkView) -> Markup {
    let ([bench, index], (records, quota)) = (view.disk, view.standing.disk);
    html! {
        details { summary { (health::STORAGE) }
            dl class="facts even" {
                dt { (health::RECORDS) } dd { (health::of_at_most(records, quota)) }
                dt { (health::BENCH) } dd { (health::size(bench)) }
                dt { (health::INDEX) } dd { (health::size(index)) }
            }
        }
    }
}

/// Ways to another grower: open where none is known.
fn connect(visit: &Visit, fields: &Fields, bad: Option<&Bad>, view: &NetworkView) -> Markup {
    let form = Form { scope: "peer", ..Form::new(fields, bad) };
    html! {
        details class="card" open[view.standing.book.is_empty() || !fields.get("address").is_empty()] {
            summary { (words::CONNECT) }
            form method="post" action="/share/people/peer" {
                (token(visit))
                (form.text("address", words::INVITE_OR_ADDRESS, words::INVITE_HELP, ""))
                button class="lead" { (words::ADD) }
                @if view.standing.running.is_some() { a class="button quiet" href=(INVITE) { (words::MAKE_INVITE) } }
            }
        }
    }
}

async fn add(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    match visit.ask(Request::PeersAdd { address: fields.get("address").to_owned() }).await {
        Ok(_) => Ok(go(ROOM)),
        Err(failure) => page(&visit, &fields, Some(&Bad::field("address", failure))).await,
    }
}

async fn invite(visit: Visit) -> Result<Response, Turned> {
    let Outcome::Invite(Invite { invite: text, .. }) = visit.done(Request::PeersInvite).await? else {
        return Err(of_another_kind().into());
    };
    let body = html! {
        h1 { (words::INVITE) }
        p { (words::SEND_IT) }
        p { code { (text) } }
        @if let Some(picture) = qr(&text) { div class="qr" role="img" aria-label=(words::INVITE_PICTURE) { (PreEscaped(picture)) } }
        p { a class="button" href=(ROOM) { (back_to(RoomPage::People.name())) } }
    };
    Ok(shell::page(&visit, RoomPage::People, words::INVITE, &body))
}
