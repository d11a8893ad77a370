//! Publishing without being seen: hidden until it has come round, and nobody's log ties key to address.

use anyhow::{Context, ensure};
use propagule_network::bundle::Writer;
use propagule_protocol::{Month, SecretKey};
use propagule_tests::Grower;
use propagule_tests::grower::wait_until;
use propagule_tests::invented::{GREEN_NOT_ROOTED, network, record_in};

fn with_trial(grower: Grower) -> anyhow::Result<Grower> {
    grower.run(&["place", "--zone", "8b", "--hemisphere", "north"])?;
    let table = grower.write("season.csv", GREEN_NOT_ROOTED)?;
    grower.run(&["trial", "import", &table, "--yes"])?;
    Ok(grower)
}

/// Records in a bundle that the grower writes now.
fn bundled(grower: &Grower, name: &str) -> anyhow::Result<u64> {
    let path = grower.desk().join(name).display().to_string();
    grower.json(&["bundle", "out", &path])?["records"].as_u64().context("it counts records")
}

fn pooled_started(grower: &Grower) -> anyhow::Result<u64> {
    let answer = grower.json(&["pool", "Morus nigra"])?;
    answer["methods"][0]["started"].as_u64().context("it has a method")
}

/// What others have signed tells a home that rested for years, or a program that is old, that the clock is right; or wrong.
#[test]
fn results_of_three_others_say_whether_a_clock_far_ahead_is_right() -> anyhow::Result<()> {
    let grower = with_trial(Grower::new()?)?;
    let path = grower.desk().join("others.bundle");
    let published = |clock: &str| -> anyhow::Result<(bool, String)> {
        let mut command = grower.command(&["publish", "M1", "--yes", "--now"]);
        let output = command.env("PROPAGULE_CLOCK", clock).output()?;
        Ok((output.status.success(), String::from_utf8_lossy(&output.stderr).into_owned()))
    };
    let take_in = |month: Month, authors: std::ops::Range<u64>| -> anyhow::Result<()> {
        let mut writer = Writer::new(std::fs::File::create(&path)?, network())?;
        for author in authors {
            let series = author + 100 * u64::from(month.year());
            writer.add(&record_in(month, author, series, 3).bytes)?;
        }
        writer.finish()?;
        let words = ["bundle", "in", &path.display().to_string()];
        let output = grower.command(&words).env("PROPAGULE_CLOCK", "2066-11-20T12:00:00Z").output()?;
        ensure!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        Ok(())
    };
    let month = |year, month| Month::new(year, month).context("a month");
    take_in(month(2026, 10)?, 1..4)?;
    let (went, said) = published("2066-11-28T12:00:00Z")?;
    ensure!(!went && said.contains("newest results of others are of 2026-10"), "{said}");
    // Two keys could be one liar's.
    take_in(month(2066, 10)?, 1..3)?;
    ensure!(!published("2066-11-28T12:00:00Z")?.0);
    take_in(month(2066, 9)?, 3..4)?;
    ensure!(!published("2066-12-01T12:00:00Z")?.0, "two months and more behind");
    let (went, said) = published("2066-11-28T12:00:00Z")?;
    ensure!(went, "{said}");
    Ok(())
}

#[test]
fn a_waiting_record_shows_in_own_answers_only_until_it_is_hurried() -> anyhow::Result<()> {
    let (alba, bruno) = (with_trial(Grower::at_pace("home")?)?, Grower::new()?);
    let alba_node = alba.serve()?;
    let _bruno_node = bruno.serve()?;
    bruno.run(&["peers", "add", alba_node.address()])?;
    let said = alba.run(&["publish", "M1", "--yes"])?;
    ensure!(said.contains("within 48 hours"), "{said}");
    ensure!(pooled_started(&alba)? == 24, "own answers have it");
    ensure!(alba.count("/records")? == 0 && alba.count("/hidden")? == 1);
    ensure!(bundled(&alba, "before.bundle")? == 0, "no bundle has it");
    wait_until("a whole exchange after publishing", || {
        let peers = bruno.json(&["peers", "list"])?;
        Ok(peers["running"]["peers"][0]["is_in_step"] == true)
    })?;
    ensure!(bruno.count("/records")? == 0, "no exchange has it");
    // It stays hidden over a restart, and --now ends the wait.
    ensure!(alba_node.stop()?);
    let alba_node = alba.serve()?;
    ensure!(alba.count("/hidden")? == 1);
    bruno.run(&["peers", "add", alba_node.address()])?;
    let said = alba.run(&["publish", "M1", "--yes", "--now"])?;
    ensure!(said.contains("leaves at once now"), "{said}");
    bruno.wait_for("/records", 1)?;
    ensure!(bundled(&alba, "after.bundle")? == 1);
    Ok(())
}

#[test]
fn a_record_travels_by_stem_and_no_log_ties_its_author_to_an_address() -> anyhow::Result<()> {
    const NODES: usize = 5;
    let growers: Vec<Grower> = (0..NODES).map(|_| Grower::new()).collect::<anyhow::Result<_>>()?;
    let growers: Vec<Grower> = growers.into_iter().map(with_trial).collect::<anyhow::Result<_>>()?;
    let nodes = growers.iter().map(Grower::serve_logging_all).collect::<anyhow::Result<Vec<_>>>()?;
    for (i, grower) in growers.iter().enumerate() {
        grower.run(&["peers", "add", nodes[(i + 1) % NODES].address()])?;
        grower.run(&["peers", "add", nodes[(i + 2) % NODES].address()])?;
    }
    for grower in &growers {
        wait_until("two peers or more", || {
            let peers = grower.json(&["peers", "list"])?;
            Ok(peers["running"]["peers"].as_array().is_some_and(|peers| peers.len() >= 2))
        })?;
    }
    growers[0].run(&["publish", "M1", "--yes"])?;
    for grower in &growers {
        grower.wait_for("/records", 1)?;
    }
    wait_until("the outbox to empty", || Ok(growers[0].count("/outbox")? == 0))?;
    let author = {
        let text = std::fs::read_to_string(growers[0].home().join("keys").join("author.key"))?;
        SecretKey::from_bytes(&hex(text.trim())?).author().to_string()
    };
    for grower in &growers {
        let log = std::fs::read_to_string(grower.node_log())?;
        ensure!(log.lines().count() > 100, "everything was logged");
        ensure!(!log.contains(&author), "an author key stands in a log");
    }
    Ok(())
}

fn hex(text: &str) -> anyhow::Result<[u8; 32]> {
    let bytes: Result<Vec<u8>, _> =
        (0..text.len() / 2).map(|i| u8::from_str_radix(&text[2 * i..2 * i + 2], 16)).collect();
    bytes?.try_into().map_err(|_| anyhow::anyhow!("a key has 32 bytes"))
}
