//! Answering other commands of the same user while a node serves.

use std::fs;
use std::path::PathBuf;
use std::sync::Arc;

use tokio::sync::Semaphore;

use super::{Call, Return, VERSION, path, receive, send};
use propagule_app as app;
use propagule_app::App;
use propagule_app::home::Home;
use propagule_files::fault::Fault;
use propagule_files::replace::make_private_folder;
use propagule_files::system::{LocalListener, LocalStream, close_to_others, is_of_this_user};

/// Commands answered at the same time.
const COMMANDS: usize = 16;

/// The bound socket; its file goes when this is dropped.
#[derive(Debug)]
pub struct Server {
    path: PathBuf,
    listener: LocalListener,
}

impl Server {
    /// Binds the socket of `home`, whose lock the caller holds: a file left there is a dead one.
    ///
    /// # Errors
    /// When the folder or the socket cannot be made.
    pub fn bind(home: &Home) -> Result<Self, Fault> {
        let path = path(home);
        if let Some(folder) = path.parent() {
            make_private_folder(folder)?;
            close_to_others(folder).map_err(|e| Fault::file("close to others", folder, e))?;
        }
        match fs::remove_file(&path) {
            Err(e) if e.kind() != std::io::ErrorKind::NotFound => {
                return Err(Fault::file("remove", &path, e));
            }
            _ => {}
        }
        let listener = LocalListener::bind(&path)
            .map_err(|e| Fault::file("make the socket", &path, e).hint_named("shorten-socket-path"))?;
        Ok(Self { path, listener })
    }

    /// Answers commands until the future is dropped.
    pub async fn run(&self, app: Arc<App>) {
        let places = Arc::new(Semaphore::new(COMMANDS));
        loop {
            let Ok(permit) = Arc::clone(&places).acquire_owned().await else { return };
            match self.listener.accept().await {
                Ok((stream, _)) => {
                    let app = Arc::clone(&app);
                    tokio::spawn(async move {
                        if let Err(error) = answer(stream, app).await {
                            tracing::debug!(%error, "a local command went away");
                        }
                        drop(permit);
                    });
                }
                Err(error) => tracing::warn!(%error, "a local command could not connect"),
            }
        }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // The next node removes what is left over.
        let _ = fs::remove_file(&self.path);
    }
}

async fn answer(mut stream: LocalStream, app: Arc<App>) -> std::io::Result<()> {
    if !is_of_this_user(&stream)? {
        tracing::warn!("a command of another user was refused");
        return Ok(());
    }
    let call: Call = receive(&mut stream).await?;
    let result = if call.version == VERSION {
        app::handle(app, call.request).await
    } else {
        Err(Fault::usage("command-of-another-version")
            .with("version", VERSION)
            .with("version_2", &call.version))
    };
    send(&mut stream, &Return { version: VERSION.to_owned(), id: call.id, result }).await
}
