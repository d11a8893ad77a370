//! Reads the body of a request, no more of it and no slower than its sender may take. Whoever has not come in may send a
//! code; a form is longer, and a table of a grower longer still.

use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use axum::body::Body;
use axum::http::{HeaderMap, StatusCode, header};
use futures::StreamExt;
use tokio::time::{Instant, timeout_at};

use super::Session;
use crate::web::problem::Turned;
use crate::web::rooms;
use propagule_files::fault::Fault;

/// A code, with its names.
const OPEN_BYTES: usize = 4 << 10;
/// Counts of the largest trial fit many times.
const FORM_BYTES: usize = 256 << 10;
/// A table to import, as a workbook coded for a form.
const FILE_BYTES: usize = 16 << 20;
/// Files that are read at a time, from all browsers.
const FILES: usize = 2;

/// How long a body may take.
#[derive(Clone, Copy, Debug)]
pub(super) struct Patience {
    /// Before it has to come at a pace.
    pub(super) start: Duration,
    /// From then on, at least.
    pub(super) bytes_a_second: u64,
    /// In all.
    pub(super) all: Duration,
}

pub(super) const PATIENCE: Patience =
    Patience { start: Duration::from_secs(5), bytes_a_second: 4 << 10, all: Duration::from_secs(30) };

/// Files that are being read, by the sessions that send them.
#[derive(Clone, Debug, Default)]
pub(in crate::web) struct Uploads(Arc<Mutex<Vec<String>>>);

/// Leave to send a file; it ends when this is dropped.
#[derive(Debug)]
pub(super) struct Upload {
    all: Uploads,
    session: String,
}

impl Uploads {
    fn begin(&self, session: &str) -> Option<Upload> {
        let mut sending = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if sending.len() >= FILES || sending.iter().any(|other| other == session) {
            return None;
        }
        sending.push(session.to_owned());
        Some(Upload { all: self.clone(), session: session.to_owned() })
    }
}

impl Drop for Upload {
    fn drop(&mut self) {
        let mut sending = self.all.0.lock().unwrap_or_else(PoisonError::into_inner);
        sending.retain(|session| *session != self.session);
    }
}

/// What a request may send.
#[derive(Debug)]
pub(super) struct Allowance {
    most: usize,
    /// Held until the request is answered.
    _upload: Option<Upload>,
}

/// What a request may send, by who sends it and where to; its length, where it states one, is judged before any of it is
/// read.
///
/// # Errors
/// When it says that it is longer, does not say how long it is and comes from somebody who has not come in, or when
/// files are being read already.
pub(super) fn allowance(
    headers: &HeaderMap,
    path: &str,
    session: Option<&Session>,
    uploads: &Uploads,
) -> Result<Allowance, Turned> {
    let takes_files = rooms::takes_files(path);
    let most = match session {
        None => OPEN_BYTES,
        Some(_) if takes_files => FILE_BYTES,
        Some(_) => FORM_BYTES,
    };
    let length =
        headers.get(header::CONTENT_LENGTH).and_then(|length| length.to_str().ok()?.parse::<u64>().ok());
    match length {
        Some(length) if length > most as u64 => return Err(too_large(most)),
        None if session.is_none() => {
            return Err(Turned::new(StatusCode::LENGTH_REQUIRED, Fault::user("page-length-not-said")));
        }
        _ => {}
    }
    let upload = match session {
        Some(session) if takes_files => Some(uploads.begin(&session.id).ok_or_else(busy)?),
        _ => None,
    };
    Ok(Allowance { most, _upload: upload })
}

/// Reads a body to its end.
///
/// # Errors
/// When it is longer than it may be, comes too slowly, or breaks off.
pub(super) async fn read(body: Body, allowance: &Allowance, patience: &Patience) -> Result<Vec<u8>, Turned> {
    let (begun, mut bytes, mut parts) = (Instant::now(), Vec::new(), body.into_data_stream());
    loop {
        let earned = Duration::from_secs(bytes.len() as u64 / patience.bytes_a_second);
        let until = begun + (patience.start + earned).min(patience.all);
        match timeout_at(until, parts.next()).await {
            Err(_) => {
                return Err(Turned::new(StatusCode::REQUEST_TIMEOUT, Fault::user("page-body-too-slow")));
            }
            Ok(None) => return Ok(bytes),
            Ok(Some(Err(_))) => {
                return Err(Turned::new(StatusCode::BAD_REQUEST, Fault::user("page-body-broken")));
            }
            Ok(Some(Ok(part))) if bytes.len() + part.len() > allowance.most => {
                return Err(too_large(allowance.most));
            }
            Ok(Some(Ok(part))) => bytes.extend_from_slice(&part),
        }
    }
}

fn too_large(most: usize) -> Turned {
    let fault = if most == FILE_BYTES {
        Fault::user("page-upload-too-large").with("_", most >> 20)
    } else {
        Fault::user("page-form-too-large").with("most", most >> 10)
    };
    Turned::new(StatusCode::PAYLOAD_TOO_LARGE, fault)
}

fn busy() -> Turned {
    Turned::new(StatusCode::SERVICE_UNAVAILABLE, Fault::user("page-reading-files"))
}
