//! Calling the node that serves a home.

use std::io::ErrorKind;
use std::path::Path;

use super::{Call, Return, VERSION, path, receive, send};
use propagule_app::home::Home;
use propagule_app::{Reply, Request};
use propagule_files::fault::Fault;
use propagule_files::system;

/// Nothing there, nobody behind it, or a path at which no socket can be made: too long, or below a file.
fn no_node_can_be_there(kind: ErrorKind) -> bool {
    use ErrorKind::{ConnectionRefused, InvalidInput, NotADirectory, NotFound};
    matches!(kind, NotFound | ConnectionRefused | InvalidInput | NotADirectory)
}

/// Asks the serving node of `home`; `None` where no node serves it.
///
/// # Errors
/// The node's own failure, or one of the connection.
pub async fn call(home: &Home, request: Request) -> Result<Option<Reply>, Fault> {
    call_at(&path(home), request).await
}

/// Asks the node behind the socket at `path`; `None` where there is none.
///
/// # Errors
/// As for [`call`].
pub async fn call_at(path: &Path, request: Request) -> Result<Option<Reply>, Fault> {
    let mut stream = match system::connect(path).await {
        Ok(stream) => stream,
        Err(e) if no_node_can_be_there(e.kind()) => return Ok(None),
        Err(e) => return Err(Fault::file("reach the running node at", path, e)),
    };
    let call = Call { version: VERSION.to_owned(), id: u64::from(std::process::id()), request };
    let answered: std::io::Result<Return> = async {
        send(&mut stream, &call).await?;
        receive(&mut stream).await
    }
    .await;
    let answer = answered.map_err(|e| Fault::environment("node-did-not-answer").because(e))?;
    if answer.version != VERSION {
        return Err(Fault::usage("node-of-another-version")
            .with("version", &answer.version)
            .with("version_2", VERSION));
    }
    answer.result.map(Some)
}
