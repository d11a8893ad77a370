//! What the workspace is built from: licences, layers, and how much of it there is.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, ensure};

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
/// Packages of others in the lock file; raise it on purpose, in the commit that needs it. Of the last 26, 16 are the reader
/// of spreadsheets with the ZIP that archives use too, 6 make the schemas of JSON, and the others are kept for the pipes of
/// Windows.
const LOCKED_PACKAGES: usize = 488;
/// Libraries that only the node, and the stories that misbehave towards it, may use.
const NODE_ONLY: [&str; 4] = ["axum", "libp2p", "sled", "tokio"];

/// The folder of the workspace.
fn workspace() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Name and licence of everything that `package` is built from with all its features, itself included.
fn built_from(package: &str) -> anyhow::Result<BTreeSet<(String, String)>> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let output = Command::new(cargo)
        .current_dir(workspace())
        .args(["tree", "--locked", "--package", package, "--edges", "normal,build", "--prefix", "none"])
        .arg("--all-features")
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
    let lock = std::fs::read_to_string(workspace().join("Cargo.lock"))?;
    // A crate of this workspace names no source.
    let packages = lock.lines().filter(|line| line.starts_with("source = ")).count();
    ensure!(packages <= LOCKED_PACKAGES, "{packages} packages, the limit is {LOCKED_PACKAGES}");
    Ok(())
}

/// Names of the crates that a manifest depends on, for programs and for tests.
fn named_in(manifest: &str) -> Vec<String> {
    let (mut is_wanted, mut names) = (false, Vec::new());
    for line in manifest.lines() {
        if let Some(section) = line.strip_prefix('[') {
            is_wanted = section.trim_end_matches(']').ends_with("dependencies");
        } else if is_wanted && line.starts_with(|c: char| c.is_ascii_alphabetic()) {
            names.extend(line.split(['.', ' ', '=']).next().map(str::to_owned));
        }
    }
    names
}

/// All Rust source below a folder, as one text.
fn source(folder: &Path) -> anyhow::Result<String> {
    let mut text = String::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        // Fuzz targets are a workspace of their own.
        if path.is_dir() && path.file_name().is_some_and(|name| name != "fuzz") {
            text += &source(&path)?;
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            text += &std::fs::read_to_string(&path)?;
        }
    }
    Ok(text)
}

/// Whether a source uses a crate: a path that begins with it, or all of it by `use`.
fn uses(source: &str, name: &str) -> bool {
    let name = name.replace('-', "_");
    let is_path = |at: usize| {
        let is_part = source[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == ':');
        let rest = &source[at + name.len()..];
        !is_part
            && (rest.starts_with("::") || (source[..at].ends_with("use ") && rest.starts_with([';', ' '])))
    };
    source.match_indices(&name).any(|(at, _)| is_path(at))
}

#[test]
fn every_dependency_is_used() -> anyhow::Result<()> {
    ensure!(uses("use a_b::c;", "a-b") && uses("x(a_b::c)", "a-b") && uses("use a_b as c;", "a-b"));
    ensure!(!uses("use xa_b::c;", "a-b") && !uses("// a_b is not", "a-b") && !uses("c::a_b::d", "a-b"));
    let mut unused = Vec::new();
    for package in ["protocol", "analysis", "node", "tests"] {
        let folder = workspace().join(package);
        let (names, text) =
            (named_in(&std::fs::read_to_string(folder.join("Cargo.toml"))?), source(&folder)?);
        ensure!(!names.is_empty() && !text.is_empty(), "{package} is read");
        unused.extend(
            names.into_iter().filter(|name| !uses(&text, name)).map(|name| format!("{package}: {name}")),
        );
    }
    ensure!(unused.is_empty(), "no source names {unused:?}");
    Ok(())
}

/// `1.95` of `rust-version = "1.95"` or of `rustc 1.95.0 (…)`.
fn minor(text: &str) -> Option<u32> {
    text.split("1.").nth(1)?.split(|c: char| !c.is_ascii_digit()).next()?.parse().ok()
}

#[test]
fn the_rust_version_is_stated_once_and_no_newer_than_what_builds_it() -> anyhow::Result<()> {
    let manifest = std::fs::read_to_string(workspace().join("Cargo.toml"))?;
    let stated = manifest.lines().find(|line| line.starts_with("rust-version = "));
    let stated = stated.and_then(minor).context("the workspace states it")?;
    let rustc = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let version = String::from_utf8(Command::new(rustc).arg("--version").output()?.stdout)?;
    let found = minor(&version).with_context(|| version.clone())?;
    ensure!(stated <= found, "1.{stated} is stated, and {version} builds it");
    for package in ["protocol", "analysis", "node", "tests"] {
        let manifest = std::fs::read_to_string(workspace().join(package).join("Cargo.toml"))?;
        ensure!(manifest.contains("rust-version.workspace = true"), "{package} states its own");
    }
    let readme = std::fs::read_to_string(workspace().join("README.md"))?;
    ensure!(readme.contains(&format!("1.{stated} or newer")), "README.md says otherwise");
    Ok(())
}

#[test]
fn the_rules_for_the_outside_tool_are_those_of_these_tests() -> anyhow::Result<()> {
    let rules = std::fs::read_to_string(workspace().join(".config/deny.toml"))?;
    let allowed =
        rules.split("allow = [").nth(1).and_then(|rest| rest.split(']').next()).context("a list")?;
    let listed: BTreeSet<&str> = allowed.split('"').skip(1).step_by(2).collect();
    ensure!(listed == BTreeSet::from(LICENCES), "licences: {listed:?}");
    Ok(())
}
