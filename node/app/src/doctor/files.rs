//! The files of a home, looked at without opening it.

use std::fs;
use std::path::{Path, PathBuf};

use super::machine::{clock, program, socket};
use super::{Check, Finding, Fix, FixCommand, Fixes, Found};
use crate::home::{Home, UnknownSetting};
use crate::outcome::doctor::OpenFile;
use propagule_evidence::printed::Edition;
use propagule_files::clock::Clock;
use propagule_files::fault::Fault;
use propagule_files::system::mode_bits;

/// Everything that can be said of the home at `path` from outside, and the home where it can be read.
pub fn at_rest(path: &Path, now: Clock) -> (Vec<Finding>, Option<Home>) {
    let mut findings = vec![program(), clock(now, None)];
    let home = match Home::open(path) {
        Ok(home) => home,
        Err(_) if !Home::exists(path) => {
            let found = Found::NoHome { path: path.display().to_string() };
            findings.push(Finding::problem(Check::Home, found, Fixes::of(path).by(FixCommand::Init)));
            return (findings, None);
        }
        Err(failure) => {
            findings.push(Finding::failed(Check::Home, &failure));
            return (findings, None);
        }
    };
    findings.extend([folder(&home), settings(&home), keys(&home), socket(&home), printed(&home)]);
    (findings, Some(home))
}

/// A file or folder, where others may use it.
pub(super) fn too_open(path: &Path, wanted: u32) -> Option<OpenFile> {
    let mode = mode_bits(path).filter(|mode| mode & 0o077 != 0)?;
    Some(OpenFile { path: path.display().to_string(), mode, wanted })
}

/// Files that others may use are a problem.
fn open_to_others(check: Check, files: Vec<OpenFile>) -> Finding {
    Finding::problem(check, Found::OpenToOthers { files: files.clone() }, Fix::Close { files })
}

fn folder(home: &Home) -> Finding {
    match too_open(home.path(), 0o700) {
        Some(open) => open_to_others(Check::Home, vec![open]),
        None => Finding::ok(
            Check::Home,
            Found::Home { path: home.path().display().to_string(), network: home.network_name().to_owned() },
        ),
    }
}

fn settings(home: &Home) -> Finding {
    let config = match home.config() {
        Ok(config) => config,
        Err(failure) => return Finding::failed(Check::Settings, &failure),
    };
    let settings: Vec<UnknownSetting> = config.unknown_settings().collect();
    let path = home.path().join("config.toml");
    let file = path.display().to_string();
    if !settings.is_empty() {
        return Finding::problem(Check::Settings, Found::UnknownSettings { settings }, Fix::Edit { file });
    }
    Finding::ok(Check::Settings, if path.exists() { Found::Settings { file } } else { Found::UsualSettings })
}

/// Trials in print: which are built in, and what is wrong with tables of the home.
fn printed(home: &Home) -> Finding {
    let trials = crate::printed::of_home(home.path());
    let arms = trials.arms().len();
    let Some(first) = trials.unused().first() else {
        let Edition { version, date, sha256 } = Edition::shipped();
        let sources = trials.sources().count();
        let found = Found::Printed { version, date: date.to_owned(), sha256, arms, sources };
        return Finding::ok(Check::Printed, found);
    };
    let file = first.params.get("file").map_or("printed", String::as_str);
    let file = home.path().join(file).display().to_string();
    let faults = trials.unused().to_vec();
    Finding::problem(Check::Printed, Found::PrintedUnused { faults, arms }, Fix::Edit { file })
}

fn keys(home: &Home) -> Finding {
    let folder = home.path().join("keys");
    let files = match key_files(&folder) {
        Ok(files) => files,
        Err(failure) => return Finding::failed(Check::Keys, &failure),
    };
    let open: Vec<OpenFile> = std::iter::once(too_open(&folder, 0o700))
        .chain(files.iter().map(|file| too_open(file, 0o600)))
        .flatten()
        .collect();
    if !open.is_empty() {
        return open_to_others(Check::Keys, open);
    }
    let read = home.author_keys().and_then(|keys| home.network_key().map(|_| keys.all().count()));
    match read {
        Err(failure) => Finding::failed(Check::Keys, &failure),
        Ok(author) => Finding::ok(Check::Keys, Found::Keys { former: author.saturating_sub(1) }),
    }
}

fn key_files(folder: &Path) -> Result<Vec<PathBuf>, Fault> {
    let listed = fs::read_dir(folder).map_err(|e| Fault::file("list", folder, e))?;
    let mut files: Vec<PathBuf> = listed.flatten().map(|entry| entry.path()).collect();
    files.retain(|path| path.extension().is_some_and(|ending| ending == "key"));
    files.sort();
    Ok(files)
}
