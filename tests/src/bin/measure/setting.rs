//! On what, when and with what was measured.

use std::process::Command;

use anyhow::Context;
use propagule_files::clock::Clock;

/// Day, commit, machine and versions in one line.
pub(crate) fn line() -> anyhow::Result<String> {
    let processor = std::fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
    let model = processor.lines().find_map(|line| line.strip_prefix("model name")?.split_once(": "));
    let model = model.map_or("processor not known", |(_, model)| model);
    let cores = std::thread::available_parallelism()?;
    let load = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    let load = load.split(' ').next().unwrap_or("not known");
    let (commit, rustc) =
        (said("git", &["describe", "--always", "--dirty"])?, said("rustc", &["--version"])?);
    let (today, version) = (Clock::System.today(), env!("CARGO_PKG_VERSION"));
    Ok(format!(
        "{today}, version {version}, commit {commit}, {rustc}; {cores} × {model}, load {load} when it began"
    ))
}

fn said(program: &str, arguments: &[&str]) -> anyhow::Result<String> {
    let output = Command::new(program).current_dir(env!("CARGO_MANIFEST_DIR")).args(arguments).output();
    let output = output.with_context(|| format!("{program} does not start"))?;
    Ok(String::from_utf8_lossy(&output.stdout).trim().to_owned())
}
