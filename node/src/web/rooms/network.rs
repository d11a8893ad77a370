//! How this node stands: peers, records, disk, and whose results count.

mod circle;
#[cfg(test)]
mod tests;

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
use propagule_network::spread::Entry;
use propagule_present::outcome::peers::{leaving, only_allowed, reach, stuck};
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::{counted, grouped};

/// Most peers and most reasons that are listed.
const LISTED: usize = 50;

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/share/people", get(network))
        .route("/share/people/peer", post(add))
        .route("/share/people/invite", get(invite))
        .merge(circle::routes())
}

async fn network(visit: Visit) -> Result<Response, Turned> {
    page(&visit, &Fields::default(), None).await
}

/// The room, with a form that was refused where there is one.
async fn page(visit: &Visit, fields: &Fields, bad: Option<&Bad>) -> Result<Response, Turned> {
    let app = Arc::clone(&visit.web.app);
    let view = reading::network(&app).await?;
    let now = app.clock().now();
    let body = html! {
        h1 { "Network" }
        (Form::new(fields, bad).problem())
        p class="say" { (standing(&view, now)) }
        (peers(visit, &view, fields, bad, now))
        (reachable(&view))
        (circle::section(visit, &view, fields, bad))
        (records(&view))
        (disk(&view))
    };
    let mut response = shell::page(visit, RoomPage::People, "Network", &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

/// The whole in a sentence or two.
fn standing(view: &NetworkView, now: Timestamp) -> String {
    let standing = &view.standing;
    let records = format!("{} held here.", counted_large(standing.records, "record is", "records are"));
    let Some(status) = &standing.running else {
        return format!("This node is not on the network now. {records}");
    };
    let last = status.peers.iter().filter_map(|peer| peer.last_exchange.as_deref()).max();
    let last = last.map_or("no exchange yet".to_owned(), |last| format!("last exchanged {}", ago(last, now)));
    format!("Connected to {}, {last}. {records}", counted(status.peers.len(), "peer", "peers"))
}

fn counted_large(count: u64, one: &str, many: &str) -> String {
    format!("{} {}", grouped(count), if count == 1 { one } else { many })
}

/// `3 minutes ago`; what is no time of ours is shown as it stands.
fn ago(text: &str, now: Timestamp) -> String {
    let Ok(then) = text.parse::<Timestamp>() else { return text.to_owned() };
    let minutes = usize::try_from((now.as_second() - then.as_second()) / 60).unwrap_or(0);
    match minutes {
        0 => "just now".to_owned(),
        1..60 => format!("{} ago", counted(minutes, "minute", "minutes")),
        60..2_880 => format!("{} ago", counted(minutes / 60, "hour", "hours")),
        _ => format!("{} ago", counted(minutes / 1_440, "day", "days")),
    }
}

/// The last letters of a peer's name: the first are the same for all.
fn short(peer: &str) -> String {
    let letters: Vec<char> = peer.chars().collect();
    letters[letters.len().saturating_sub(8)..].iter().collect()
}

fn peers(visit: &Visit, view: &NetworkView, fields: &Fields, bad: Option<&Bad>, now: Timestamp) -> Markup {
    let form = Form { scope: "peer", ..Form::new(fields, bad) };
    html! {
        h2 { "Peers" }
        @if let Some(status) = &view.standing.running {
            @if status.peers.is_empty() { p { "No peer is connected." } }
            ul class="list" { @for peer in status.peers.iter().take(LISTED) { li {
                p class="tight" { strong { "\u{2026}" (short(&peer.peer_id)) } " "
                    @match &peer.last_exchange { Some(last) => { "last exchanged " (ago(last, now)) }, None => "connected, not exchanged yet" }
                    @if peer.is_in_step { ", nothing left to fetch" }
                    @if peer.is_relayed { ", by a relay" }
                }
            } } }
            @if status.blocked > 0 { p { (counted(status.blocked, "peer is", "peers are")) " kept out for a while: they sent what does not pass." } }
        }
        @if view.standing.book.is_empty() { p { "The address book is empty. Ask a grower for an invite, and put it in here." } }
        @else {
            details {
                summary { "Address book: " (counted(view.standing.book.len(), "address", "addresses")) }
                ul { @for entry in view.standing.book.iter().take(LISTED) { li { code { (entry.address) } ": " (met(entry, now)) } } }
            }
        }
        form method="post" action="/share/people/peer" {
            (token(visit))
            (form.text("address", "Add a peer", "An invite or an address", ""))
            button { "Add" }
        }
        p { a href="/share/people/invite" { "Make an invite for a friend" } }
    }
}

fn met(entry: &Entry, now: Timestamp) -> String {
    let met = entry
        .last_met
        .as_deref()
        .map_or("not met yet".to_owned(), |last| format!("last met {}", ago(last, now)));
    match entry.failures {
        0 => met,
        failed => format!("{met}; {} since that failed", counted(failed as usize, "call", "calls")),
    }
}

/// What is known of who can reach this node.
fn reachable(view: &NetworkView) -> Markup {
    html! {
        @if let Some(status) = &view.standing.running {
            h2 { "How others reach you" }
            @for line in reached::lines(status) { p { (reach(&line)) } }
            @if let Some(nodes) = &view.standing.allowed {
                p { (only_allowed(nodes.len())) }
                ul { @for node in nodes.iter().take(LISTED) { li { strong { "\u{2026}" (short(&node.peer_id)) } " " (node.name) } } }
            }
            @if !status.to_hand_out.is_empty() {
                details {
                    summary { (counted(status.to_hand_out.len(), "address", "addresses")) " of this node" }
                    ul { @for address in status.to_hand_out.iter().take(LISTED) { li { code { (address) } } } }
                }
            }
        }
    }
}

fn records(view: &NetworkView) -> Markup {
    let standing = &view.standing;
    let counts = &standing.counts;
    let refused: u64 = counts.refused.values().sum();
    html! {
        h2 { "Records" }
        dl class="facts even" {
            dt { "Held" } dd { (grouped(standing.records)) }
            dt { "Kept aside" } dd { (standing.aside) " for a later version or month" }
            dt { "Your own, on their way out" } dd { (outbox(standing.on_the_way)) }
            dt { "New since the start" } dd { (counts.by_gossip) " passed on by others, " (counts.by_stem) " by a detour, " (counts.by_exchange) " fetched, " (counts.by_bundle) " from bundles" }
            @if counts.delayed > 0 { dt { "Over a quota for gossip" } dd { (grouped(counts.delayed)) " to come by exchange" } }
            @if counts.dropped > 0 { dt { "Dropped for want of room" } dd { (grouped(counts.dropped)) } }
            dt { "Known already" } dd { (grouped(counts.known)) }
            dt { "Refused since the start" } dd { (grouped(refused)) }
        }
        @if refused > 0 {
            details {
                summary { "Why they were refused" }
                ul { @for (reason, count) in counts.refused.iter().take(LISTED) { li { (grouped(*count)) ": " (reason) } } }
            }
        }
    }
}

/// Own records that are not known to be with others yet, by how far they have come.
fn outbox(on_the_way: OnTheWay) -> Markup {
    let said = leaving(on_the_way);
    html! {
        @if said.is_empty() { "none" } @else { (said.join(", ")) }
        @if on_the_way.stuck > 0 { p class="soft" { (stuck(on_the_way.stuck)) } }
    }
}

fn disk(view: &NetworkView) -> Markup {
    let ([bench, index], (records, quota)) = (view.disk, view.standing.disk);
    html! {
        h2 { "Disk" }
        p { "Records of the network take " (size(records)) " of at most " (size(quota)) "; when that is full, no more are taken in." }
        dl class="facts even" {
            dt { "Your bench" } dd { (size(bench)) }
            dt { "Index, built anew when lost" } dd { (size(index)) }
        }
    }
}

/// Bytes in the unit that keeps the number short.
fn size(bytes: u64) -> String {
    let number = bytes as f64;
    match bytes {
        0..1_000 => format!("{bytes} bytes"),
        1_000..1_000_000 => format!("{:.0} KB", number / 1e3),
        1_000_000..1_000_000_000 => format!("{:.1} MB", number / 1e6),
        _ => format!("{:.1} GB", number / 1e9),
    }
}

async fn add(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    match visit.ask(Request::PeersAdd { address: fields.get("address").to_owned() }).await {
        Ok(_) => Ok(go("/share/people")),
        Err(failure) => page(&visit, &fields, Some(&Bad::field("address", failure))).await,
    }
}

async fn invite(visit: Visit) -> Result<Response, Turned> {
    let Outcome::Invite(Invite { invite: text, .. }) = visit.done(Request::PeersInvite).await? else {
        return Err(of_another_kind().into());
    };
    let body = html! {
        h1 { "An invite" }
        p { "Send this to a grower you know. It names this node\u{2019}s addresses in the network and nothing of your bench." }
        p { code { (text) } }
        @if let Some(picture) = qr(&text) { div class="qr" role="img" aria-label="QR code of the invite" { (PreEscaped(picture)) } }
        p { a class="button" href="/share/people" { "Back to Network" } }
    };
    Ok(shell::page(&visit, RoomPage::People, "An invite", &body))
}
