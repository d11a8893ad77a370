//! Sessions, the one-time address, and the code that lets a phone in. All of it is forgotten when the node stops.

use std::net::SocketAddr;
use std::sync::{Mutex, MutexGuard, PoisonError};

use jiff::{SignedDuration, Timestamp};
use tokio::sync::Notify;

use super::Side;
use super::body::Uploads;
use super::random::{secret, typed_code};
use propagule_files::fault::Fault;

/// Letters and digits of a code for a phone.
const CODE_LETTERS: usize = 8;
/// How long a code holds.
const CODE_MINUTES: i64 = 5;
/// How often a code may be tried.
const CODE_TRIES: u8 = 5;
/// Sessions kept; the oldest goes first.
const SESSIONS: usize = 32;

/// What a session may see.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::web) enum SessionKind {
    /// The browser of whoever reads the terminal.
    Desk,
    /// A phone that was let in.
    Phone,
}

impl SessionKind {
    /// The listener that it is good for.
    pub(in crate::web) fn side(self) -> Side {
        match self {
            Self::Desk => Side::Loopback,
            Self::Phone => Side::Lan,
        }
    }
}

/// A browser that has come in.
#[derive(Clone, Debug)]
pub(in crate::web) struct Session {
    pub(in crate::web) id: String,
    /// Stands in every form.
    pub(in crate::web) token: String,
    pub(in crate::web) kind: SessionKind,
    since: Timestamp,
    /// Stands on the screen of the computer, to tell phones apart.
    number: u32,
}

/// A code that is waiting for its phone.
#[derive(Clone, Debug)]
pub(in crate::web) struct Pairing {
    pub(in crate::web) code: String,
    until: Timestamp,
    tries_left: u8,
}

/// A phone on the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PhoneRow {
    /// Its number.
    pub number: u32,
    /// When it was let in.
    pub since: Timestamp,
}

/// Who may come in.
#[derive(Debug)]
pub struct Doors {
    lan: Option<SocketAddr>,
    uploads: Uploads,
    state: Mutex<State>,
    used: Notify,
}

#[derive(Debug)]
struct State {
    entry: String,
    sessions: Vec<Session>,
    pairing: Option<Pairing>,
    next: u32,
}

impl Doors {
    /// With a fresh one-time address and nobody in.
    ///
    /// # Errors
    /// When the system gives no random numbers.
    pub fn new(lan: Option<SocketAddr>) -> Result<Self, Fault> {
        let state = State { entry: secret()?, sessions: Vec::new(), pairing: None, next: 1 };
        Ok(Self { lan, uploads: Uploads::default(), state: Mutex::new(state), used: Notify::new() })
    }

    /// Where phones reach the page; none where it is not served to them.
    pub fn lan(&self) -> Option<SocketAddr> {
        self.lan
    }

    /// Files that browsers are sending.
    pub(super) fn uploads(&self) -> &Uploads {
        &self.uploads
    }

    /// The address that lets the next browser in, once.
    pub fn one_time_address(&self, page: SocketAddr) -> String {
        format!("http://{page}/enter/{}", self.state().entry)
    }

    /// Waits until the one-time address was used, so that there is a new one.
    pub async fn used(&self) {
        self.used.notified().await;
    }

    /// Lets a browser in that knows the one-time secret, which is then replaced by another.
    pub(in crate::web) fn enter(&self, secret_part: &str, now: Timestamp) -> Result<Option<Session>, Fault> {
        let mut state = self.state();
        if !super::is_same(state.entry.as_bytes(), secret_part.as_bytes()) {
            return Ok(None);
        }
        state.entry = secret()?;
        self.used.notify_one();
        state.let_in(SessionKind::Desk, now).map(Some)
    }

    /// Makes a code for one phone; an earlier code holds no longer.
    pub(in crate::web) fn new_code(&self, now: Timestamp) -> Result<Pairing, Fault> {
        let pairing = Pairing {
            code: typed_code(CODE_LETTERS)?,
            until: now + SignedDuration::from_mins(CODE_MINUTES),
            tries_left: CODE_TRIES,
        };
        self.state().pairing = Some(pairing.clone());
        Ok(pairing)
    }

    /// The code that a phone could come in by now.
    pub(in crate::web) fn code(&self, now: Timestamp) -> Option<Pairing> {
        self.state().pairing.clone().filter(|pairing| now < pairing.until)
    }

    /// Lets a phone in that knows the code; a code is good once, for five minutes and five tries.
    pub(in crate::web) fn pair(&self, typed: &str, now: Timestamp) -> Result<Option<Session>, Fault> {
        let typed: String =
            typed.chars().filter(char::is_ascii_alphanumeric).map(|c| c.to_ascii_uppercase()).collect();
        let mut state = self.state();
        let Some(pairing) = state.pairing.as_mut().filter(|pairing| now < pairing.until) else {
            state.pairing = None;
            return Ok(None);
        };
        if super::is_same(pairing.code.as_bytes(), typed.as_bytes()) {
            state.pairing = None;
            return state.let_in(SessionKind::Phone, now).map(Some);
        }
        pairing.tries_left -= 1;
        if pairing.tries_left == 0 {
            state.pairing = None;
        }
        Ok(None)
    }

    pub(in crate::web) fn session(&self, id: &str) -> Option<Session> {
        let state = self.state();
        state.sessions.iter().find(|session| super::is_same(session.id.as_bytes(), id.as_bytes())).cloned()
    }

    /// Phones that are in.
    pub fn phones(&self) -> Vec<PhoneRow> {
        let state = self.state();
        let phones = state.sessions.iter().filter(|session| session.kind == SessionKind::Phone);
        phones.map(|session| PhoneRow { number: session.number, since: session.since }).collect()
    }

    /// Shuts one phone out, or all of them, and ends a code that is waiting.
    pub fn shut_out(&self, number: Option<u32>) {
        let mut state = self.state();
        state.pairing = None;
        state.sessions.retain(|session| {
            session.kind == SessionKind::Desk || number.is_some_and(|number| number != session.number)
        });
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl State {
    fn let_in(&mut self, kind: SessionKind, now: Timestamp) -> Result<Session, Fault> {
        let session = Session { id: secret()?, token: secret()?, kind, since: now, number: self.next };
        self.next += 1;
        if self.sessions.len() == SESSIONS {
            self.sessions.remove(0);
        }
        self.sessions.push(session.clone());
        Ok(session)
    }
}
