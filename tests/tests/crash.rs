//! Accidents to a home, fewer than the program `crash` makes: what was acknowledged is there, or named.
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use anyhow::ensure;
use propagule_tests::accidents::{Tally, bench_kills, cuts, flips, full_disk, kills, refetch};

fn check(what: &str, tally: Tally) -> anyhow::Result<()> {
    println!("{what}: {tally}");
    ensure!(tally.is_good(), "{what}: {tally}");
    Ok(())
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn no_acknowledged_entry_of_the_bench_is_lost_in_twenty_kills() -> anyhow::Result<()> {
    check("kills while entries are typed", bench_kills(20, 20_261_126).await?)
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn no_acknowledged_record_is_lost_in_thirty_kills() -> anyhow::Result<()> {
    check("kills while records come in", kills(30, 20_261_125).await?)
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn no_acknowledged_record_is_lost_on_a_full_disk() -> anyhow::Result<()> {
    check("full disk", full_disk().await?)
}

#[test]
fn every_cut_and_every_flip_is_named() -> anyhow::Result<()> {
    check("cuts", cuts()?)?;
    check("flips", flips(24, 20_261_127)?)
}

#[test]
fn what_was_lost_is_fetched_from_a_peer_again() -> anyhow::Result<()> {
    let (lost, missing) = refetch()?;
    ensure!(lost > 0 && missing == 0, "{lost} lost, {missing} missing");
    Ok(())
}
