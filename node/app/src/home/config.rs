//! Settings of a home, in `config.toml`.

use std::fs;
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::language::SystemLanguage;
use propagule_bench::locale::{Country, DateStyle, Dialect, Locale, Units};
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
    /// Trade words and spelling; where none is chosen, those of the system's language.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dialect: Option<Dialect>,
    /// Units of what is shown; where none are chosen, those that go with the dialect.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub units: Option<Units>,
    /// Order of the parts of a day; where none is chosen, that of the dialect.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date_order: Option<DateStyle>,
    /// Country by its two letters, for whom to call; where none is chosen, that of the system's language.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub country: Option<String>,
    /// A day on which the grower said that the clock was right, though it was far ahead of all that was known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clock_right: Option<String>,
    /// Settings in the file that this version does not know.
    #[serde(skip)]
    pub unknown: Vec<String>,
}

/// Settings that stand in the file only once they are chosen.
const CHOSEN_KEYS: [&str; 5] = ["dialect", "units", "date_order", "country", "clock_right"];

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
            dialect: None,
            units: None,
            date_order: None,
            country: None,
            clock_right: None,
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

    /// How the grower reads.
    pub fn locale(&self) -> Locale {
        let of_dialect = Locale::of(self.dialect.unwrap_or_else(|| SystemLanguage::of_process().dialect));
        Locale {
            dialect: of_dialect.dialect,
            units: self.units.unwrap_or(of_dialect.units),
            date_style: self.date_order.unwrap_or(of_dialect.date_style),
            country: self.country().as_deref().map(Country::of_code).unwrap_or_default(),
        }
    }

    /// The country, where one is known.
    pub fn country(&self) -> Option<String> {
        self.country.clone().or_else(|| SystemLanguage::of_process().country)
    }

    /// Writes one setting into the file, and leaves all else in it as it stands.
    pub(super) fn choose(path: &Path, key: &str, value: &str) -> Result<(), Fault> {
        let text = match fs::read_to_string(path) {
            Ok(text) => text,
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => String::new(),
            Err(e) => return Err(Fault::file("read", path, e)),
        };
        Ok(propagule_files::replace::replace_file(path, with_setting(&text, key, value).as_bytes())?)
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

/// The text of settings with one of them chosen: in its line where it has one, else before the first table or at the end.
fn with_setting(text: &str, key: &str, value: &str) -> String {
    let chosen = format!("{key} = \"{value}\"");
    let is_its_line = |line: &str| line.split_once('=').is_some_and(|(name, _)| name.trim() == key);
    let mut lines: Vec<&str> = text.lines().collect();
    let tables = lines.iter().position(|line| line.trim_start().starts_with('[')).unwrap_or(lines.len());
    match lines[..tables].iter().position(|line| is_its_line(line)) {
        Some(at) => lines[at] = &chosen,
        None => lines.insert(tables, &chosen),
    }
    lines.join("\n") + "\n"
}

fn known_keys() -> Vec<String> {
    let defaults = toml::Table::try_from(Config::default()).expect("plain settings serialise");
    defaults.keys().cloned().chain(CHOSEN_KEYS.map(str::to_owned)).collect()
}

fn unknown_keys(settings: &toml::Table) -> Vec<String> {
    let known = known_keys();
    settings.keys().filter(|key| !known.contains(key)).cloned().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_setting_is_chosen_in_its_line_and_all_else_stays() {
        let text = "# mine\npage_port = 5 # here\n\n[other]\ndialect = \"x\"\n";
        let chosen = with_setting(text, "dialect", "uk");
        assert_eq!(chosen, "# mine\npage_port = 5 # here\n\ndialect = \"uk\"\n[other]\ndialect = \"x\"\n");
        assert_eq!(with_setting(&chosen, "dialect", "au"), chosen.replace("\"uk\"", "\"au\""));
        assert_eq!(with_setting("", "units", "us"), "units = \"us\"\n");
    }

    #[test]
    fn what_is_chosen_is_read_and_known() {
        let folder = tempfile::TempDir::new().expect("a folder");
        let path = folder.path().join("config.toml");
        Config::default().write_new(&path).expect("writes");
        for (key, value) in
            [("dialect", "au"), ("units", "us"), ("date_order", "day_first"), ("country", "NZ")]
        {
            Config::choose(&path, key, value).expect("writes");
        }
        let read = Config::read(&path).expect("reads");
        let locale = Locale { units: Units::Us, country: Country::Nz, ..Locale::of(Dialect::Au) };
        assert_eq!((read.locale(), read.country().as_deref()), (locale, Some("NZ")));
        assert_eq!(read.unknown, Vec::<String>::new());
        assert_eq!(read.page_port, Config::default().page_port);
    }
}
