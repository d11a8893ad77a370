//! A home of the first version opens in this one; a newer home is left alone and says why.

use std::fs::{self, OpenOptions};
use std::path::{Path, PathBuf};

use anyhow::{Context, ensure};
use propagule_tests::Grower;
use serde_json::Value;

/// The spring after the home was made.
const NOW: &str = "2027-05-02T12:00:00Z";
/// Size up to which the index library fills its file with zeros.
const INDEX_BYTES: u64 = 524_287;
/// The trial of the home in spring: what is added is a revision.
const SPRING: &str = "\
trial,species,started,started_on,arm,spring_on,spring_alive,spring_rooted,spring_dead,spring_lost
M1,Morus nigra,24,2026-06-05,A,2027-04-20,5,3,19,0
M1,Morus nigra,24,2026-06-05,B,2027-04-20,2,1,22,0
";

fn kept() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures").join("home-1")
}

fn upgraded() -> anyhow::Result<Grower> {
    let grower = Grower::with_copy_of(&kept())?;
    OpenOptions::new().write(true).open(grower.home().join("index/1/db"))?.set_len(INDEX_BYTES)?;
    Ok(grower)
}

/// Runs a command in that spring; what it printed, and its exit code with what it complained of.
fn run(grower: &Grower, words: &[&str]) -> anyhow::Result<(String, i32, String)> {
    let output = grower.command(words).env("PROPAGULE_CLOCK", NOW).output()?;
    let code = output.status.code().context("it ended by itself")?;
    Ok((String::from_utf8(output.stdout)?, code, String::from_utf8(output.stderr)?))
}

fn json(grower: &Grower, words: &[&str]) -> anyhow::Result<Value> {
    let (out, code, err) = run(grower, &[words, &["--json"]].concat())?;
    ensure!(code == 0, "{words:?}: {err}");
    Ok(serde_json::from_str(&out)?)
}

/// Every file of a home but its lock, with what it holds.
fn files(folder: &Path) -> anyhow::Result<Vec<(PathBuf, Vec<u8>)>> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            found.extend(files(&path)?);
        } else if path.file_stem().is_some_and(|name| name != "lock") {
            found.push((path.clone(), fs::read(&path)?));
        }
    }
    found.sort();
    Ok(found)
}

#[test]
fn all_records_and_the_trial_are_there_and_all_is_well() -> anyhow::Result<()> {
    let grower = upgraded()?;
    let verified = json(&grower, &["store", "verify"])?;
    ensure!(verified["is_sound"] == true && verified["is_complete"] == true, "{verified:#}");
    ensure!(verified["records"]["records"] == 2 && verified["bench"]["frames"] == 2, "{verified:#}");
    // The ports of the settings may be in use on the machine that tests.
    let (out, ..) = run(&grower, &["doctor", "--full", "--json"])?;
    let doctor: Value = serde_json::from_str(&out)?;
    let checks = doctor["checks"].as_array().context("a list")?;
    let unwell: Vec<_> =
        checks.iter().filter(|one| one["state"] != "ok" && one["check"] != "listen").collect();
    ensure!(checks.len() == 15 && unwell.is_empty(), "{unwell:#?}");
    let shown = json(&grower, &["trial", "show", "M1"])?;
    ensure!(shown.to_string().contains("IBA powder 3000 mg/kg"), "{shown:#}");
    let pooled = json(&grower, &["pool", "Morus nigra"])?;
    let method = &pooled["methods"][0];
    ensure!(method["started"] == 72 && method["growers"] == 2, "48 own pieces and 24 of another: {method:#}");
    Ok(())
}

#[test]
fn its_trial_is_revised_and_stays_one_trial() -> anyhow::Result<()> {
    let grower = upgraded()?;
    let table = grower.write("spring.csv", SPRING)?;
    let (_, code, err) = run(&grower, &["trial", "import", &table, "--yes"])?;
    ensure!(code == 0, "{err}");
    let (out, code, err) = run(&grower, &["publish", "M1", "--yes", "--now"])?;
    ensure!(code == 0 && out.contains("update 1"), "{out} {err}");
    let spring = json(&grower, &["pool", "Morus nigra", "--stage", "spring"])?;
    ensure!(spring["methods"][0]["started"] == 48, "{spring:#}");
    let verified = json(&grower, &["store", "verify"])?;
    ensure!(verified["records"]["records"] == 3 && verified["is_sound"] == true, "{verified:#}");
    Ok(())
}

/// What the home says of its format.
fn format(grower: &Grower) -> anyhow::Result<Value> {
    let identity: Value = serde_json::from_str(&fs::read_to_string(grower.home().join("home.json"))?)?;
    Ok(identity["format"].clone())
}

