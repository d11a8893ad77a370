//! An own trial against growers in a similar climate, arm by arm.

mod climate;

use axum::Router;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use climate::{band_of, climate};

use super::species::{OUTCOMES, STAGES, WHOSE, file, whose_words};
use crate::answer::compare::{ArmAnswer, CompareAnswer};
use crate::answer::words;
use crate::answer::words::{Family, Wording, percent, percent_range};
use crate::app::reading;
use crate::app::reading::Compared;
use crate::app::{CompareRequest, viewed};
use crate::web::Web;
use crate::web::asked::Asked;
use crate::web::draw;
use crate::web::fields::Fields;
use crate::web::form::{Bad, Form};
use crate::web::link;
use crate::web::plain::{plain, plainly};
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::shell::Room;
use crate::web::visit::Visit;
use propagule_evidence::Whose;
use propagule_files::fault::Fault;

/// Trials on one page, arms of a trial, and others named.
const A_PAGE: usize = 50;
const MOST_ARMS: usize = 12;
const MOST_PEERS: usize = 50;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/compare", get(compare)).route("/compare/answer.json", get(json))
}

/// What a query asks of one trial.
fn request(fields: &Fields, code: &str) -> Result<CompareRequest, Fault> {
    let asked = Asked::read(fields)?;
    Ok(CompareRequest {
        trial: code.to_owned(),
        question: asked.question,
        scope: asked.scope,
        at: fields.owned("at"),
        width: 80,
    })
}

