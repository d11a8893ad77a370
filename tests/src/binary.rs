//! The program under test, built by the same cargo and profile as the tests.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use anyhow::{Context, ensure};

/// Names a program to test instead of the one that is built.
const BINARY_VARIABLE: &str = "PROPAGULE_BIN";

/// Path of `propagule`; built once a process.
///
/// # Panics
/// When it cannot be built: no test can say anything then.
pub fn binary() -> &'static Path {
    static BINARY: OnceLock<PathBuf> = OnceLock::new();
    BINARY.get_or_init(|| build().expect("the program under test is built"))
}

/// Cargo, as it would be started from a shell.
///
/// What it tells the program that it runs about that program's package is left out: the build script of a
/// cryptographic library asks for it, and would be run again, with all that is built upon it, at every change.
pub fn cargo() -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    for (name, _) in std::env::vars_os() {
        let text = name.to_string_lossy();
        if text.starts_with("CARGO_PKG_") || text.starts_with("CARGO_MANIFEST_") {
            command.env_remove(name);
        }
    }
    command
}

fn build() -> anyhow::Result<PathBuf> {
    if let Some(path) = std::env::var_os(BINARY_VARIABLE) {
        return Ok(path.into());
    }
    let folder = profile_folder()?;
    let profile = match folder.file_name().and_then(|name| name.to_str()) {
        Some("debug") => "dev",
        Some(name) => name,
        None => anyhow::bail!("the test program lies in no profile folder"),
    };
    let target = folder.parent().context("a profile folder lies in a target folder")?;
    let status = cargo()
        .current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/.."))
        .args(["build", "--quiet", "--package", "propagule-node", "--bin", "propagule", "--profile", profile])
        .arg("--target-dir")
        .arg(target)
        .status()
        .context("cargo runs")?;
    ensure!(status.success(), "cargo could not build propagule");
    Ok(folder.join("propagule"))
}

/// `target/PROFILE`, which the running test program lies in or below.
fn profile_folder() -> anyhow::Result<PathBuf> {
    let own = std::env::current_exe()?;
    let folder = own.parent().context("a program lies in a folder")?;
    let is_deps = folder.file_name().is_some_and(|name| name == "deps");
    let folder = if is_deps { folder.parent().context("deps lies in a folder")? } else { folder };
    Ok(folder.to_path_buf())
}
