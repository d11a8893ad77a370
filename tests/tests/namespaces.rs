//! Nodes in networks of their own: in the open, behind routers, with relays that fall silent, and on the move.
//!
//! Real programs in network namespaces; skipped by name where these cannot be made.

use anyhow::{Context, ensure};
use propagule_network::bundle::Writer;
use propagule_network::limits::RELAY_CIRCUIT_BYTES;
use propagule_tests::announcements::announcement;
use propagule_tests::grower::wait_until;
use propagule_tests::invented::{network, record_of};
use propagule_tests::netns::{self, Nat, Network};
use propagule_tests::{Grower, Node};
use serde_json::Value;

const FRIEND: &str = "203.0.113.1";

/// Says that a test could not run here; under `PROPAGULE_REQUIRE_ALL=1` that is a failure.
#[expect(clippy::print_stdout, reason = "a skipped test is reported by name")]
fn skip(name: &str, missing: &str) -> anyhow::Result<()> {
    println!("skipped: namespaces {name} ({missing})");
    let is_required = std::env::var_os("PROPAGULE_REQUIRE_ALL").is_some_and(|value| value == "1");
    ensure!(!is_required, "{name} was skipped under PROPAGULE_REQUIRE_ALL=1: {missing}");
    Ok(())
}

/// Runs a test in a network with an internet, or says that it could not run here.
fn in_world(name: &str, test: impl FnOnce(&mut Network, &str) -> anyhow::Result<()>) -> anyhow::Result<()> {
    if let Some(missing) = netns::missing() {
        return skip(name, &missing);
    }
    let mut net = Network::new();
    let world = net.switch("world")?;
    test(&mut net, &world)
}

/// A grower whose node passes on what others say, and keeps no records: what arrives elsewhere came by the
/// link that is tested.
fn keeps_nothing() -> anyhow::Result<Grower> {
    let grower = Grower::new()?;
    grower.set("quota_mb", "0")?;
    Ok(grower)
}

fn invite(grower: &Grower) -> anyhow::Result<String> {
    let invite = grower.json(&["peers", "invite"])?;
    Ok(invite["invite"].as_str().context("an invite is text")?.to_owned())
}

fn running(grower: &Grower) -> anyhow::Result<Value> {
    Ok(grower.json(&["peers", "list"])?["running"].clone())
}

/// What `peers list` says, without the ends of its lines.
fn said(grower: &Grower) -> anyhow::Result<String> {
    Ok(grower.run(&["peers", "list"])?.split_whitespace().collect::<Vec<_>>().join(" "))
}

fn id_of(grower: &Grower) -> anyhow::Result<String> {
    Ok(running(grower)?["peer_id"].as_str().context("a node has an id")?.to_owned())
}

fn wait_reached(grower: &Grower, from: &str) -> anyhow::Result<()> {
    let waited = wait_until(&format!("reached_from {from}"), || Ok(running(grower)?["reached_from"] == from));
    waited.with_context(|| format!("{:#}", running(grower).unwrap_or_default()))
}

/// Waits until two nodes are connected, directly or by a relay as asked.
fn wait_linked(grower: &Grower, peer: &str, is_relayed: bool) -> anyhow::Result<()> {
    let linked = |list: &Value| {
        let peers = list["peers"].as_array().cloned().unwrap_or_default();
        peers.iter().any(|one| one["peer_id"] == peer && one["is_relayed"] == is_relayed)
    };
    let waited = wait_until(&format!("a link to {peer}"), || Ok(linked(&running(grower)?)));
    waited.with_context(|| {
        let log = std::fs::read_to_string(grower.node_log()).unwrap_or_default();
        format!("{:#}\n{log}", running(grower).unwrap_or_default())
    })
}

/// Puts records of others into a home.
fn hold(grower: &Grower, count: u64) -> anyhow::Result<()> {
    let path = grower.desk().join("others.bundle");
    let mut writer = Writer::new(std::fs::File::create(&path)?, network())?;
    for series in 0..count {
        writer.add(&record_of(series % 40, series, (series % 25) as u16).bytes)?;
    }
    writer.finish()?;
    grower.run(&["bundle", "in", &path.display().to_string()])?;
    Ok(())
}

