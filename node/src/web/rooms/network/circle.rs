//! The circle: growers whose results count more, by trust at home or by a vouch that everybody reads; and the muted.

use axum::Router;
use axum::response::Response;
use axum::routing::post;
use maud::{Markup, html};

use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form::{Bad, Form, token};
use crate::web::problem::{Turned, of_another_kind};
use crate::web::shell;
use crate::web::visit::{Visit, go};
use propagule_app::outcome::Outcome;
use propagule_app::outcome::circle::{Circle, Member};
use propagule_app::reading::{KNOWN_GROWERS, NetworkView};
use propagule_app::{Change, CircleRequest, Reply, Request};
use propagule_files::fault::Fault;
use propagule_present::outcome::circle::{called, weight};
use propagule_present::words::counted;
use propagule_present::words::rooms::RoomPage;

/// Most members, and most muted growers, that are listed.
const LISTED: usize = 50;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/share/people/grower", post(change))
}

/// Whose results count, and forms to change that.
pub(super) fn section(visit: &Visit, view: &NetworkView, fields: &Fields, bad: Option<&Bad>) -> Markup {
    let circle = &view.circle;
    let is_open = view.growers >= KNOWN_GROWERS || !circle.members.is_empty();
    html! {
        h2 { "Growers you trust" }
        @if is_open {
            (members(visit, circle))
            (trust(visit, fields, bad))
        } @else {
            p { "Results of " (counted(view.growers, "grower", "growers")) " are held here, and all count alike. Once there are about " (KNOWN_GROWERS) ", you can say here whom you trust, so that growers you do not know weigh less." }
        }
        (muted(visit, circle, fields, bad))
        details { summary { "Your key" } p { "Growers who trust you need it: " code { (circle.key) } } }
    }
}

fn members(visit: &Visit, circle: &Circle) -> Markup {
    html! {
        @if circle.members.is_empty() { p { "You have not chosen any growers to trust yet, so everybody\u{2019}s results count alike." } }
        @else {
            p { (counted(circle.members.len(), "grower", "growers")) ". What they report is shown first; everybody\u{2019}s stands beside it." }
            ul class="list" { @for member in circle.nearest_first().into_iter().take(LISTED) { li { (one(visit, member)) } } }
            @if circle.members.len() > LISTED { p class="soft" { "And " (circle.members.len() - LISTED) " more." } }
        }
    }
}

fn one(visit: &Visit, member: &Member) -> Markup {
    let (key, name) = (member.grower.to_string(), called(&member.called));
    let between: Vec<String> = match member.path_growers.as_slice() {
        [_, between @ .., _] => between.iter().map(called).collect(),
        _ => Vec::new(),
    };
    html! {
        p class="tight" { strong { (name) } ", counts " (weight(member.weight)) @if !between.is_empty() { span class="soft" { " by way of " (between.join(", ")) } } }
        @if member.vouched { p class="tight soft" { "You vouch for this grower; everybody can read that." } }
        @else if member.trusted { p class="tight soft" { "You trust this grower at home; nobody else knows." } }
        div class="acts" {
            @if member.vouched { (act(visit, &key, "unvouch", "Take the vouch back", &name)) }
            @if member.trusted { (act(visit, &key, "untrust", "No longer trust", &name)) }
            (act(visit, &key, "mute", "Ignore", &name))
        }
    }
}

/// A button that changes one thing about one grower.
fn act(visit: &Visit, grower: &str, what: &str, words: &str, name: &str) -> Markup {
    html! {
        form method="post" action="/share/people/grower" {
            (token(visit))
            input type="hidden" name="grower" value=(grower);
            button class="quiet" name="what" value=(what) { (words) span class="gone" { " " (name) } }
        }
    }
}

