//! What the workspace is built from: licences, layers, and how much of it there is.

use std::collections::BTreeSet;
use std::process::Command;

use anyhow::ensure;

/// Licences that may stand beside Apache-2.0 in a binary that is handed on.
const LICENCES: [&str; 10] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "CC0-1.0",
    "ISC",
    "MIT",
    "Unicode-3.0",
    "Zlib",
];
/// Packages in the lock file; raise it on purpose, in the commit that needs it.
const LOCKED_PACKAGES: usize = 463;
/// Libraries that only the node, and the stories that misbehave towards it, may use.
const NODE_ONLY: [&str; 4] = ["axum", "libp2p", "sled", "tokio"];

/// Name and licence of everything that `package` is built from, itself included.
fn built_from(package: &str) -> anyhow::Result<BTreeSet<(String, String)>> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let output = Command::new(cargo)
        .current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/.."))
        .args(["tree", "--locked", "--package", package, "--edges", "normal,build", "--prefix", "none"])
        .args(["--no-dedupe", "--format", "{p}|{l}"])
        .output()?;
    ensure!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let lines = String::from_utf8(output.stdout)?;
    let rows = lines.lines().filter_map(|line| line.split_once('|')).map(|(package, licence)| {
        (package.split(' ').next().unwrap_or_default().to_owned(), licence.to_owned())
    });
    Ok(rows.collect())
}

/// Whether one of the alternatives of an SPDX expression is allowed.
fn is_allowed(expression: &str) -> bool {
    let plain = expression.replace(['(', ')'], " ").replace('/', " OR ");
    plain.split(" OR ").any(|choice| choice.split(" AND ").all(|part| LICENCES.contains(&part.trim())))
}

#[test]
fn every_licence_may_be_handed_on() -> anyhow::Result<()> {
    let all = built_from("propagule-node")?;
    ensure!(all.len() > 100, "the list is whole");
    let refused: Vec<_> = all.iter().filter(|(_, licence)| !is_allowed(licence)).collect();
    ensure!(refused.is_empty(), "{refused:?}");
    Ok(())
}

#[test]
fn protocol_and_analysis_know_nothing_of_network_store_and_tasks() -> anyhow::Result<()> {
    for layer in ["propagule-protocol", "propagule-analysis"] {
        let all = built_from(layer)?;
        let used: Vec<_> = all.iter().filter(|(name, _)| NODE_ONLY.contains(&name.as_str())).collect();
        ensure!(used.is_empty(), "{layer} is built from {used:?}");
    }
    Ok(())
}

#[test]
fn the_lock_file_does_not_grow_unnoticed() -> anyhow::Result<()> {
    let lock = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../Cargo.lock"))?;
    let packages = lock.lines().filter(|line| *line == "[[package]]").count();
    ensure!(packages <= LOCKED_PACKAGES, "{packages} packages, the limit is {LOCKED_PACKAGES}");
    Ok(())
}
