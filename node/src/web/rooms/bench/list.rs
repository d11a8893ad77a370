//! All trials and lots, the latest season first.

use axum::Router;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form::{Form, page_links};
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::visit::Visit;
use propagule_app::outcome::trials::TrialLine;
use propagule_app::viewed;
use propagule_present::words::finding;
use propagule_present::words::rooms::{Room, RoomPage};
use propagule_present::words::tasks::listing;
use propagule_present::words::today;

/// Trials on one page.
const A_PAGE: usize = 50;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/bench", get(list))
}

async fn list(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let page: usize = fields.get("page").parse().unwrap_or(1).max(1);
    let wanted = fields.get("find").to_owned();
    let words = wanted.clone();
    let skip = (page - 1).saturating_mul(A_PAGE);
    let found = visit.view(move |app| viewed::trials(app, &words, skip, A_PAGE)).await?;
    let form = Form::new(&fields, None);
    let address =
        if wanted.is_empty() { "/bench".to_owned() } else { format!("/bench?find={}", link::part(&wanted)) };
    let pages = found.total.div_ceil(A_PAGE);
    let body = html! {
        h1 { (Room::Bench.name()) }
        ul class="acts" {
            li { a class="button lead" href="/bench/new" { (today::SET_UP) } }
            li { a class="button" href="/bench/spots" { (RoomPage::Benches.name()) } }
            li { a class="button" href="/bench/stock" { (RoomPage::StockPlants.name()) } }
            li { a class="button" href="/bench/import" { (RoomPage::Import.name()) } }
        }
        @if found.total > 0 || !wanted.is_empty() {
            form.find method="get" action="/bench" role="search" {
                (form.text("find", finding::LABEL, finding::HELP, ""))
                button class="quiet" { (finding::FIND) }
            }
        }
        @if !wanted.is_empty() { p role="status" { (finding::found(found.total)) " " a href="/bench" { (finding::ALL) } } }
        @if found.total == 0 && wanted.is_empty() { p { (finding::EMPTY) } }
        @for (season, lines) in by_season(&found.lines) {
            h2 { (listing::season(season)) }
            (part(listing::TRIALS, &lines.iter().copied().filter(|line| !line.is_lot).collect::<Vec<_>>()))
            (part(listing::BATCHES, &lines.iter().copied().filter(|line| line.is_lot).collect::<Vec<_>>()))
        }
        (page_links(&address, page, pages, listing::PAGES))
    };
    Ok(shell::page(&visit, RoomPage::Trials, Room::Bench.name(), &body))
}

fn by_season(lines: &[TrialLine]) -> Vec<(u16, Vec<&TrialLine>)> {
    let mut seasons: Vec<(u16, Vec<&TrialLine>)> = Vec::new();
    for line in lines {
        match seasons.last_mut().filter(|(season, _)| *season == line.season) {
            Some((_, lines)) => lines.push(line),
            None => seasons.push((line.season, vec![line])),
        }
    }
    seasons
}

fn part(heading: &str, lines: &[&TrialLine]) -> Markup {
    html! {
        @if !lines.is_empty() {
            section class="card" {
                h3 { (heading) }
                ul.list.due { @for line in lines { li { a class="row" href=(link::trial(&line.code, "")) {
                    span class="tag" { (line.code) }
                    " "
                    span class="words" { i { strong { (line.species) } } br; span class="soft" { (listing::state(line)) } }
                    } } } }
            }
        }
    }
}
