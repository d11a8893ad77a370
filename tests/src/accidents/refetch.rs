//! Damage, repair, and a peer that holds the same records.

use anyhow::ensure;

use super::{filled, held};
use crate::grower::wait_until;

/// Damages one of two homes that hold the same, repairs it, and lets it fetch what it lost.
///
/// Returns how many records were lost, and how many are missing in the end.
///
/// # Errors
/// When the damage is not noticed, or nothing comes back.
pub fn refetch() -> anyhow::Result<(u64, u64)> {
    let ((damaged, all), (whole, _)) = (filled(300)?, filled(300)?);
    let path = damaged.home().join("records").join("records-000001.journal");
    let mut bytes = std::fs::read(&path)?;
    for part in 1..6 {
        let at = bytes.len() * part / 6;
        bytes[at] ^= 1;
    }
    std::fs::write(&path, bytes)?;
    let (code, said) = damaged.try_code(&["store", "verify"])?;
    ensure!(code == 1, "the damage was not noticed: {said}");
    let node = damaged.serve()?;
    let repaired = damaged.json(&["store", "repair"])?;
    let losses = repaired["losses"].as_array().into_iter().flatten();
    let lost: u64 = losses.map(|loss| loss["records"].as_array().map_or(0, Vec::len) as u64).sum();
    let _peer = whole.serve()?;
    whole.run(&["peers", "add", node.address()])?;
    wait_until("what was lost to come back", || Ok(damaged.count("/records")? == all.len() as u64))?;
    let (code, said) = damaged.try_code(&["store", "verify"])?;
    ensure!(code == 0, "{said}");
    let here = held(&damaged)?;
    Ok((lost, all.difference(&here).count() as u64))
}