#[test]
fn in_the_open_nodes_meet_and_learn_that_they_are_reached() -> anyhow::Result<()> {
    in_world("no NAT", |net, world| {
        let (alba, bruno) = (Grower::with_trial()?, Grower::new()?);
        let _alba_node = alba.serve_inside(&net.host("alba", FRIEND, world)?, &[])?;
        let _bruno_node = bruno.serve_inside(&net.host("bruno", "203.0.113.9", world)?, &[])?;
        bruno.run(&["peers", "add", &invite(&alba)?])?;
        for grower in [&alba, &bruno] {
            wait_reached(grower, "anywhere")?;
            let said = said(grower)?;
            ensure!(said.contains("Others reach this node from anywhere."), "{said}");
        }
        alba.run(&["publish", "M1", "--yes", "--now"])?;
        bruno.wait_for("/records", 1)
    })
}

/// Two growers behind routers and a friend in the open who relays; they know the friend alone.
struct Three {
    alba: Grower,
    bruno: Grower,
    friend: Grower,
    _nodes: [Node; 3],
}

fn behind_routers(net: &mut Network, world: &str, nat: Nat, alba: Grower) -> anyhow::Result<Three> {
    let (bruno, friend) = (Grower::new()?, keeps_nothing()?);
    let friend_node = friend.serve_inside(&net.host("friend", FRIEND, world)?, &[])?;
    let invite = invite(&friend)?;
    ensure!(invite.contains(&format!("/ip4/{FRIEND}/tcp/48620/")), "{invite}");
    let alba_node = alba.serve_inside(&net.home("alba", nat, "203.0.113.11", world)?, &[])?;
    let bruno_node = bruno.serve_inside(&net.home("bruno", nat, "203.0.113.12", world)?, &[])?;
    for grower in [&alba, &bruno] {
        grower.run(&["peers", "add", &invite])?;
    }
    wait_reached(&friend, "anywhere")?;
    for grower in [&alba, &bruno] {
        wait_reached(grower, "relay")?;
        let said = said(grower)?;
        ensure!(said.contains("through a friend's node that relays for it"), "{said}");
        ensure!(!self::invite(grower)?.contains("127.0.0.1"), "others are there");
    }
    Ok(Three { alba, bruno, friend, _nodes: [friend_node, alba_node, bruno_node] })
}

#[test]
fn behind_routers_that_keep_the_port_a_relayed_link_becomes_a_direct_one() -> anyhow::Result<()> {
    in_world("cone NAT", |net, world| {
        let Three { alba, bruno, .. } = &behind_routers(net, world, Nat::Cone, Grower::with_trial()?)?;
        bruno.run(&["peers", "add", &invite(alba)?])?;
        wait_linked(alba, &id_of(bruno)?, false)?;
        wait_linked(bruno, &id_of(alba)?, false)?;
        alba.run(&["publish", "M1", "--yes", "--now"])?;
        bruno.wait_for("/records", 1)
    })
}

#[test]
fn behind_routers_that_do_not_records_pass_in_parts_through_circuits_that_end() -> anyhow::Result<()> {
    in_world("symmetric NAT", |net, world| {
        let alba = Grower::new()?;
        hold(&alba, 2_200)?;
        let three = behind_routers(net, world, Nat::Symmetric, alba)?;
        let Three { alba, bruno, .. } = &three;
        wait_linked(bruno, &id_of(alba)?, true)?;
        bruno.wait_for("/records", 2_200)?;
        // Far more than one circuit carries, and none of it through the friend's store.
        ensure!(three.friend.count("/records")? == 0);
        let (circuits, bytes) = (three.friend.count("/running/circuits")?, bruno.count("/disk_bytes")?);
        ensure!(
            bytes / RELAY_CIRCUIT_BYTES >= 4 && circuits > bytes / RELAY_CIRCUIT_BYTES,
            "{circuits} for {bytes}"
        );
        Ok(())
    })
}

