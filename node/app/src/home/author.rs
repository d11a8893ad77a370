//! The keys of a home's author: the one that signs now, and those before it, which are kept.
//!
//! A new key takes the place of the old one in steps, and the home has a usable key after each of them:
//! 1. the new key lies in `next.key`;
//! 2. the record that tells of the change is kept in the journal (none for a key that nothing links to the old one);
//! 3. the old key lies in a file named after it;
//! 4. `next.key` is renamed to `author.key`.
//!
//! Whoever opens the home after a crash behind step 2 goes on with step 3; before that the old key stays.

use std::fs;
use std::path::{Path, PathBuf};

use propagule_protocol::{AuthorKey, SecretKey};

use super::{Home, keys};
use propagule_files::fault::Fault;

/// Digits of a public key that name the file of its secret half.
const NAME_DIGITS: usize = 16;

/// All author keys of a home.
#[derive(Clone, Debug)]
pub struct AuthorKeys {
    current: SecretKey,
    former: Vec<SecretKey>,
}

impl AuthorKeys {
    pub(super) fn read(home: &Path) -> Result<Self, Fault> {
        let current = keys::read_author(&keys::author_path(home))?;
        let mut former = Vec::new();
        for path in former_paths(home)? {
            former.push(keys::read_author(&path)?);
        }
        // A crash between the last two steps leaves the key that still signs among the former ones.
        former.retain(|key| key.author() != current.author());
        Ok(Self { current, former })
    }

    /// The key that signs what is published first from now on.
    pub fn current(&self) -> &SecretKey {
        &self.current
    }

    /// All keys, the current one first.
    pub fn all(&self) -> impl Iterator<Item = &SecretKey> {
        std::iter::once(&self.current).chain(&self.former)
    }

    /// Public halves of all keys, the current one first.
    pub fn public(&self) -> Vec<AuthorKey> {
        self.all().map(SecretKey::author).collect()
    }

    /// The secret half of one of them.
    pub fn secret_of(&self, key: &AuthorKey) -> Option<&SecretKey> {
        self.all().find(|secret| secret.author() == *key)
    }
}

impl Home {
    /// The key that has been made to follow, if there is one.
    ///
    /// # Errors
    /// When its file cannot be read.
    pub fn next_key(&self) -> Result<Option<SecretKey>, Fault> {
        let path = next_path(&self.path);
        if path.exists() { keys::read_author(&path).map(Some) } else { Ok(None) }
    }

    /// The key that has been made to follow, made now where there is none.
    ///
    /// # Errors
    /// When its file cannot be written.
    pub fn make_next_key(&self) -> Result<SecretKey, Fault> {
        if let Some(key) = self.next_key()? {
            return Ok(key);
        }
        let key = SecretKey::generate().map_err(|e| keys::no_random_numbers(&e))?;
        keys::write_new(&next_path(&self.path), &key.to_bytes())?;
        Ok(key)
    }

    /// Keeps the current key under a name of its own and puts the next one in its place.
    ///
    /// # Errors
    /// When the files cannot be written; then the current key stays.
    pub fn switch_to_next_key(&self) -> Result<AuthorKeys, Fault> {
        let author = keys::author_path(&self.path);
        let old = keys::read_author(&author)?;
        keys::write_new(&former_path(&self.path, &old.author()), &old.to_bytes())?;
        keys::rename(&next_path(&self.path), &author)?;
        self.author_keys()
    }
}

fn next_path(home: &Path) -> PathBuf {
    home.join("keys").join("next.key")
}

fn former_path(home: &Path, key: &AuthorKey) -> PathBuf {
    home.join("keys").join(format!("former-{}.key", &key.to_string()[..NAME_DIGITS]))
}

/// Files of former keys, in the order of their names.
fn former_paths(home: &Path) -> Result<Vec<PathBuf>, Fault> {
    let folder = home.join("keys");
    let failed = |e| Fault::file("read", &folder, e);
    let mut paths = Vec::new();
    for entry in fs::read_dir(&folder).map_err(failed)? {
        let path = entry.map_err(failed)?.path();
        let has_name =
            path.file_name().and_then(|name| name.to_str()).is_some_and(|n| n.starts_with("former-"));
        if has_name && path.extension().is_some_and(|ending| ending == "key") {
            paths.push(path);
        }
    }
    paths.sort();
    Ok(paths)
}
