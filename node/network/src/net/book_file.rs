//! The address book in `peers.json`.

use std::fs;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};

use libp2p::multiaddr::Protocol;
use libp2p::{Multiaddr, PeerId};

use super::address::{Range, Reach, ip_of, relay_of, without_peer};
use crate::limits::BOOK_ADDRESSES;
use crate::spread;
use crate::spread::{Dice, Entry, GroupNumber, Origin};
use crate::timing::Timing;
use propagule_files::clock::Moment;
use propagule_files::fault::Fault;
use propagule_files::replace::replace_file;

/// Addresses of peers, kept in a file.
#[derive(Debug)]
pub struct Book {
    path: Option<PathBuf>,
    book: spread::Book<PeerId>,
}

/// The group of a public address, and of one behind a relay the relay's.
fn group_of(address: &str) -> Option<GroupNumber> {
    let address: Multiaddr = address.parse().ok()?;
    let mut hasher = DefaultHasher::new();
    match relay_of(&address) {
        Some(relay) => relay.hash(&mut hasher),
        None => ip_of(&address).filter(|ip| Reach::of(*ip) == Reach::World).map(Range::of)?.hash(&mut hasher),
    }
    Some(hasher.finish())
}

impl Book {
    /// Reads the book, empty where there is none.
    ///
    /// # Errors
    /// When the file cannot be read or understood.
    pub fn open(path: &Path) -> Result<Self, Fault> {
        if !path.exists() {
            return Ok(Self { path: Some(path.into()), ..Self::in_memory() });
        }
        let text = fs::read_to_string(path).map_err(|e| Fault::file("read", path, e))?;
        let entries: Vec<Entry> = serde_json::from_str(&text)
            .map_err(|e| Fault::environment("peer-book-damaged").with("path", path.display()).because(e))?;
        let named = entries.into_iter().filter_map(|entry| Some((peer_named(&entry.address)?, entry)));
        Ok(Self { path: Some(path.into()), book: spread::Book::grouped(group_of).load(named) })
    }

    /// A book that is kept nowhere, for nodes that live in memory.
    pub fn in_memory() -> Self {
        Self { path: None, book: spread::Book::grouped(group_of) }
    }

    /// The entries, in the order added.
    pub fn entries(&self) -> &[Entry] {
        self.book.entries()
    }

    /// Whether the grower added the peer.
    pub fn is_growers(&self, peer: &PeerId) -> bool {
        self.book.is_growers(*peer)
    }

    /// Whether there is no room for what peers tell of.
    pub fn is_full(&self) -> bool {
        self.book.is_full()
    }

    /// Adds an address that the grower gave; says whether it is new.
    ///
    /// # Errors
    /// When the address lacks a peer id, the book is full, or writing fails.
    pub fn add(&mut self, address: &Multiaddr) -> Result<bool, Fault> {
        check_names_peer(address)?;
        let peer = peer_of(address).expect("an address that was checked names a peer");
        let Some(is_new) = self.book.add(peer, &address.to_string(), Origin::Grower) else {
            return Err(Fault::user("peer-book-full").with("book_addresses", BOOK_ADDRESSES));
        };
        if is_new {
            self.save()?;
        }
        Ok(is_new)
    }

    /// Adds addresses that a peer told of, as far as there is room; not worth a write of its own.
    pub fn told<'a>(&mut self, by: PeerId, own: PeerId, addresses: impl Iterator<Item = &'a String>) {
        let by = by.to_string();
        for text in addresses {
            let Some(peer) = peer_named(text).filter(|peer| *peer != own) else { continue };
            self.book.add(peer, text, Origin::Told(&by));
        }
    }

    /// Notes that a peer is connected, at the address dialled where it was.
    ///
    /// # Errors
    /// When writing fails.
    pub fn met(&mut self, peer: PeerId, dialled: Option<&Multiaddr>, when: &str) -> Result<(), Fault> {
        let dialled =
            dialled.map(|address| without_peer(address.clone()).with(Protocol::P2p(peer)).to_string());
        self.book.met(peer, dialled.as_deref(), when);
        self.save()
    }

    /// Peers to be connected with while they can be reached, beyond those that are sought.
    pub fn seek(&mut self, guards: Vec<PeerId>) {
        self.book.seek(guards);
    }

    /// Lets every peer be dialled now.
    pub fn hurry(&mut self) {
        self.book.hurry();
    }

    /// Counts a failed dial; not worth a write of its own.
    pub fn failed(&mut self, peer: PeerId) {
        self.book.failed(peer);
    }

    /// Whom to dial now.
    pub fn due(
        &mut self,
        now: Moment,
        timing: &Timing,
        connected: impl IntoIterator<Item = (PeerId, bool)>,
        dice: &mut dyn Dice,
    ) -> Vec<(PeerId, Multiaddr)> {
        let due = self.book.due(now, timing, connected, dice);
        due.into_iter().filter_map(|(peer, text)| Some((peer, text.parse().ok()?))).collect()
    }

    /// Addresses to tell a peer of.
    pub fn tell(&self, may_tell: impl Fn(&PeerId, &str) -> bool, dice: &mut dyn Dice) -> Vec<String> {
        self.book.tell(may_tell, dice)
    }

    fn save(&self) -> Result<(), Fault> {
        let Some(path) = &self.path else { return Ok(()) };
        let text = serde_json::to_string_pretty(self.book.entries()).expect("plain entries serialise");
        Ok(replace_file(path, text.as_bytes())?)
    }
}

/// Refuses an address that does not say which peer is behind it.
///
/// # Errors
/// When it does not end in a peer id.
pub fn check_names_peer(address: &Multiaddr) -> Result<(), Fault> {
    if peer_of(address).is_some() {
        return Ok(());
    }
    Err(Fault::user("address-without-peer").with("address", address))
}

/// The peer that an address ends in.
pub fn peer_of(address: &Multiaddr) -> Option<PeerId> {
    match address.iter().last() {
        Some(Protocol::P2p(peer)) => Some(peer),
        _ => None,
    }
}

fn peer_named(text: &str) -> Option<PeerId> {
    text.parse().ok().and_then(|address| peer_of(&address))
}
