//! Key files: 32 bytes as hex, readable by their owner only, each written whole or not at all.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use propagule_protocol::SecretKey;
use zeroize::Zeroizing;

use propagule_files::fault::Fault;
use propagule_files::hex;
use propagule_files::system::{create_private, open_to_others, sync_folder};
use propagule_network::net::NetworkKey;

pub(super) fn author_path(home: &Path) -> PathBuf {
    home.join("keys").join("author.key")
}

fn network_path(home: &Path) -> PathBuf {
    home.join("keys").join("network.key")
}

/// Makes both keys where they are missing.
pub(super) fn create(home: &Path) -> Result<(), Fault> {
    let author = SecretKey::generate().map_err(|e| no_random_numbers(&e))?;
    write_new(&author_path(home), &author.to_bytes())?;
    let mut network = Zeroizing::new([0; 32]);
    getrandom::fill(&mut *network).map_err(|e| no_random_numbers(&e))?;
    write_new(&network_path(home), &network)
}

/// Puts a given author key in place, unless there is one.
pub(super) fn put_author(home: &Path, author: &SecretKey) -> Result<(), Fault> {
    write_new(&author_path(home), &author.to_bytes())
}

pub(super) fn read_author(path: &Path) -> Result<SecretKey, Fault> {
    read(path).map(|bytes| SecretKey::from_bytes(&bytes))
}

pub(super) fn read_network(home: &Path) -> Result<NetworkKey, Fault> {
    read(&network_path(home))
}

pub(super) fn write_new(path: &Path, key: &[u8; 32]) -> Result<(), Fault> {
    if path.exists() {
        return Ok(());
    }
    let text = Zeroizing::new(hex::encode(key));
    let beside = path.with_extension("part");
    // What an interrupted run left there may have any mode.
    let removed = match fs::remove_file(&beside) {
        Err(e) if e.kind() != io::ErrorKind::NotFound => Err(e),
        _ => Ok(()),
    };
    let opened = removed.and_then(|()| create_private(&beside));
    let written = opened.and_then(|mut file| {
        file.write_all(text.as_bytes())?;
        file.sync_all()
    });
    written.map_err(|e| Fault::file("write", &beside, e))?;
    rename(&beside, path)
}

/// Gives a key file another name, replacing the file there; it has the one or the other name, whatever happens.
pub(super) fn rename(from: &Path, to: &Path) -> Result<(), Fault> {
    let folder = to.parent().expect("keys lie in a folder");
    let renamed = fs::rename(from, to).and_then(|()| sync_folder(folder));
    renamed.map_err(|e| Fault::file("write", to, e))
}

fn read(path: &Path) -> Result<Zeroizing<[u8; 32]>, Fault> {
    let open = open_to_others(path).map_err(|e| match e.kind() {
        io::ErrorKind::NotFound => Fault::usage("key-file-missing").with("path", path.display()),
        _ => Fault::file("read", path, e),
    })?;
    if let Some(mode) = open {
        return Err(Fault::usage("key-file-readable-by-others")
            .with("path", path.display())
            .with("mode", mode));
    }
    let text = Zeroizing::new(fs::read_to_string(path).map_err(|e| Fault::file("read", path, e))?);
    parse(text.trim()).ok_or_else(|| Fault::usage("key-file-damaged").with("path", path.display()))
}

fn parse(text: &str) -> Option<Zeroizing<[u8; 32]>> {
    let bytes = Zeroizing::new(hex::decode(text)?);
    let key: [u8; 32] = bytes.as_slice().try_into().ok()?;
    Some(Zeroizing::new(key))
}

pub(super) fn no_random_numbers(why: &impl std::fmt::Display) -> Fault {
    Fault::environment("no-random-key").because(why)
}
