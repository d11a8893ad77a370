//! What is around every page: head, name of the program, rooms, and what goes for all text.

use axum::http::header;
use axum::response::{IntoResponse, Response};
use maud::{DOCTYPE, Markup, html};

use super::Web;
use super::assets;
use super::guard::{Session, SessionKind, Side};
use super::visit::Visit;

/// Makes the rooms, all of them, their names and addresses from one list.
macro_rules! rooms {
    ($($room:ident $name:literal $address:literal,)*) => {
        /// A room of the page.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub(super) enum Room {
            $($room,)*
        }

        impl Room {
            /// In the order in which they are shown.
            const ALL: [Self; [$($name),*].len()] = [$(Self::$room),*];

            fn name(self) -> &'static str {
                match self {
                    $(Self::$room => $name,)*
                }
            }

            fn address(self) -> &'static str {
                match self {
                    $(Self::$room => $address,)*
                }
            }
        }
    };
}

// The routes of a room are merged in `rooms/mod.rs`.
rooms! {
    Today "Today" "/today",
    Bench "Bench" "/bench",
    Plan "Plan" "/plan",
    Publish "Publish" "/publish",
    Species "Species" "/species",
    Compare "Compare" "/compare",
    Network "Network" "/network",
    Phone "Phone" "/phone",
}

impl Room {
    /// Whether somebody who came in this way may see it.
    fn is_for(self, kind: SessionKind, web: &Web) -> bool {
        match self {
            Self::Today | Self::Bench => true,
            Self::Plan | Self::Publish | Self::Species | Self::Compare | Self::Network => {
                kind == SessionKind::Desk
            }
            Self::Phone => kind == SessionKind::Desk && web.doors.lan().is_some(),
        }
    }
}

/// A page of a room.
pub(super) fn page(visit: &Visit, room: Room, title: &str, body: &Markup) -> Response {
    document(&visit.web, Some(&visit.session), Some(room), title, body)
}

/// A whole document.
pub(super) fn document(
    web: &Web,
    session: Option<&Session>,
    room: Option<Room>,
    title: &str,
    body: &Markup,
) -> Response {
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) " – Propagule" }
                link rel="stylesheet" href=(assets::STYLE.address());
                link rel="stylesheet" media="print" href=(assets::PRINT.address());
                link rel="icon" href=(assets::ICON.address());
                script defer src=(assets::SCRIPT.address()) {}
            }
            body {
                a class="skip" href="#main" { "Skip to the page" }
                header class="top" {
                    span class="name" { "Propagule" }
                    @if let Some(session) = session { (navigation(web, session.kind, room)) }
                }
                main id="main" tabindex="-1" {
                    div id="waiting" role="status" hidden data-token=[session.map(|session| &session.token)] {}
                    (body)
                }
                @if web.side == Side::Lan {
                    footer { "This connection is not encrypted: whoever is in this Wi-Fi can read along." }
                }
            }
        }
    };
    ([(header::CONTENT_TYPE, "text/html; charset=utf-8")], clean(&markup.into_string())).into_response()
}

fn navigation(web: &Web, kind: SessionKind, here: Option<Room>) -> Markup {
    html! {
        nav aria-label="Rooms" {
            @for room in Room::ALL.into_iter().filter(|room| room.is_for(kind, web)) {
                a href=(room.address()) aria-current=[(Some(room) == here).then_some("page")] { (room.name()) }
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