/// Trust a grower, at home or for everybody to see.
fn trust(visit: &Visit, fields: &Fields, bad: Option<&Bad>) -> Markup {
    let form = Form { scope: "trust", ..Form::new(fields, bad) };
    html! {
        details open[is_about(fields, &["trust", "vouch"])] {
            summary { "Trust a grower" }
            form method="post" action="/share/people/grower" {
                (token(visit))
                (form.text("grower", "Grower", "Their key, or its first letters where it is known here", ""))
                (form.text("name", "What you call them", "Stays at home", ""))
                button class="lead" name="what" value="trust" { "Trust at home" }
                button name="what" value="vouch" { "Vouch for everybody to see" }
                p class="soft" { "Trust at home is known to nobody. A vouch is published: it says that you and that grower know each other. You are asked before it goes out." }
            }
        }
    }
}

fn muted(visit: &Visit, circle: &Circle, fields: &Fields, bad: Option<&Bad>) -> Markup {
    let form = Form { scope: "mute", ..Form::new(fields, bad) };
    html! {
        @if !circle.muted_growers.is_empty() {
            h3 { "Ignored" }
            ul class="list" { @for grower in circle.muted_growers.iter().take(LISTED) { li {
                p class="tight" { (called(grower)) ": none of their results count here." }
                (act(visit, &grower.key.to_string(), "unmute", "Count again", &called(grower)))
            } } }
        }
        details open[is_about(fields, &["mute"])] {
            summary { "Ignore a grower" }
            form method="post" action="/share/people/grower" {
                (token(visit))
                (form.text("grower", "Grower", "Their key, or its first letters where it is known here", ""))
                p class="soft" { "None of their results count here from then on. Nothing is published, and nobody else is affected." }
                button name="what" value="mute" { "Ignore" }
            }
        }
    }
}

fn is_about(fields: &Fields, what: &[&str]) -> bool {
    what.contains(&fields.get("what"))
}

async fn change(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let (grower, name) = (fields.get("grower").to_owned(), fields.owned("name"));
    let keep = |change| Ok(CircleRequest::Keep { grower: grower.clone(), change, name: name.clone() });
    let request = match fields.get("what") {
        "trust" => keep(Change::Trust),
        "untrust" => keep(Change::Untrust),
        "mute" => keep(Change::Mute),
        "unmute" => keep(Change::Unmute),
        "unvouch" => Ok(CircleRequest::Unvouch { grower: grower.clone(), at_once: false }),
        "vouch" => {
            let confirmed = fields.is_on("yes");
            Ok(CircleRequest::Vouch { grower: grower.clone(), name: name.clone(), confirmed, at_once: false })
        }
        _ => Err(Fault::user("page-form-without-button")),
    };
    let reply = match request {
        Ok(request) => visit.ask(Request::Circle(request)).await,
        Err(failure) => Err(failure),
    };
    match reply {
        Ok(Reply::Proposed(outcome)) => match *outcome {
            Outcome::Vouched(vouched) => Ok(ask(&visit, &vouched.grower.to_string(), name.as_deref())),
            _ => Err(of_another_kind().into()),
        },
        Ok(_) => Ok(go("/share/people")),
        Err(failure) => super::page(&visit, &fields, Some(&Bad::field("grower", failure))).await,
    }
}

/// Says what a vouch tells everybody, and asks for a yes.
fn ask(visit: &Visit, subject: &str, name: Option<&str>) -> Response {
    let body = html! {
        h1 { "Vouch for this grower?" }
        div class="caution" {
            p { strong { "A vouch publishes a link between two people." } " Everybody can read that your key trusts this one, for ever and on every computer it reaches; if your key is known to be yours, that you know each other." }
        }
        p { "The grower" @if let Some(name) = name { " you call " strong { (name) } } ": " code { (subject) } }
        p { "Growers who trust you will count that grower too. Trust at home does the same for your own figures, and nobody learns of it." }
        form method="post" action="/share/people/grower" {
            (token(visit))
            input type="hidden" name="grower" value=(subject);
            @if let Some(name) = name { input type="hidden" name="name" value=(name); }
            input type="hidden" name="yes" value="yes";
            button class="lead" name="what" value="trust" { "Trust at home only" }
            button class="grave" name="what" value="vouch" { "Vouch, for everybody to see" }
        }
        p { a href="/share/people" { "Neither" } }
    };
    shell::page(visit, RoomPage::People, "Vouch for this grower?", &body)
}