#[test]
fn when_a_relay_falls_silent_another_takes_its_place() -> anyhow::Result<()> {
    in_world("dropping relay", |net, world| {
        let (second, alba) = (keeps_nothing()?, Grower::with_trial()?);
        let second_space = net.host("second", "203.0.113.2", world)?;
        let _second_node = second.serve_inside(&second_space, &[])?;
        let three = behind_routers(net, world, Nat::Symmetric, alba)?;
        let Three { alba, bruno, .. } = &three;
        for grower in [alba, bruno] {
            grower.run(&["peers", "add", &invite(&second)?])?;
            wait_until("places at both relays", || {
                Ok(running(grower)?["relays"].as_array().is_some_and(|relays| relays.len() == 2))
            })?;
        }
        bruno.run(&["peers", "add", &invite(alba)?])?;
        wait_linked(bruno, &id_of(alba)?, true)?;
        net.fall_silent(&second_space)?;
        let silent = id_of(&second)?;
        for grower in [alba, bruno] {
            wait_until("the silent relay to be left", || {
                let running = running(grower)?;
                let names_it = |list: &Value| list.to_string().contains(&silent);
                Ok(!names_it(&running["relays"]) && !names_it(&running["peers"]))
            })?;
        }
        alba.run(&["publish", "M1", "--yes", "--now"])?;
        bruno.wait_for("/records", 1)
    })
}

#[test]
fn in_one_local_network_nodes_find_each_other_without_any_address() -> anyhow::Result<()> {
    in_world("LAN only", |net, lan| {
        let (alba, bruno, quiet) = (Grower::with_trial()?, Grower::new()?, Grower::new()?);
        let mut machine = |name: &str, address: &str| -> anyhow::Result<String> {
            let space = net.space(name)?;
            net.plug(&space, "eth0", address, lan)?;
            Ok(space)
        };
        let spaces = [
            machine("alba", "192.168.7.2/24")?,
            machine("bruno", "192.168.7.3/24")?,
            machine("quiet", "192.168.7.4/24")?,
        ];
        let _alba_node = alba.serve_inside(&spaces[0], &["--find-nearby"])?;
        bruno.set("find_nearby", "true")?;
        let _bruno_node = bruno.serve_inside(&spaces[1], &[])?;
        let _quiet_node = quiet.serve_inside(&spaces[2], &[])?;
        alba.run(&["publish", "M1", "--yes", "--now"])?;
        bruno.wait_for("/records", 1)?;
        let said = said(&alba)?;
        ensure!(said.contains("is not known yet: no node outside has tried"), "{said}");
        ensure!(invite(&alba)?.contains("/ip4/192.168.7.2/tcp/48620/"));
        ensure!(
            running(&quiet)?["peers"].as_array().is_some_and(Vec::is_empty),
            "who did not ask is not found"
        );
        Ok(())
    })
}

#[test]
fn who_floods_a_local_network_with_announcements_is_not_followed() -> anyhow::Result<()> {
    in_world("a flood", |net, lan| {
        let (alba, bruno) = (Grower::with_trial()?, Grower::new()?);
        let spaces = [net.space("alba")?, net.space("bruno")?, net.space("flood")?];
        for (number, space) in spaces.iter().enumerate() {
            net.plug(space, "eth0", &format!("192.168.7.{}/24", number + 2), lan)?;
        }
        let _alba_node = alba.serve_inside(&spaces[0], &["--find-nearby"])?;
        let bruno_node = bruno.serve_inside(&spaces[1], &["--find-nearby"])?;
        wait_linked(&alba, &id_of(&bruno)?, false)?;
        let before = bruno_node.memory_mb()?;
        let messages: Vec<Vec<u8>> = (0..60).map(|_| announcement(8)).collect();
        wait_until("the flood to be noticed", || {
            net.announce(&spaces[2], &messages)?;
            Ok(std::fs::read_to_string(bruno.node_log())?.contains("floods the local network"))
        })?;
        ensure!(bruno_node.memory_mb()? <= before + 20, "{before} MB before");
        // Who is connected stays so, and records pass.
        alba.run(&["publish", "M1", "--yes", "--now"])?;
        bruno.wait_for("/records", 1)
    })
}

