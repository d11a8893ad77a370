//! The home folder: where a grower's records, keys and settings live, owned by one process at a time.

mod archived;
mod author;
mod config;
mod keys;
mod language;
mod restoring;
mod socket_path;

use std::fs::{self};
use std::path::{Path, PathBuf};

use etcetera::BaseStrategy;
use propagule_protocol::{NetworkId, SecretKey};
use serde::{Deserialize, Serialize};

pub use archived::Archived;
pub use author::AuthorKeys;
pub use config::{Config, Pace, UnknownSetting};
pub use language::SystemLanguage;
pub use restoring::Restoring;
pub use socket_path::{socket_path, socket_path_below};

use propagule_files::fault::Fault;
use propagule_files::hex;
use propagule_files::journal::{FORMAT_VERSION, HomeId};
pub use propagule_files::lock::{Holder, HomeLock};
use propagule_files::paste::pasteable;
use propagule_files::replace::{make_private_folder, replace_file};
use propagule_network::net::NetworkKey;

/// Names the home folder instead of the default.
pub const HOME_VARIABLE: &str = "PROPAGULE_HOME";
/// The network that homes join unless told otherwise.
pub const PUBLIC_NETWORK: &str = "propagule";

/// What `home.json` says.
#[derive(Clone, Debug, Serialize, Deserialize)]
struct Identity {
    format: u16,
    home_id: String,
    network: String,
}

/// An existing home folder; whoever writes in it holds its [`HomeLock`].
#[derive(Clone, Debug)]
pub struct Home {
    path: PathBuf,
    id: HomeId,
    network_name: String,
}

impl Home {
    /// The folder to use: the one given, or of the environment, or the default of the system.
    ///
    /// # Errors
    /// When the system has no home folder for this user.
    pub fn locate(given: Option<PathBuf>) -> Result<PathBuf, Fault> {
        if let Some(path) = given.or_else(of_environment) {
            return Ok(path);
        }
        let base = etcetera::choose_base_strategy()
            .map_err(|e| Fault::environment("data-folder-unknown").because(e))?;
        Ok(base.data_dir().join("propagule"))
    }

    /// Whether there is a home at `path`.
    pub fn exists(path: &Path) -> bool {
        path.join("home.json").exists()
    }

    /// Makes a home: folders, keys, settings.
    ///
    /// # Errors
    /// When the folder cannot be written.
    pub fn create(path: &Path, network: &str, pace: Pace) -> Result<Self, Fault> {
        make_private_folder(path)?;
        make_private_folder(&path.join("keys"))?;
        keys::create(path)?;
        let SystemLanguage { dialect, country } = SystemLanguage::of_process();
        let config = Config { pace, dialect: Some(dialect), country, ..Config::default() };
        config.write_new(&path.join("config.toml"))?;
        let mut id = [0; 16];
        getrandom::fill(&mut id).map_err(|e| keys::no_random_numbers(&e))?;
        let identity =
            Identity { format: FORMAT_VERSION, home_id: hex::encode(&id), network: network.to_owned() };
        let text = serde_json::to_string_pretty(&identity).expect("plain text fields serialise");
        replace_file(&path.join("home.json"), text.as_bytes())?;
        Ok(Self { path: path.into(), id: HomeId(id), network_name: network.to_owned() })
    }

    /// Puts an author key where a home will be made, so that it becomes that author's.
    ///
    /// # Errors
    /// When the folder cannot be written.
    pub fn prepare_author(path: &Path, author: &SecretKey) -> Result<(), Fault> {
        make_private_folder(&path.join("keys"))?;
        keys::put_author(path, author)
    }

    /// Reads an existing home.
    ///
    /// # Errors
    /// When there is none, it is damaged, or a newer version wrote it.
    pub fn open(path: &Path) -> Result<Self, Fault> {
        let file = path.join("home.json");
        if !file.exists() {
            return Err(Fault::user("home-missing")
                .with("path", path.display())
                .with("path_2", home_flag(path)));
        }
        let text = fs::read_to_string(&file).map_err(|e| Fault::file("read", &file, e))?;
        check_format(path, &text)?;
        let identity: Identity = serde_json::from_str(&text)
            .map_err(|e| Fault::environment("home-file-damaged").with("file", file.display()).because(e))?;
        let id = hex::decode(&identity.home_id)
            .and_then(|bytes| bytes.try_into().ok())
            .ok_or_else(|| Fault::usage("home-id-damaged").with("file", file.display()))?;
        Ok(Self { path: path.into(), id: HomeId(id), network_name: identity.network })
    }

    /// The folder.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The random name in every segment of its journals.
    pub fn id(&self) -> HomeId {
        self.id
    }

    /// Name of the network that it belongs to.
    pub fn network_name(&self) -> &str {
        &self.network_name
    }

    /// Id of that network.
    pub fn network(&self) -> NetworkId {
        NetworkId::of(&self.network_name)
    }

    /// The settings.
    ///
    /// # Errors
    /// When `config.toml` cannot be read or understood.
    pub fn config(&self) -> Result<Config, Fault> {
        Config::read(&self.path.join("config.toml"))
    }

    /// Writes one setting of `config.toml`.
    ///
    /// # Errors
    /// When the file cannot be read or written.
    pub fn choose(&self, key: &str, value: &str) -> Result<(), Fault> {
        Config::choose(&self.path.join("config.toml"), key, value)
    }

    /// The keys that sign records. They never leave this process and are never logged.
    ///
    /// # Errors
    /// When a file is missing, damaged or readable by others.
    pub fn author_keys(&self) -> Result<AuthorKeys, Fault> {
        AuthorKeys::read(&self.path)
    }

    /// The key that other nodes know this node by, unrelated to the author key.
    ///
    /// # Errors
    /// As for the author key.
    pub fn network_key(&self) -> Result<NetworkKey, Fault> {
        keys::read_network(&self.path)
    }

    /// Path of the book of peer addresses.
    pub fn peer_book(&self) -> PathBuf {
        self.path.join("peers.json")
    }

    /// Path of the list of peers that get own records first.
    pub fn guards(&self) -> PathBuf {
        self.path.join("guards.json")
    }

    /// Path of the list of nodes that may connect; without the file all may.
    pub fn allowed_nodes(&self) -> PathBuf {
        self.path.join("allowed.json")
    }
}

/// Refuses a home of a newer version, whatever else that version writes into the file.
fn check_format(path: &Path, text: &str) -> Result<(), Fault> {
    let value: serde_json::Value = serde_json::from_str(text).unwrap_or_default();
    let Some(found) = value["format"].as_u64().filter(|found| *found > u64::from(FORMAT_VERSION)) else {
        return Ok(());
    };
    Err(Fault::usage("home-newer")
        .with("path", path.display())
        .with("found", found)
        .with("format_version", FORMAT_VERSION))
}

/// A variable that is set to nothing names no folder.
fn of_environment() -> Option<PathBuf> {
    std::env::var_os(HOME_VARIABLE).filter(|path| !path.is_empty()).map(PathBuf::from)
}

/// The folder of a home where commands have to name it; none for the one that they find by themselves.
pub fn to_be_named(path: &Path) -> Option<String> {
    let is_usual = Home::locate(None).is_ok_and(|usual| usual == path);
    (!is_usual).then(|| path.display().to_string())
}

/// The `--home` flag that hints need when the home is not the default one.
pub fn home_flag(path: &Path) -> String {
    to_be_named(path).map(|path| format!(" --home {}", pasteable(&path))).unwrap_or_default()
}
