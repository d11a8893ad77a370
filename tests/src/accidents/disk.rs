//! A disk that is full: files that may not grow beyond a limit, so that a write fails in the middle.

use anyhow::ensure;

use super::{Tally, feed, held};
use crate::Grower;

/// Lets nodes run into limits of their files' sizes, and looks for what they had acknowledged.
///
/// The limit is the shell's, in blocks of 512 bytes; the signal that comes with it is ignored, so that writing
/// fails as on a full disk.
///
/// # Errors
/// When a node does not start, or does not say what was in the way.
pub async fn full_disk() -> anyhow::Result<Tally> {
    let grower = Grower::new()?;
    // The index first takes its place, which the limits below leave it.
    drop(grower.serve()?);
    let (mut acknowledged, mut next, mut accidents) = (Vec::new(), 0, 0);
    for blocks in [1_100, 1_203, 1_307, 1_450] {
        let node = grower.serve_limited(blocks)?;
        acknowledged.extend(feed(&grower, &mut next).await);
        accidents += 1;
        drop(node);
        // With room again everything acknowledged is there, and more fits.
        let (code, said) = grower.try_code(&["store", "verify"])?;
        ensure!(code == 0, "after a limit of {blocks} blocks: {said}");
    }
    let held = held(&grower)?;
    let lost = acknowledged.iter().filter(|id| !held.contains(id)).count() as u64;
    Ok(Tally { accidents, acknowledged: acknowledged.len() as u64, lost, ..Tally::default() })
}
