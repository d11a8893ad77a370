//! A disk that is full: files that may not grow beyond a limit, so that a write fails in the middle.

use std::path::Path;

use anyhow::ensure;

use super::{Tally, feed, filled, held};

/// Lets nodes run into limits of their files' sizes, and looks for what they had acknowledged.
///
/// The limit is the shell's, in blocks of 512 bytes; the signal that comes with it is ignored, so that writing
/// fails as on a full disk.
///
/// # Errors
/// When a node does not start, or does not say what was in the way.
pub async fn full_disk() -> anyhow::Result<Tally> {
    let (grower, all) = filled(5_000)?;
    let (mut acknowledged, mut next, mut accidents) = (Vec::from_iter(all), 1_000_000, 0);
    // The index grows by steps of half a megabyte, the journal record by record: either may meet the limit first.
    for more in [20_011, 200_003, 600_007, 1_200_013] {
        let size = largest_file(&grower.home())?;
        // A node for whose index there is no room says so and does not start: that loses nothing either.
        if let Ok(node) = grower.serve_limited((size + more).div_ceil(512)) {
            acknowledged.extend(feed(&grower, &mut next).await);
            drop(node);
        }
        accidents += 1;
        // With room again everything acknowledged is there, and more fits.
        let (code, said) = grower.try_code(&["store", "verify"])?;
        ensure!(code == 0, "with {more} bytes of room: {said}");
    }
    ensure!(next > 1_000_000, "no node could start with a full disk");
    let held = held(&grower)?;
    let lost = acknowledged.iter().filter(|id| !held.contains(id)).count() as u64;
    Ok(Tally { accidents, acknowledged: acknowledged.len() as u64, lost, ..Tally::default() })
}

/// Bytes of the largest file below a folder.
fn largest_file(folder: &Path) -> anyhow::Result<u64> {
    let mut largest = 0;
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        let kind = entry.file_type()?;
        let size = if kind.is_dir() { largest_file(&entry.path())? } else { entry.metadata()?.len() };
        largest = largest.max(size);
    }
    Ok(largest)
}