/// Segments of both journals.
fn segments(grower: &Grower) -> anyhow::Result<Vec<(PathBuf, Vec<u8>)>> {
    let all = files(&grower.home())?;
    Ok(all.into_iter().filter(|(path, _)| path.extension().is_some_and(|e| e == "journal")).collect())
}

const RAISED: &str = "your data folder is now of format 2; older programs cannot open it";

#[test]
fn reading_leaves_the_format_and_the_first_writing_command_raises_it_once() -> anyhow::Result<()> {
    let grower = upgraded()?;
    let before = segments(&grower)?;
    for words in [
        &["trial", "list"][..],
        &["trial", "show", "M1"],
        &["pool", "Morus nigra"],
        &["due"],
        &["publish", "M1"],
        &["doctor"],
        &["store", "verify"],
    ] {
        let (_, _, err) = run(&grower, words)?;
        ensure!(!err.contains(RAISED), "{words:?}: {err}");
        ensure!(format(&grower)? == 1, "{words:?} raised the format");
    }
    ensure!(segments(&grower)? == before, "reading wrote in a journal");
    let (_, code, err) = run(&grower, &["note", "M1", "seen", "--on", "2027-04-21"])?;
    ensure!(code == 0 && err.matches(RAISED).count() == 1, "{err}");
    ensure!(format(&grower)? == 2);
    // An older program looks at home.json and at every header before it writes: what it began is as it left it.
    let after = segments(&grower)?;
    ensure!(before.iter().all(|segment| after.contains(segment)), "an old segment was written on");
    let new: Vec<_> = after.iter().filter(|segment| !before.contains(segment)).collect();
    ensure!(new.len() == 1 && new[0].1[8..10] == [0, 2], "one new segment, of format 2");
    let (_, code, err) = run(&grower, &["note", "M1", "seen again", "--on", "2027-04-22"])?;
    ensure!(code == 0 && !err.contains(RAISED), "{err}");
    ensure!(segments(&grower)?.len() == after.len(), "it is written on");
    let (out, code, err) = run(&grower, &["publish", "M1", "--yes", "--now"])?;
    ensure!(code == 0 && !err.contains(RAISED), "{out} {err}");
    let verified = json(&grower, &["store", "verify"])?;
    ensure!(verified["is_sound"] == true && verified["bench"]["frames"] == 4, "{verified:#}");
    Ok(())
}

#[test]
fn a_new_home_is_of_the_new_format() -> anyhow::Result<()> {
    let grower = Grower::new()?;
    ensure!(format(&grower)? == 2);
    Ok(())
}

/// A way in which a newer version may have written the home, and what is said then.
struct Newer {
    file: &'static str,
    change: fn(&[u8]) -> Vec<u8>,
    says: &'static str,
}

/// Bytes 8 and 9 of a segment are its format.
fn newer_segment(bytes: &[u8]) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    bytes[9] += 2;
    bytes
}

fn newer_home(bytes: &[u8]) -> Vec<u8> {
    String::from_utf8_lossy(bytes).replace("\"format\": 1", "\"format\": 3").into_bytes()
}

#[test]
fn a_newer_home_is_refused_with_words_and_nothing_in_it_changes() -> anyhow::Result<()> {
    for Newer { file, change, says } in [
        Newer {
            file: "home.json",
            change: newer_home,
            says: "has format 3; this version knows formats up to 2",
        },
        Newer { file: "records/records-000001.journal", change: newer_segment, says: "has store format 3" },
        Newer { file: "bench/bench-000001.journal", change: newer_segment, says: "has store format 3" },
    ] {
        let grower = upgraded()?;
        let path = grower.home().join(file);
        fs::write(&path, change(&fs::read(&path)?))?;
        let before = files(&grower.home())?;
        for words in [&["trial", "list"][..], &["serve"], &["store", "repair"], &["publish", "M1", "--yes"]] {
            let (_, code, err) = run(&grower, words)?;
            ensure!(code == 2 && err.contains(says), "{file}: {words:?}: {err}");
            ensure!(err.contains("hint: use the newer version of propagule that wrote it"), "{err}");
        }
        let (out, code, _) = run(&grower, &["doctor"])?;
        let lines: Vec<&str> = out.split_whitespace().collect();
        ensure!(code == 1 && lines.join(" ").contains(says), "{out}");
        ensure!(before == files(&grower.home())?, "{file}: something was written");
    }
    Ok(())
}

#[test]
fn a_setting_of_a_newer_version_is_left_alone_and_named() -> anyhow::Result<()> {
    let grower = upgraded()?;
    let config = grower.home().join("config.toml");
    let text = format!("{}\nsomething_new = 3\n", fs::read_to_string(&config)?);
    fs::write(&config, &text)?;
    let (out, code, err) = run(&grower, &["trial", "list"])?;
    ensure!(code == 0 && out.contains("M1") && err.contains("no setting \"something_new\""), "{out} {err}");
    ensure!(fs::read_to_string(&config)? == text);
    Ok(())
}
