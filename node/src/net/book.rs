//! The address book: whom to dial, kept in `peers.json`.

use std::fs;
use std::path::{Path, PathBuf};

use libp2p::multiaddr::Protocol;
use libp2p::{Multiaddr, PeerId};
use serde::{Deserialize, Serialize};

use super::limits::BOOK_ADDRESSES;
use crate::error::Failure;
use crate::home::replace_file;

/// One peer in the book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// Address with the peer's id at its end.
    pub address: String,
    /// When it was last connected, as an RFC 3339 timestamp.
    pub last_met: Option<String>,
    /// Dials since then that failed.
    pub failures: u32,
}

/// Addresses of peers, added by the grower or by invite.
#[derive(Debug, Default)]
pub struct Book {
    path: PathBuf,
    entries: Vec<Entry>,
}

impl Book {
    /// Reads the book, empty where there is none.
    ///
    /// # Errors
    /// When the file cannot be read or understood.
    pub fn open(path: &Path) -> Result<Self, Failure> {
        if !path.exists() {
            return Ok(Self { path: path.into(), entries: Vec::new() });
        }
        let text = fs::read_to_string(path).map_err(|e| Failure::file("read", path, e))?;
        let entries = serde_json::from_str(&text).map_err(|e| {
            Failure::environment(format!("the peer book {} is damaged", path.display()), e)
                .hint("move it away and add your peers again: propagule peers add ADDRESS")
        })?;
        Ok(Self { path: path.into(), entries })
    }

    /// The entries, in the order added.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// Peers and addresses to dial.
    pub fn dialable(&self) -> Vec<(PeerId, Multiaddr)> {
        let parsed = self.entries.iter().filter_map(|entry| entry.address.parse::<Multiaddr>().ok());
        parsed.filter_map(|address| peer_of(&address).map(|peer| (peer, address))).collect()
    }

    /// Adds an address; says whether it is new.
    ///
    /// # Errors
    /// When the address lacks a peer id, the book is full, or writing fails.
    pub fn add(&mut self, address: &Multiaddr) -> Result<bool, Failure> {
        check_names_peer(address)?;
        let text = address.to_string();
        if self.entries.iter().any(|entry| entry.address == text) {
            return Ok(false);
        }
        if self.entries.len() >= BOOK_ADDRESSES {
            return Err(Failure::expected(format!("the peer book is full ({BOOK_ADDRESSES} addresses)"))
                .hint(format!("take some out of {}", self.path.display())));
        }
        self.entries.push(Entry { address: text, last_met: None, failures: 0 });
        self.save()?;
        Ok(true)
    }

    /// Notes that a peer was reached.
    ///
    /// # Errors
    /// When writing fails.
    pub fn met(&mut self, peer: PeerId, when: String) -> Result<(), Failure> {
        let Some(entry) = self.entry_of(peer) else { return Ok(()) };
        *entry = Entry { last_met: Some(when), failures: 0, address: std::mem::take(&mut entry.address) };
        self.save()
    }

    /// Counts a failed dial; not worth a write of its own.
    pub fn failed(&mut self, peer: PeerId) {
        if let Some(entry) = self.entry_of(peer) {
            entry.failures += 1;
        }
    }

    fn entry_of(&mut self, peer: PeerId) -> Option<&mut Entry> {
        self.entries.iter_mut().find(|entry| {
            entry.address.parse::<Multiaddr>().ok().and_then(|address| peer_of(&address)) == Some(peer)
        })
    }

    fn save(&self) -> Result<(), Failure> {
        let text = serde_json::to_string_pretty(&self.entries).expect("plain entries serialise");
        replace_file(&self.path, text.as_bytes())
    }
}

/// Refuses an address that does not say which peer is behind it.
///
/// # Errors
/// When it does not end in a peer id.
pub fn check_names_peer(address: &Multiaddr) -> Result<(), Failure> {
    if peer_of(address).is_some() {
        return Ok(());
    }
    Err(Failure::expected(format!("the address {address} does not name a peer"))
        .hint("it must end in /p2p/ID; on the other machine: propagule peers invite"))
}

/// The peer that an address ends in.
pub fn peer_of(address: &Multiaddr) -> Option<PeerId> {
    match address.iter().last() {
        Some(Protocol::P2p(peer)) => Some(peer),
        _ => None,
    }
}
