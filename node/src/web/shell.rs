//! What is around every page: head, mark, rooms, where one is, the state of what was entered.

use axum::http::header;
use axum::response::{IntoResponse, Response};
use maud::{DOCTYPE, Markup, html};
use propagule_present::words::rooms::{self as words, Room, RoomPage};

use super::Web;
use super::assets;
use super::guard::{Session, SessionKind, Side};
use super::icons;
use super::visit::Visit;

/// Where a page is.
const fn address(page: RoomPage) -> &'static str {
    match page {
        RoomPage::Today => "/today",
        RoomPage::Trials => "/bench",
        RoomPage::New => "/bench/new",
        RoomPage::Benches => "/bench/spots",
        RoomPage::StockPlants => "/bench/stock",
        RoomPage::Import => "/bench/import",
        RoomPage::Methods => "/works",
        RoomPage::Near => "/works/near",
        RoomPage::Many => "/works/many",
        RoomPage::Publish => "/share/publish",
        RoomPage::People => "/share/people",
        RoomPage::Phones => "/share/phones",
    }
}

/// Whether somebody who came in this way may see it.
fn is_for(page: RoomPage, kind: SessionKind, web: &Web) -> bool {
    match (page, page.room()) {
        (RoomPage::Phones, _) => kind == SessionKind::Desk && web.doors.lan().is_some(),
        (_, Room::Today | Room::Bench) => true,
        (_, Room::Works | Room::Share) => kind == SessionKind::Desk,
    }
}

/// Where the grower is: a page of a room, or a task that is left by a way back.
#[derive(Clone, Copy, Debug)]
enum Place<'a> {
    /// Nowhere, as where something failed.
    Nowhere,
    Of(RoomPage),
    /// The page it belongs to, and what it goes back to: name and address.
    Under(RoomPage, &'a str, &'a str),
    /// The same, without the rooms on a phone: nothing distracts from a task.
    Task(RoomPage, &'a str, &'a str),
}

impl<'a> Place<'a> {
    const fn page(self) -> Option<RoomPage> {
        match self {
            Self::Nowhere => None,
            Self::Of(page) | Self::Under(page, ..) | Self::Task(page, ..) => Some(page),
        }
    }

    const fn back(self) -> Option<(&'a str, &'a str)> {
        match self {
            Self::Nowhere | Self::Of(_) => None,
            Self::Under(_, name, address) | Self::Task(_, name, address) => Some((name, address)),
        }
    }
}

/// A page of a room.
pub(super) fn page(visit: &Visit, page: RoomPage, title: &str, body: &Markup) -> Response {
    document(&visit.web, Some((&visit.session, Place::Of(page))), title, body)
}

/// A page below another one, to which it leads back.
pub(super) fn under(
    visit: &Visit,
    page: RoomPage,
    back: (&str, &str),
    title: &str,
    body: &Markup,
) -> Response {
    document(&visit.web, Some((&visit.session, Place::Under(page, back.0, back.1))), title, body)
}

/// A task: it is left by its way back, and hides the rooms on a phone.
pub(super) fn task(
    visit: &Visit,
    page: RoomPage,
    back: (&str, &str),
    title: &str,
    body: &Markup,
) -> Response {
    document(&visit.web, Some((&visit.session, Place::Task(page, back.0, back.1))), title, body)
}

/// A page for somebody in no room, or who has not come in.
pub(super) fn outside(web: &Web, session: Option<&Session>, title: &str, body: &Markup) -> Response {
    document(web, session.map(|session| (session, Place::Nowhere)), title, body)
}

fn document(web: &Web, here: Option<(&Session, Place<'_>)>, title: &str, body: &Markup) -> Response {
    let is_task = matches!(here, Some((_, Place::Task(..))));
    let token = here.map(|(session, _)| &session.token);
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1, viewport-fit=cover";
                meta name="color-scheme" content="light dark";
                title { (words::tab(title)) }
                link rel="preload" href=(assets::ROMAN.address()) as="font" type="font/woff2" crossorigin;
                link rel="stylesheet" href=(assets::STYLE.address());
                link rel="stylesheet" media="print" href=(assets::PRINT.address());
                link rel="icon" href=(assets::ICON.address());
                script defer src=(assets::SCRIPT.address()) {}
            }
            body class=[is_task.then_some("task")] {
                a class="skip" href="#main" { (words::SKIP) }
                div class="rail" {
                    (top(here))
                    @if let Some((session, place)) = here { (navigation(web, session.kind, place)) }
                }
                main id="main" tabindex="-1" {
                    div id="waiting" role="status" hidden data-token=[token] {}
                    (body)
                    @if web.side == Side::Lan { footer { (words::NOT_ENCRYPTED) } }
                }
            }
        }
    };
    ([(header::CONTENT_TYPE, "text/html; charset=utf-8")], clean(&markup.into_string())).into_response()
}

/// The mark or the way back, where one is, and whether everything entered is saved.
fn top(here: Option<(&Session, Place<'_>)>) -> Markup {
    html! {
        header class="top" {
            a class="mark" href="/today" { (icons::mark()) span { "Propagule" } }
            @if let Some((_, place)) = here {
                @if let Some((name, address)) = place.back() {
                    a class="back" href=(address) aria-label=(words::back_to(name)) { (icons::back()) span { (name) } }
                } @else if let Some(page) = place.page() { span class="here" { (page.room().name()) } }
                span id="state" class="state" role="status" { (words::SAVED) }
            }
        }
    }
}

fn navigation(web: &Web, kind: SessionKind, place: Place<'_>) -> Markup {
    let (here, room) = (place.page(), place.page().map(RoomPage::room));
    let mine: Vec<RoomPage> = RoomPage::ALL.into_iter().filter(|page| is_for(*page, kind, web)).collect();
    let current = |is_here: bool| is_here.then_some(if place.back().is_some() { "true" } else { "page" });
    html! {
        nav class="rooms" aria-label=(words::ROOMS) {
            @for of in Room::ALL {
                @if let Some(first) = mine.iter().find(|page| page.room() == of) {
                    a href=(address(*first)) aria-current=[current(room == Some(of))] { (icons::room(of)) span { (of.name()) } }
                }
            }
        }
        @if let Some(room) = room {
            @let pages: Vec<RoomPage> = mine.into_iter().filter(|page| page.room() == room).collect();
            @if pages.len() > 1 {
                nav class="pages" aria-label=(words::pages_of(room)) {
                    @for page in pages { a href=(address(page)) aria-current=[current(Some(page) == here)] { (page.name()) } }
                }
            }
        }
    }
}

/// Text without characters that turn reading round or steer a screen: names come from files that others may have
/// written.
pub(super) fn clean(text: &str) -> String {
    let steers = |c: char| {
        (c.is_control() && !matches!(c, '\n' | '\t'))
            || matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    };
    text.replace(steers, "\u{fffd}")
}
