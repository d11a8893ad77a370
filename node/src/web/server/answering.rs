//! Takes connections of a listener and answers them, each in a task that ends with the server.

use std::io;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use axum::Router;
use axum::extract::Request;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper_util::rt::TokioIo;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Notify;
use tokio::task::JoinSet;
use tower_service::Service;

use super::crowd::{Crowd, Patience, Room};

/// The longest head of a request.
const HEAD_BYTES: usize = 16 << 10;
/// A pause where the system has no descriptor left; others give theirs back meanwhile.
const PAUSE: Duration = Duration::from_millis(100);
/// Between two lines of the log about that.
const A_LINE_EVERY: Duration = Duration::from_mins(1);
/// Idle connections are no burden within these.
pub(super) const PATIENCE: Patience =
    Patience { first_request: Duration::from_secs(5), idle: Duration::from_secs(30) };

/// Answers until the future is dropped, and every connection with it.
pub(super) async fn answer(listener: TcpListener, router: Router, room: Room, patience: Patience) {
    let crowd = Arc::new(Mutex::new(Crowd::new(room, patience)));
    let mut answering = JoinSet::new();
    let mut told: Option<Instant> = None;
    loop {
        tokio::select! {
            taken = listener.accept() => match taken {
                Ok((stream, from)) => {
                    if let Some(presence) = Presence::of(&crowd, from.ip(), patience.first_request) {
                        answering.spawn(attend(stream, router.clone(), presence));
                    }
                }
                Err(error) if is_of_one_connection(&error) => {}
                Err(error) => {
                    if told.is_none_or(|told| told.elapsed() >= A_LINE_EVERY) {
                        tracing::warn!(%error, "the page cannot take a connection");
                        told = Some(Instant::now());
                    }
                    tokio::time::sleep(PAUSE).await;
                }
            },
            Some(_) = answering.join_next() => {}
        }
    }
}

/// Whether only the connection that was to be taken has failed.
fn is_of_one_connection(error: &io::Error) -> bool {
    use io::ErrorKind::{ConnectionAborted, ConnectionRefused, ConnectionReset};
    matches!(error.kind(), ConnectionAborted | ConnectionRefused | ConnectionReset)
}

/// A connection among the others; it is gone when this is dropped.
struct Presence {
    crowd: Arc<Mutex<Crowd>>,
    number: u64,
    leave: Arc<Notify>,
    look_again: Duration,
}

impl Presence {
    fn of(crowd: &Arc<Mutex<Crowd>>, address: IpAddr, look_again: Duration) -> Option<Self> {
        let (number, leave) = locked(crowd).admit(address, Instant::now())?;
        Some(Self { crowd: Arc::clone(crowd), number, leave, look_again })
    }

    /// Waits until it has been idle for too long.
    async fn overstays(&self) {
        loop {
            let until = locked(&self.crowd).may_stay_until(self.number);
            match until {
                Some(until) if until <= Instant::now() => return,
                Some(until) => tokio::time::sleep_until(until.into()).await,
                // While it is answered it is looked at again and again, more often than anybody may be idle.
                None => tokio::time::sleep(self.look_again).await,
            }
        }
    }
}

impl Drop for Presence {
    fn drop(&mut self) {
        locked(&self.crowd).remove(self.number);
    }
}

/// Every step leaves a crowd whole, so one that panicked meanwhile has spoilt nothing.
fn locked(crowd: &Mutex<Crowd>) -> MutexGuard<'_, Crowd> {
    crowd.lock().unwrap_or_else(PoisonError::into_inner)
}

async fn attend(stream: TcpStream, router: Router, presence: Presence) {
    let (crowd, number) = (&presence.crowd, presence.number);
    let service = service_fn(|request: Request<Incoming>| {
        locked(crowd).begin_answer(number);
        let mut router = router.clone();
        async move {
            let answer = router.call(request).await;
            locked(crowd).end_answer(number, Instant::now());
            answer
        }
    });
    let connection = http1::Builder::new()
        .max_buf_size(HEAD_BYTES)
        // Idle times are kept here, as one clock for head, answer and the time between.
        .header_read_timeout(None)
        .serve_connection(TokioIo::new(stream), service);
    tokio::select! {
        // A connection that breaks is no error of the page.
        _ = connection => {}
        () = presence.leave.notified() => {}
        () = presence.overstays() => {}
    }
}
