//! A peer that sends what no node may take in: refused, counted, and the node goes on.

use anyhow::ensure;
use propagule_tests::hostile::Hostile;
use propagule_tests::invented::{network, record};
use propagule_tests::{Grower, Node};
use tokio::task::spawn_blocking;

/// The same record with the first length written one byte longer than needed.
fn non_canonical_twin() -> Vec<u8> {
    let bytes = record(1, 1, 3).bytes;
    assert_eq!(bytes[0], 0x84, "an array of four");
    [&[0x98, 0x04], &bytes[1..]].concat()
}

/// The same record with one bit of its signature flipped.
fn wrong_signature() -> Vec<u8> {
    let mut bytes = record(1, 1, 3).bytes;
    if let Some(last) = bytes.last_mut() {
        *last ^= 1;
    }
    bytes
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn garbage_forgeries_twins_and_giants_are_refused_and_counted() -> anyhow::Result<()> {
    let grower = Grower::new()?;
    let node = grower.serve()?;
    let mut hostile = Hostile::connect(node.address(), network()).await?;
    hostile.gossip(vec![0xFF; 300])?;
    hostile.gossip(wrong_signature())?;
    hostile.gossip(non_canonical_twin())?;
    hostile.gossip(vec![0x84; 4_300])?;
    // The true record comes last, from the same neighbour: forged copies do not keep it out.
    hostile.gossip(record(1, 1, 3).bytes)?;
    let watched = spawn_blocking(move || -> anyhow::Result<(Grower, Node)> {
        grower.wait_for("/counts/by_gossip", 1)?;
        for (reason, count) in [("not canonical", 2), ("bad signature", 1), ("oversized", 1)] {
            grower.wait_for(&format!("/counts/refused/{reason}"), count)?;
        }
        ensure!(grower.count("/records")? == 1, "only the true record was taken in");
        Ok((grower, node))
    });
    let (grower, node) = tokio::select! {
        watched = watched => watched??,
        () = hostile.keep_going() => anyhow::bail!("a peer has no end"),
    };
    // The node goes on: it answers, and a fifth offence blocks the peer.
    hostile.gossip(vec![0xFE; 300])?;
    let watched = spawn_blocking(move || {
        grower.wait_for("/running/blocked", 1)?;
        let pooled = grower.json(&["pool", "Morus nigra"])?;
        ensure!(pooled["methods"][0]["started"] == 24, "{pooled}");
        node.stop()
    });
    let ended_well = tokio::select! {
        watched = watched => watched??,
        () = hostile.keep_going() => anyhow::bail!("a peer has no end"),
    };
    ensure!(ended_well);
    Ok(())
}