#[test]
fn a_node_that_moves_to_another_local_network_goes_on_there() -> anyhow::Result<()> {
    in_world("a move", |net, first| {
        let (alba, bruno, cleo) = (Grower::with_trial()?, Grower::new()?, Grower::with_trial()?);
        let second = net.switch("second")?;
        let spaces = [net.space("alba")?, net.space("bruno")?, net.space("cleo")?];
        net.plug(&spaces[0], "eth0", "192.168.7.2/24", first)?;
        net.plug(&spaces[1], "eth0", "192.168.7.3/24", first)?;
        net.plug(&spaces[2], "eth0", "192.168.8.2/24", &second)?;
        let _alba_node = alba.serve_inside(&spaces[0], &["--find-nearby"])?;
        let _bruno_node = bruno.serve_inside(&spaces[1], &["--find-nearby"])?;
        let _cleo_node = cleo.serve_inside(&spaces[2], &["--find-nearby"])?;
        for grower in [&alba, &cleo] {
            grower.run(&["publish", "M1", "--yes", "--now"])?;
        }
        bruno.wait_for("/records", 1)?;
        net.carry(&spaces[1], "192.168.8.3/24", &second)?;
        bruno.wait_for("/records", 2)?;
        wait_linked(&bruno, &id_of(&cleo)?, false)?;
        let running = running(&bruno)?;
        let addresses = running["to_hand_out"].to_string();
        ensure!(addresses.contains("/192.168.8.3/") && !addresses.contains("/192.168.7.3/"), "{running:#}");
        ensure!(running["peers"].as_array().is_some_and(|peers| peers.len() == 1), "{running:#}");
        Ok(())
    })
}

#[test]
fn a_home_that_nobody_relays_for_says_what_would_help() -> anyhow::Result<()> {
    in_world("nobody relays", |net, world| {
        let (alba, friend) = (Grower::with_trial()?, Grower::new()?);
        friend.set("relay_for_others", "\"never\"")?;
        let _friend_node = friend.serve_inside(&net.host("friend", FRIEND, world)?, &[])?;
        let _alba_node = alba.serve_inside(&net.home("alba", Nat::Cone, "203.0.113.11", world)?, &[])?;
        alba.run(&["peers", "add", &invite(&friend)?])?;
        wait_reached(&friend, "anywhere")?;
        wait_reached(&alba, "local_network")?;
        let said = said(&alba)?;
        for help in
            ["let port 48620 (TCP) through", "peers add INVITE", "propagule bundle export results.bundle"]
        {
            ensure!(said.contains(help), "{said}");
        }
        // It exchanges all the same with whom it reaches.
        alba.run(&["publish", "M1", "--yes", "--now"])?;
        friend.wait_for("/records", 1)?;
        ensure!(running(&friend)?["is_relaying"] == false);
        Ok(())
    })
}

#[test]
fn a_port_that_the_router_lets_through_makes_a_home_reached_from_anywhere() -> anyhow::Result<()> {
    in_world("a port let through", |net, world| {
        let (alba, friend) = (Grower::new()?, Grower::new()?);
        let _friend_node = friend.serve_inside(&net.host("friend", FRIEND, world)?, &[])?;
        let space = net.home("alba", Nat::Cone, "203.0.113.11", world)?;
        net.let_through("alba", 48_620)?;
        let _alba_node = alba.serve_inside(&space, &[])?;
        alba.run(&["peers", "add", &invite(&friend)?])?;
        wait_reached(&alba, "anywhere")?;
        ensure!(invite(&alba)?.contains("/ip4/203.0.113.11/tcp/48620/"));
        Ok(())
    })
}
