//! Where other commands reach the node that serves a home.

use std::path::PathBuf;

use super::Home;
use propagule_files::hex;

/// Where the socket of a home is: the user's runtime folder, else the home itself.
pub fn socket_path(home: &Home) -> PathBuf {
    socket_path_below(home, std::env::var_os("XDG_RUNTIME_DIR").map(PathBuf::from))
}

/// Where the socket of a home is when the runtime folder is `runtime`.
pub fn socket_path_below(home: &Home, runtime: Option<PathBuf>) -> PathBuf {
    let name = hex::encode(&home.id().0);
    match runtime.filter(|folder| folder.is_absolute()) {
        Some(folder) => folder.join("propagule").join(format!("{name}.socket")),
        None => home.path().join("run").join("socket"),
    }
}
