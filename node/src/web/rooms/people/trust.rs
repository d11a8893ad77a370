//! Growers whose results count first, by trust at home or by a vouch that everybody reads; and those that are ignored.

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
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::sharing::trust as words;

/// Most members, and most ignored growers, that are listed.
const LISTED: usize = 50;
/// Where a change is sent.
const ADDRESS: &str = "/share/people/grower";

pub(super) fn routes() -> Router<Web> {
    Router::new().route(ADDRESS, post(change))
}

/// Whose results count, and forms to change that.
pub(super) fn section(visit: &Visit, view: &NetworkView, fields: &Fields, bad: Option<&Bad>) -> Markup {
    let circle = &view.circle;
    let may_choose = view.growers >= KNOWN_GROWERS || !circle.members.is_empty();
    html! {
        section class="card" {
            h2 { (words::TITLE) }
            @if may_choose { (members(visit, circle)) } @else { p { (words::too_few(view.growers, KNOWN_GROWERS)) } }
        }
        @if may_choose { (trust(visit, fields, bad)) }
    }
}

/// What is seldom needed: whose results do not count, and the own key.
pub(super) fn folds(visit: &Visit, view: &NetworkView, fields: &Fields, bad: Option<&Bad>) -> Markup {
    html! { div class="folds" { (ignored(visit, &view.circle, fields, bad)) (own_key(&view.circle)) } }
}

fn own_key(circle: &Circle) -> Markup {
    html! { details { summary { (words::YOUR_KEY) } p { (words::YOUR_KEY_HELP) " " code { (circle.key) } } } }
}

fn members(visit: &Visit, circle: &Circle) -> Markup {
    html! {
        @if circle.members.is_empty() { p { (words::NOBODY_CHOSEN) } }
        @else {
            p { (words::chosen(circle.members.len())) }
            ul class="list" { @for member in circle.nearest_first().into_iter().take(LISTED) { li { (one(visit, member)) } } }
            @if circle.members.len() > LISTED { p class="soft" { (words::more(circle.members.len() - LISTED)) } }
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
        p class="entry tight" { strong { (name) } span class="boxed" { (words::counts(&weight(member.weight))) } }
        @if !between.is_empty() { p class="tight soft" { (words::by_way_of(&between)) } }
        @if member.vouched { p class="tight soft" { (words::VOUCHED) } }
        @else if member.trusted { p class="tight soft" { (words::TRUSTED) } }
        div class="acts" {
            @if member.vouched { (act(visit, &key, "unvouch", words::UNVOUCH, &name)) }
            @if member.trusted { (act(visit, &key, "untrust", words::UNTRUST, &name)) }
            (act(visit, &key, "mute", words::IGNORE, &name))
        }
    }
}

/// A button that changes one thing about one grower.
fn act(visit: &Visit, grower: &str, what: &str, words: &str, name: &str) -> Markup {
    html! {
        form method="post" action=(ADDRESS) {
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
        details class="card" open[is_about(fields, &["trust", "vouch"])] {
            summary { (words::ADD) }
            form method="post" action=(ADDRESS) {
                (token(visit))
                (form.text("grower", words::GROWER, words::GROWER_HELP, ""))
                (form.text("name", words::NAME, words::NAME_HELP, ""))
                button class="lead" name="what" value="trust" { (words::AT_HOME) }
                button name="what" value="vouch" { (words::VOUCH) }
                p class="soft" { (words::WHAT_EACH_DOES) }
            }
        }
    }
}

/// Growers whose results do not count, and the form that adds one.
fn ignored(visit: &Visit, circle: &Circle, fields: &Fields, bad: Option<&Bad>) -> Markup {
    let form = Form { scope: "mute", ..Form::new(fields, bad) };
    let ignored = &circle.muted_growers;
    html! {
        @if !ignored.is_empty() {
            details open { summary { (words::ignored(ignored.len())) }
                ul class="list" { @for grower in ignored.iter().take(LISTED) { li {
                    p class="tight" { (words::none_count(&called(grower))) }
                    (act(visit, &grower.key.to_string(), "unmute", words::COUNT_AGAIN, &called(grower)))
                } } }
            }
        }
        details open[is_about(fields, &["mute"])] {
            summary { (words::IGNORE_ONE) }
            form method="post" action=(ADDRESS) {
                (token(visit))
                (form.text("grower", words::GROWER, words::GROWER_HELP, ""))
                p class="soft" { (words::IGNORE_HELP) }
                button name="what" value="mute" { (words::IGNORE) }
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
        Ok(_) => Ok(go(super::ROOM)),
        Err(failure) => super::page(&visit, &fields, Some(&Bad::field("grower", failure))).await,
    }
}

/// Says what a vouch tells everybody, and asks for a yes.
fn ask(visit: &Visit, subject: &str, name: Option<&str>) -> Response {
    let body = html! {
        h1 { (words::VOUCH_TITLE) }
        div class="caution" { p { strong { (words::VOUCH_PUBLISHES) } " " (words::VOUCH_MEANS) } }
        p { (words::about(name)) " " code { (subject) } }
        p { (words::OR_AT_HOME) }
        form method="post" action=(ADDRESS) {
            (token(visit))
            input type="hidden" name="grower" value=(subject);
            @if let Some(name) = name { input type="hidden" name="name" value=(name); }
            input type="hidden" name="yes" value="yes";
            button class="lead" name="what" value="trust" { (words::AT_HOME_ONLY) }
            button class="grave" name="what" value="vouch" { (words::VOUCH_YES) }
        }
        p { a href=(super::ROOM) { (words::NEITHER) } }
    };
    shell::page(visit, RoomPage::People, words::VOUCH_TITLE, &body)
}
