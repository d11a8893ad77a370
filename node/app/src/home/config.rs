//! Settings of a home, in `config.toml`.

use std::fs;
use std::path::Path;

use serde::{Deserialize, Serialize};

use propagule_files::closest;
use propagule_files::fault::Fault;
use propagule_network::net::RelayForOthers;
use propagule_network::timing::Timing;

/// How patient a node is with waiting.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Pace {
    /// For homes on a real network.
    #[default]
    Home,
    /// For nodes that meet on one machine: tests and the demo.
    Quick,
}

/// Settings; a flag of a command goes before them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Config {
    /// Addresses to listen on. Loopback only, unless the grower adds others.
    pub listen: Vec<String>,
    /// Port of the page on this machine; the next free one where it is taken.
    pub page_port: u16,
    /// How patient the node is.
    pub pace: Pace,
    /// Disk space for records, in MB.
    pub quota_mb: u64,
    /// Answers to all peers together, in KiB a second, once a burst of 64 MiB is used up.
    pub share_kib_s: u32,
    /// Whether limits per IP address leave this machine's own addresses out.
    pub loopback_exempt: bool,
    /// Whether the node announces itself in the local network and looks for others there.
    pub find_nearby: bool,
    /// Whether the node relays for others that cannot be reached: `when_reached`, `never`, `always`.
    pub relay_for_others: RelayForOthers,
    /// Settings in the file that this version does not know.
    #[serde(skip)]
    pub unknown: Vec<String>,
}

/// A setting of the file that this version does not know.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct UnknownSetting {
    /// Its name.
    pub name: String,
    /// The setting that was perhaps meant.
    pub near: Option<String>,
}

impl Default for Config {
    fn default() -> Self {
        Self {
            listen: vec!["/ip4/127.0.0.1/tcp/48620".to_owned()],
            page_port: 48_621,
            pace: Pace::Home,
            quota_mb: 2_048,
            share_kib_s: 1_024,
            loopback_exempt: true,
            find_nearby: false,
            relay_for_others: RelayForOthers::WhenReached,
            unknown: Vec::new(),
        }
    }
}

impl Config {
    /// All waiting of the node.
    pub fn timing(&self) -> Timing {
        match self.pace {
            Pace::Home => Timing::home(),
            Pace::Quick => Timing::quick(),
        }
    }

    pub(super) fn read(path: &Path) -> Result<Self, Fault> {
        if !path.exists() {
            return Ok(Self::default());
        }
        let text = fs::read_to_string(path).map_err(|e| Fault::file("read", path, e))?;
        let understood = || -> Result<Self, toml::de::Error> {
            let settings: Self = toml::from_str(&text)?;
            Ok(Self { unknown: unknown_keys(&toml::from_str(&text)?), ..settings })
        };
        understood()
            .map_err(|e| Fault::environment("settings-malformed").with("path", path.display()).because(e))
    }

    /// Disk space for records, in bytes.
    pub fn quota_bytes(&self) -> u64 {
        self.quota_mb.saturating_mul(1 << 20)
    }

    /// Settings that had no effect.
    pub fn unknown_settings(&self) -> impl Iterator<Item = UnknownSetting> {
        self.unknown.iter().map(|name| {
            let near = closest(name, known_keys().iter().map(String::as_str), 1).first().cloned();
            UnknownSetting { name: name.clone(), near }
        })
    }

    pub(super) fn write_new(&self, path: &Path) -> Result<(), Fault> {
        if path.exists() {
            return Ok(());
        }
        let settings = toml::to_string(self).expect("plain settings serialise");
        let text = format!(
            "# Settings of this home. `listen` addresses off 127.0.0.1 let other machines connect.\n{settings}"
        );
        Ok(propagule_files::replace::replace_file(path, text.as_bytes())?)
    }
}

fn known_keys() -> Vec<String> {
    let defaults = toml::Table::try_from(Config::default()).expect("plain settings serialise");
    defaults.keys().cloned().collect()
}

fn unknown_keys(settings: &toml::Table) -> Vec<String> {
    let known = known_keys();
    settings.keys().filter(|key| !known.contains(key)).cloned().collect()
}
