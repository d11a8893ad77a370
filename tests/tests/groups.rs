//! Networks of a group: who is not on the list gets nothing, and records of one network never enter another.

use std::sync::Arc;

use anyhow::{Context, ensure};
use propagule_network::bundle::Writer;
use propagule_network::store::{Arrival, Records};
use propagule_network::timing::Timing;
use propagule_protocol::{NetworkId, Signed};
use propagule_tests::grower::wait_until;
use propagule_tests::hostile::Hostile;
use propagule_tests::inside::Inside;
use propagule_tests::invented::{network, record_for};
use propagule_tests::stores::Watched;
use propagule_tests::{Grower, Node};
use serde_json::Value;
use tokio::task::spawn_blocking;

fn connected(grower: &Grower) -> anyhow::Result<Vec<String>> {
    let list = grower.look(&["peers", "list"])?;
    let peers = list["running"]["peers"].as_array().context("it runs")?.clone();
    Ok(peers.iter().filter_map(|peer| peer["peer_id"].as_str().map(str::to_owned)).collect())
}

/// Waits until a grower's node has spoken with the one peer of its book, if only to be refused.
fn wait_knocked(grower: &Grower) -> anyhow::Result<()> {
    wait_until("a first connection", || {
        Ok(grower.look(&["peers", "list"])?["book"][0]["last_met"].is_string())
    })
}

fn id_of(node: &Node) -> anyhow::Result<&str> {
    node.address().rsplit('/').next().context("an address ends in the id")
}

#[test]
fn a_stranger_gets_nothing_and_who_is_taken_off_the_list_is_cut_off() -> anyhow::Result<()> {
    let (alba, bruno, cleo) = (Grower::with_trial()?, Grower::new()?, Grower::new()?);
    let (bruno_node, cleo_node) = (bruno.serve()?, cleo.serve()?);
    let said = alba.run(&["peers", "allow", id_of(&bruno_node)?, "--as", "Bruno"])?;
    ensure!(said.contains("Only the one node on the list may"), "{said}");
    let alba_node = alba.serve()?;
    for grower in [&bruno, &cleo] {
        grower.run(&["peers", "add", alba_node.address()])?;
    }
    wait_knocked(&cleo)?;
    // From inside, too, nobody else is dialled.
    alba.run(&["peers", "add", cleo_node.address()])?;
    alba.run(&["publish", "M1", "--yes", "--now"])?;
    bruno.wait_for("/records", 1)?;
    ensure!(connected(&alba)? == [id_of(&bruno_node)?], "nobody but Bruno");
    ensure!(cleo.count("/records")? == 0);

    // While the node runs: another one is let in, and then the first is put off.
    alba.run(&["peers", "allow", cleo_node.address(), "--as", "Cleo"])?;
    cleo.wait_for("/records", 1)?;
    alba.run(&["peers", "disallow", id_of(&bruno_node)?])?;
    wait_until("Bruno to be cut off", || Ok(connected(&alba)? == [id_of(&cleo_node)?]))?;
    let list = alba.json(&["peers", "list"])?;
    ensure!(
        list["allowed"][0]["name"] == "Cleo" && list["allowed"].as_array().is_some_and(|all| all.len() == 1)
    );

    // Without a list, everybody is welcome again.
    alba.run(&["peers", "allow", "--all"])?;
    wait_until("Bruno to be back", || Ok(connected(&alba)?.len() == 2))?;
    ensure!(alba.json(&["peers", "list"])?["allowed"] == Value::Null);
    Ok(())
}

#[test]
fn a_node_of_another_network_is_left_at_once() -> anyhow::Result<()> {
    let (alba, other) = (Grower::with_trial()?, Grower::of_network("elsewhere")?);
    let alba_node = alba.serve()?;
    let _other_node = other.serve()?;
    other.run(&["peers", "add", alba_node.address()])?;
    wait_knocked(&other)?;
    wait_until("the two to part", || Ok(connected(&alba)?.is_empty() && connected(&other)?.is_empty()))?;
    alba.run(&["publish", "M1", "--yes", "--now"])?;
    ensure!(other.count("/records")? == 0);
    Ok(())
}

#[test]
fn an_invite_to_another_network_is_refused() -> anyhow::Result<()> {
    let (alba, other) = (Grower::new()?, Grower::of_network("elsewhere")?);
    let _alba_node = alba.serve()?;
    let invite = alba.json(&["peers", "invite"])?;
    let (code, said) = other.fail(&["peers", "add", invite["invite"].as_str().unwrap_or_default()])?;
    ensure!(code == 1 && said.contains("the invite is to the network \"story\""), "{said}");
    Ok(())
}

/// A node that holds these records.
async fn holding(number: u64, records: &[&Signed]) -> anyhow::Result<Inside> {
    let store = Arc::new(Watched::default());
    let arrivals: Vec<Arrival> = records
        .iter()
        .map(|signed| Arrival::Accepted { signed: Box::new((*signed).clone()), own: None })
        .collect();
    store.append(&arrivals)?;
    Inside::start(number, store, Timing::quick()).await
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_record_of_another_network_enters_neither_by_gossip_nor_by_exchange_nor_by_bundle()
-> anyhow::Result<()> {
    let foreign = record_for(&NetworkId::of("elsewhere"), 1, 1, 3);
    let home = record_for(&network(), 2, 2, 5);
    let grower = Grower::new()?;
    let node = grower.serve()?;

    // By gossip, from a neighbour that is in this network.
    let mut hostile = Hostile::connect(node.address(), network()).await?;
    hostile.gossip(foreign.bytes.clone())?;
    let watched = spawn_blocking(move || -> anyhow::Result<Grower> {
        grower.wait_for("/counts/refused/bad signature", 1)?;
        Ok(grower)
    });
    let grower = tokio::select! {
        watched = watched => watched??,
        () = hostile.keep_going() => anyhow::bail!("a peer has no end"),
    };
    drop(hostile);

    // By exchange, from a node that keeps it among its own: its bytes are a record with another id here, so that it is
    // what nobody asked for.
    let liar = holding(1, &[&foreign, &home]).await?;
    let honest = holding(2, &[&home]).await?;
    let addresses = [&liar, &honest].map(|inside| inside.address.to_string());
    spawn_blocking(move || -> anyhow::Result<()> {
        grower.run(&["peers", "add", &addresses[0]])?;
        grower.wait_for("/counts/refused/not asked for", 1)?;
        ensure!(grower.count("/records")? == 0, "nothing is taken of such a reply");
        grower.run(&["peers", "add", &addresses[1]])?;
        grower.wait_for("/records", 1)?;

        // By a bundle that says it is of this network.
        let path = grower.desk().join("forged.bundle");
        let mut writer = Writer::new(std::fs::File::create(&path)?, network())?;
        writer.add(&foreign.bytes)?;
        writer.finish()?;
        let taken = grower.json(&["bundle", "in", &path.display().to_string()])?;
        ensure!(taken["new"] == 0 && grower.count("/records")? == 1, "{taken}");
        // And by one that says what it is.
        let mut writer = Writer::new(std::fs::File::create(&path)?, NetworkId::of("elsewhere"))?;
        writer.add(&foreign.bytes)?;
        writer.finish()?;
        let (code, said) = grower.fail(&["bundle", "in", &path.display().to_string()])?;
        ensure!(code == 1 && said.contains("another network"), "{code} {said}");
        Ok(())
    })
    .await??;
    drop(node);
    Ok(())
}
