//! Three growers with real nodes: by gossip to who is there, by exchange to who was away.

use anyhow::{Context, ensure};
use propagule_tests::Grower;
use propagule_tests::invented::SPRING;

/// What `pool` says of the one method: growers, trials, started, rooted.
fn pooled(grower: &Grower) -> anyhow::Result<[u64; 4]> {
    let answer = grower.json(&["pool", "Morus nigra"])?;
    let methods = answer["methods"].as_array().map_or(0, Vec::len);
    ensure!(methods == 1, "{answer}");
    Ok(["growers", "trials", "started", "rooted"]
        .map(|key| answer["methods"][0][key].as_u64().unwrap_or(u64::MAX)))
}

/// What `doctor` says of the peers, whatever else it finds on the machine that tests.
fn doctor_of_peers(grower: &Grower) -> anyhow::Result<String> {
    let output = grower.command(&["doctor", "--json"]).output()?;
    let answer: serde_json::Value = serde_json::from_slice(&output.stdout)?;
    let checks = answer["checks"].as_array().context("a list")?;
    let peers = checks.iter().find(|one| one["check"] == "peers").context("a check of the peers")?;
    ensure!(peers["state"] == "ok", "{peers}");
    Ok(peers["says"].as_str().context("words")?.to_owned())
}

#[test]
fn a_published_trial_reaches_who_is_there_and_who_was_away() -> anyhow::Result<()> {
    let (alba, bruno, cleo) = (Grower::with_trial()?, Grower::new()?, Grower::new()?);
    let alba_node = alba.serve()?;
    let bruno_node = bruno.serve()?;
    bruno.run(&["peers", "add", alba_node.address()])?;
    propagule_tests::grower::wait_until("the nodes to meet", || {
        let peers = alba.json(&["peers", "list"])?;
        Ok(peers["running"]["peers"][0]["is_in_step"] == true)
    })?;

    ensure!(
        doctor_of_peers(&alba)?.contains("connected to 1 now, last exchanged 2"),
        "Bruno came by himself"
    );

    alba.run(&["publish", "M1", "--yes", "--now"])?;
    bruno.wait_for("/counts/by_gossip", 1)?;
    ensure!(bruno.count("/counts/by_exchange")? == 0, "gossip was the faster way");
    ensure!(pooled(&bruno)? == [1, 1, 24, 0]);

    // Cleo was away; the invite of Bruno is all that Cleo has.
    let invite = bruno.json(&["peers", "invite"])?["invite"].as_str().unwrap_or_default().to_owned();
    cleo.run(&["peers", "add", &invite])?;
    let cleo_node = cleo.serve()?;
    cleo.wait_for("/counts/by_exchange", 1)?;
    ensure!(pooled(&cleo)? == [1, 1, 24, 0]);

    // A spring revision is the same trial.
    let table = alba.write("spring.csv", SPRING)?;
    alba.run(&["trial", "import", &table, "--yes"])?;
    let revised = alba.json(&["publish", "M1", "--yes", "--now"])?;
    ensure!(revised["revision"] == 1, "{revised}");
    for grower in [&bruno, &cleo] {
        grower.wait_for("/records", 2)?;
        ensure!(pooled(grower)? == [1, 1, 24, 0], "one trial, whose lift count stands");
        let spring = grower.json(&["pool", "Morus nigra", "--stage", "spring"])?;
        ensure!(spring["methods"][0]["rooted"] == 3 && spring["methods"][0]["trials"] == 1, "{spring}");
    }

    // Everything is there after a restart.
    ensure!(cleo_node.stop()?, "the node ends well on Ctrl-C");
    ensure!(pooled(&cleo)? == [1, 1, 24, 0], "without a running node too");
    let _again = cleo.serve()?;
    ensure!(cleo.count("/records")? == 2);
    drop((alba_node, bruno_node));
    Ok(())
}

#[test]
fn publishing_alone_waits_in_the_outbox() -> anyhow::Result<()> {
    let (alba, bruno) = (Grower::with_trial()?, Grower::new()?);
    alba.run(&["publish", "M1", "--yes", "--now"])?;
    ensure!(alba.count("/outbox")? == 1);
    let alba_node = alba.serve()?;
    ensure!(alba.count("/outbox")? == 1, "there is nobody to hand it to");
    let _bruno_node = bruno.serve()?;
    bruno.run(&["peers", "add", alba_node.address()])?;
    bruno.wait_for("/records", 1)?;
    propagule_tests::grower::wait_until("the outbox to empty", || Ok(alba.count("/outbox")? == 0))
}

#[test]
fn a_bundle_carries_what_no_connection_does() -> anyhow::Result<()> {
    let (alba, bruno) = (Grower::with_trial()?, Grower::new()?);
    alba.run(&["publish", "M1", "--yes", "--now"])?;
    let path = alba.desk().join("records.bundle").display().to_string();
    alba.run(&["bundle", "out", &path])?;
    let (code, message) = alba.fail(&["bundle", "out", &path])?;
    ensure!(code == 2 && message.contains("never overwritten"), "{message}");
    let _node = bruno.serve()?;
    let taken = bruno.json(&["bundle", "in", &path])?;
    ensure!(taken["new"] == 1, "{taken}");
    let again = bruno.json(&["bundle", "in", &path])?;
    ensure!(again["new"] == 0 && again["known"] == 1, "{again}");
    ensure!(pooled(&bruno)? == [1, 1, 24, 0]);
    Ok(())
}