async fn compare(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let Some(code) = fields.owned("trial") else { return list(&visit, &fields).await };
    let places = visit.view(|app| Ok(viewed::names(app).places)).await?;
    let request = request(&fields, &code)?;
    let compared = visit.view(move |app| reading::compare(app, &request)).await;
    let refused = compared.as_ref().err().map(|failure| Bad::from(plainly(failure)));
    let body = html! {
        @match &compared {
            Ok(compared) => (answer(compared, &code)),
            Err(_) => h1 { "Compare " (code) },
        }
        (Form::new(&fields, refused.as_ref()).problem())
        (form(&fields, &code, &places, refused.is_some()))
        ul class="acts" {
            li { a class="button quiet" href=(link::trial(&code, "")) { "The trial" } }
            @if compared.is_ok() { li { a class="button quiet" href={ "/compare/answer.json?" (query(&fields)) } { "Answer as JSON" } } }
            li { a class="button quiet" href="/compare" { "Another trial" } }
        }
    };
    let mut response = shell::page(&visit, Room::Compare, &format!("Compare {code}"), &body);
    if refused.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

async fn json(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let request = request(&fields, fields.get("trial"))?;
    let Compared { answer, .. } = visit.view(move |app| reading::compare(app, &request)).await?;
    let text = serde_json::to_string_pretty(&answer).expect("an answer is plain data");
    Ok(file("comparison.json", "application/json", text))
}

/// The fields of this room, as a query.
fn query(fields: &Fields) -> String {
    let names = ["trial", "stage", "outcome", "whose", "at"];
    let pairs = names.iter().filter_map(|name| Some(format!("{name}={}", link::part(fields.given(name)?))));
    pairs.collect::<Vec<_>>().join("&")
}

/// Own trials that can be compared.
async fn list(visit: &Visit, fields: &Fields) -> Result<Response, Turned> {
    let page: usize = fields.get("page").parse().unwrap_or(1).max(1);
    let skip = (page - 1).saturating_mul(A_PAGE);
    let found = visit.view(move |app| viewed::trials(app, skip, A_PAGE)).await?;
    let pages = found.total.div_ceil(A_PAGE);
    let body = html! {
        h1 { "Compare" }
        p { "One of your trials against growers who did the same in a climate like yours." }
        @if found.total == 0 { p { "No trial is on your bench yet. " a href="/bench/new" { "Set one up" } "." } }
        ul class="list" { @for line in found.lines.iter().filter(|line| !line.is_planned) { li {
            @if line.stage.is_some() {
                a class="row" href={ "/compare?trial=" (link::part(&line.code)) } {
                    span class="lead" { (line.code) } " " i { (line.species) } br; span class="soft" { "put in " (line.started_on) }
                }
            } @else { p class="tight" { (line.code) " " i { (line.species) } br; span class="soft" { "nothing counted at a stage yet" } } }
        } } }
        @if pages > 1 { nav aria-label="Pages" class="acts" { @for number in 1..=pages {
            a class="button quiet" href={ "/compare?page=" (number) } aria-current=[(number == page).then_some("page")] { (number) }
        } } }
    };
    Ok(shell::page(visit, Room::Compare, "Compare", &body))
}

fn form(fields: &Fields, code: &str, places: &[String], is_open: bool) -> Markup {
    let form = Form::new(fields, None);
    let is_open =
        is_open || ["stage", "outcome", "whose", "at"].iter().any(|name| fields.given(name).is_some());
    let mut at = vec![(String::new(), "where it stood".to_owned())];
    at.extend(places.iter().map(|place| (place.clone(), place.clone())));
    html! {
        details open[is_open] {
            summary { "Compare otherwise: another count, another place" }
            form method="get" action="/compare" {
                input type="hidden" name="trial" value=(code);
                (form.choice("at", "What if it had stood at", "Another of your places: the counts stay, the climate is that place\u{2019}s", "", &at))
                div class="pair" {
                    (form.choice("stage", "Count", "", "", &STAGES))
                    (form.choice("outcome", "What counts", "", "", &OUTCOMES))
                }
                (form.choice("whose", "Whose results", "", "", &WHOSE))
                button class="lead" { "Compare" }
            }
        }
    }
}

fn answer(compared: &Compared, code: &str) -> Markup {
    let Compared { answer, .. } = compared;
    let question = words::question_words(Wording::new(Family::Mixed, answer.outcome), answer.stage);
    html! {
        h1 { (code) ", " i { (answer.species) } ": " (question) }
        @if let Some(place) = &answer.at { p { strong { (words::as_if_at(place)) } } }
        @if answer.whose != Whose::Everybody { p class="soft" { "Against the results of " (whose_words(answer.whose)) "." } }
        @for of in answer.arms.iter().take(MOST_ARMS) { (arm(of)) }
        @if answer.arms.len() > MOST_ARMS { p class="soft" { "And " (answer.arms.len() - MOST_ARMS) " more arms in the file of the answer." } }
        @for warning in &answer.warnings { p { (plain(&warning.text)) } }
        @if !answer.peers.is_empty() { (climate(compared)) (peers(answer)) }
    }
}

fn arm(arm: &ArmAnswer) -> Markup {
    let differs: Vec<String> =
        arm.differs_in.iter().map(|(facet, word)| format!("{} {word}", facet.replace('_', " "))).collect();
    html! {
        h2 { "Arm " (arm.arm) @if !differs.is_empty() { ": " (differs.join(", ")) } }
        p class="say" { (arm.sentence) }
        p class="soft tight" { (arm.method) ". " (matched(arm)) }
        (draw::chances(&format!("Arm {}", arm.arm), &arm.predictive, arm.own_rooted as usize, "successes"))
        (technical(arm))
    }
}

/// What the others had to have in common.
fn matched(arm: &ArmAnswer) -> String {
    let environment: Vec<String> = arm
        .matched_on
        .iter()
        .filter(|what| !["method", "climate"].contains(&what.as_str()))
        .map(|what| what.replace('_', " "))
        .collect();
    let growers = words::counted(arm.growers, "grower", "growers");
    let trials = words::counted(arm.trials, "trial", "trials");
    match (environment.as_slice(), arm.enough) {
        ([], true) => format!(
            "Against {growers}, {trials}, with the same method; the nearer their climate, the more they weigh."
        ),
        (same, true) => format!(
            "Against {growers}, {trials}, with the same method and the same {} first; under cover or over heat, climate only tilts.",
            same.join(" and ")
        ),
        (_, false) => format!("Against {growers}, {trials}, with the same method, whatever their climate."),
    }
}

fn technical(arm: &ArmAnswer) -> Markup {
    let fit = &arm.fit;
    let [low, _, high] = fit.new_grower_rate_q;
    html! {
        details {
            summary { "Figures for advisers" }
            dl class="facts even" {
                dt { "Own count" } dd { (arm.own_rooted) " of " (arm.own_stuck) ", " (percent(f64::from(arm.own_rooted) / f64::from(arm.own_stuck.max(1)))) " %" }
                dt { "Average of the others" } dd { (words::percent_with_range(fit.average_grower_rate_mean, fit.average_grower_rate_q)) }
                dt { "A new grower" } dd { (percent_range(low, high)) }
                dt { "Percentile (mid-P)" } dd { (percent(arm.mid_p_percentile)) }
                dt { "This few or fewer" } dd { (percent(arm.prob_at_most_own)) " %" }
                dt { "This many or more" } dd { (percent(arm.prob_at_least_own)) " %" }
                dt { "Effective number of growers" } dd { (format!("{:.1} (Kish); weights add up to {:.1}", arm.effective_sites_kish, arm.weight_total)) }
                dt { "Climate measures in common" } dd { (arm.dims) }
                dt { "Spread between growers, logit" } dd { (format!("{:.2} ({:.2}\u{2013}{:.2})", fit.tau_mean, fit.tau_q[0], fit.tau_q[2])) }
            }
        }
    }
}

fn peers(answer: &CompareAnswer) -> Markup {
    let arms: std::collections::BTreeSet<&str> = answer.arms.iter().map(|arm| arm.arm.as_str()).collect();
    html! {
        details {
            summary { "The others, one by one" }
            table {
                caption { "Nearest climate first" @if arms.len() > 1 { ", for each arm" } }
                thead { tr { th scope="col" { "Grower" } th scope="col" { "Count" } th scope="col" { "Climate" } } }
                tbody { @for peer in answer.peers.iter().take(MOST_PEERS) { tr {
                    th scope="row" { (reading::short(&peer.grower)) @if arms.len() > 1 { span class="soft" { " arm " (peer.arm) } } }
                    td { (peer.rooted) " of " (peer.started) }
                    td { (band_of(peer)) ", counts " (format!("{:.0} %", peer.weight * 100.0)) @if let Some(distance) = peer.distance { span class="soft" { " (distance " (format!("{distance:.2}")) ")" } } }
                } } }
            }
            @if answer.peers.len() > MOST_PEERS { p class="soft" { "And " (answer.peers.len() - MOST_PEERS) " more in the file of the answer." } }
        }
    }
}
