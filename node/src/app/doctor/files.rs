//! The files of a home, looked at without opening it.

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};

use super::machine::{clock, program, shown, socket};
use super::{Check, Finding};
use crate::home::{Home, home_flag};
use propagule_files::clock::Clock;
use propagule_files::fault::Fault;

/// Everything that can be said of the home at `path` from outside, and the home where it can be read.
pub fn at_rest(path: &Path, now: Clock) -> (Vec<Finding>, Option<Home>) {
    let mut findings = vec![program(), clock(now, None)];
    let home = match Home::open(path) {
        Ok(home) => home,
        Err(_) if !Home::exists(path) => {
            let says = format!("there is no home at {}", path.display());
            findings.push(Finding::problem(Check::Home, says, format!("propagule{} init", home_flag(path))));
            return (findings, None);
        }
        Err(failure) => {
            findings.push(Finding::failed(Check::Home, &failure));
            return (findings, None);
        }
    };
    findings.extend([folder(&home), settings(&home), keys(&home), socket(&home)]);
    (findings, Some(home))
}

/// The permission bits of a file; none where there is no such file.
pub(super) fn mode_of(path: &Path) -> Option<u32> {
    fs::metadata(path).ok().map(|found| found.permissions().mode() & 0o777)
}

/// A file or folder that others may use, with the mode that it should have.
fn too_open(path: &Path, wanted: u32) -> Option<(String, String)> {
    let mode = mode_of(path).filter(|mode| mode & 0o077 != 0)?;
    let says = format!("{} is open to others (mode {mode:03o})", path.display());
    Some((says, format!("chmod {wanted:o} {}", shown(path))))
}

fn folder(home: &Home) -> Finding {
    match too_open(home.path(), 0o700) {
        Some((says, fix)) => Finding::problem(Check::Home, says, fix),
        None => Finding::ok(
            Check::Home,
            format!("{}, of the network \"{}\"", home.path().display(), home.network_name()),
        ),
    }
}

fn settings(home: &Home) -> Finding {
    let config = match home.config() {
        Ok(config) => config,
        Err(failure) => return Finding::failed(Check::Settings, &failure),
    };
    let notes: Vec<String> = config.notes().collect();
    let file = home.path().join("config.toml");
    if notes.is_empty() {
        let file = if file.exists() { file.display().to_string() } else { "all as they come".to_owned() };
        return Finding::ok(Check::Settings, file);
    }
    Finding::problem(
        Check::Settings,
        notes.join("; "),
        format!("${{EDITOR:-nano}} {}  # mend or delete that line", shown(&file)),
    )
}

fn keys(home: &Home) -> Finding {
    let folder = home.path().join("keys");
    let files = match key_files(&folder) {
        Ok(files) => files,
        Err(failure) => return Finding::failed(Check::Keys, &failure),
    };
    let open: Vec<(String, String)> = std::iter::once(too_open(&folder, 0o700))
        .chain(files.iter().map(|file| too_open(file, 0o600)))
        .flatten()
        .collect();
    if !open.is_empty() {
        let (says, fixes): (Vec<_>, Vec<_>) = open.into_iter().unzip();
        return Finding::problem(Check::Keys, says.join("; "), fixes.join(" && "));
    }
    let read = home.author_keys().and_then(|keys| home.network_key().map(|_| keys.all().count()));
    match read {
        Err(failure) => Finding::failed(Check::Keys, &failure),
        Ok(1) => Finding::ok(Check::Keys, "one that signs and one of the node, closed to others"),
        Ok(author) => Finding::ok(
            Check::Keys,
            format!("one that signs, {} before it, and one of the node, closed to others", author - 1),
        ),
    }
}

fn key_files(folder: &Path) -> Result<Vec<PathBuf>, Fault> {
    let listed = fs::read_dir(folder).map_err(|e| Fault::file("list", folder, e))?;
    let mut files: Vec<PathBuf> = listed.flatten().map(|entry| entry.path()).collect();
    files.retain(|path| path.extension().is_some_and(|ending| ending == "key"));
    files.sort();
    Ok(files)
}
