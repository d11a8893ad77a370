//! How this node stands: peers, records, disk, and who trusts whom.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use crate::circle;
use crate::outcome::circle::Circle;
use crate::peers;
use crate::peers::Standing;
use crate::{App, blocking};
use propagule_files::fault::Fault;

/// Fewer growers than about this many known need no circle.
pub const KNOWN_GROWERS: usize = 20;

/// How this node stands.
#[derive(Clone, Debug)]
pub struct NetworkView {
    /// How the node stands.
    pub standing: Standing,
    /// Whose results count.
    pub circle: Circle,
    /// Growers with records here; counted up to [`KNOWN_GROWERS`].
    pub growers: usize,
    /// Bytes on disk: bench, index.
    pub disk: [u64; 2],
}

/// How this node stands.
///
/// # Errors
/// When its files cannot be read, or its network part has stopped.
pub async fn network(app: &Arc<App>) -> Result<NetworkView, Fault> {
    let standing = peers::standing(app).await?;
    blocking(app, move |app| view(app, standing)).await
}

fn view(app: &App, standing: Standing) -> Result<NetworkView, Fault> {
    let size = |folder: &str| size_of(&app.home().path().join(folder), DEEPEST);
    Ok(NetworkView {
        standing,
        circle: circle::circle(app)?,
        growers: app.store.authors_beginning("", KNOWN_GROWERS)?.len(),
        disk: ["bench", "index"].map(size),
    })
}

/// Folders within folders that are looked into.
const DEEPEST: u8 = 4;

/// Bytes of all files below a folder; what cannot be read counts as nothing.
fn size_of(folder: &Path, deepest: u8) -> u64 {
    let Ok(entries) = fs::read_dir(folder) else { return 0 };
    let sizes = entries.flatten().map(|entry| match entry.metadata() {
        Ok(data) if data.is_dir() && deepest > 0 => size_of(&entry.path(), deepest - 1),
        Ok(data) if data.is_file() => data.len(),
        _ => 0,
    });
    sizes.sum()
}
