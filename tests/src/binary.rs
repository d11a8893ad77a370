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
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let target = folder.parent().context("a profile folder lies in a target folder")?;
    let status = Command::new(cargo)
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
