//! The page: rooms over the same use cases as the commands, rendered here, for any browser.
//!
//! A request passes the guard (`guard/`), reaches one file of `rooms/`, which asks `app`, and comes back as HTML
//! in the shell (`shell.rs`). Everything works without JavaScript; `assets/app.js` only adds comfort.

mod asked;
mod assets;
mod chips;
mod fields;
#[cfg(test)]
mod fixtures;
mod form;
mod guard;
mod icons;
mod link;
mod plain;
pub(crate) mod problem;
#[cfg(test)]
mod reader;
pub(crate) mod rooms;
mod server;
mod shell;
mod visit;

use std::sync::Arc;

use axum::Router;

pub use guard::{Doors, PhoneRow, Side};
pub use server::{PageServer, lan_address};

use propagule_app::App;

/// What every request is answered from.
#[derive(Clone, Debug)]
pub struct Web {
    /// The open home.
    pub app: Arc<App>,
    /// Who may come in.
    pub doors: Arc<Doors>,
    /// Which listener this is.
    pub side: Side,
    /// Values of `Host` that are ours, such as `127.0.0.1:48621`.
    pub hosts: Arc<[String]>,
}

/// All rooms behind the guard.
pub fn router(web: Web) -> Router {
    let guarded = rooms::routes(web.side).with_state(web.clone());
    guarded
        .layer(axum::middleware::from_fn_with_state(web.clone(), problem::shown))
        .layer(axum::middleware::from_fn_with_state(web, guard::guard))
}
