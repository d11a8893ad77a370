//! The records journal cut at every byte of its last frames.

use super::{Tally, copy, filled, open, settle};

/// How many bytes from the end are cut off, one more each time: the last frames.
const BYTES: usize = 900;

/// Cuts, opens, and looks at what is named.
///
/// # Errors
/// When a home cannot be copied or opened.
pub fn cuts() -> anyhow::Result<Tally> {
    let (grower, all) = filled(12)?;
    let whole = std::fs::read(grower.home().join("records").join("records-000001.journal"))?;
    let mut tally = Tally { accidents: BYTES as u64, ..Tally::default() };
    for cut in 1..=BYTES {
        let home = copy(&grower.home())?;
        std::fs::write(
            home.path().join("records").join("records-000001.journal"),
            &whole[..whole.len() - cut],
        )?;
        let (store, report) = open(home.path())?;
        let found = store.verify()?;
        tally.unnoticed +=
            u64::from(!report.damage.iter().any(|damage| damage.is_loss) || found.losses.is_empty());
        settle(&mut tally, &all, &store, &found)?;
    }
    Ok(tally)
}
