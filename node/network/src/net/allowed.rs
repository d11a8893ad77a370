//! The list of nodes that may connect, in `allowed.json`: with it a network is a group's own.

use std::collections::HashSet;
use std::fs;
use std::path::{Path, PathBuf};

use libp2p::{Multiaddr, PeerId};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{invite, peer_of};
use crate::limits::{ALLOWED_NAME, ALLOWED_NODES};
use propagule_files::fault::Fault;
use propagule_files::replace::replace_file;

/// A node that may connect.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Allowed {
    /// Its id on the network.
    pub peer_id: String,
    /// Whose it is, in the grower's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
}

/// The list of a home.
#[derive(Clone, Debug)]
pub struct AllowedList {
    path: PathBuf,
    nodes: Option<Vec<Allowed>>,
}

impl AllowedList {
    /// Reads the list; where there is no file, every node may connect.
    ///
    /// # Errors
    /// When the file is there and cannot be understood: letting everybody in would be the wrong way to fail.
    pub fn open(path: &Path) -> Result<Self, Fault> {
        if !path.exists() {
            return Ok(Self { path: path.into(), nodes: None });
        }
        let text = fs::read_to_string(path).map_err(|e| Fault::file("read", path, e))?;
        let damaged = |why: String| {
            Fault::environment("allowed-list-damaged").with("path", path.display()).because(why)
        };
        let nodes: Vec<Allowed> = serde_json::from_str(&text).map_err(|e| damaged(e.to_string()))?;
        if nodes.len() > ALLOWED_NODES {
            return Err(damaged(format!("it names {} nodes, and at most {ALLOWED_NODES} fit", nodes.len())));
        }
        if let Some(wrong) = nodes.iter().find(|node| node.peer_id.parse::<PeerId>().is_err()) {
            return Err(damaged(format!("\"{}\" is not the id of a node", wrong.peer_id)));
        }
        Ok(Self { path: path.into(), nodes: Some(nodes) })
    }

    /// The nodes on it; none where every node may connect.
    pub fn nodes(&self) -> Option<&[Allowed]> {
        self.nodes.as_deref()
    }

    /// The same as ids.
    pub fn peers(&self) -> Option<HashSet<PeerId>> {
        let parsed = |node: &Allowed| node.peer_id.parse().ok();
        self.nodes.as_ref().map(|nodes| nodes.iter().filter_map(parsed).collect())
    }

    /// Puts a node on the list, which begins with the first.
    ///
    /// # Errors
    /// When the name is too long, the list is full, or writing fails.
    pub fn allow(&mut self, peer: PeerId, name: &str) -> Result<(), Fault> {
        let name = name.trim();
        if name.chars().count() > ALLOWED_NAME || name.chars().any(char::is_control) {
            return Err(Fault::user("node-name-malformed")
                .with("allowed_name", ALLOWED_NAME)
                .with("peer", peer));
        }
        let nodes = self.nodes.get_or_insert_default();
        let peer_id = peer.to_string();
        match nodes.iter().position(|node| node.peer_id == peer_id) {
            Some(_) if name.is_empty() => {}
            Some(known) => name.clone_into(&mut nodes[known].name),
            None if nodes.len() >= ALLOWED_NODES => {
                return Err(Fault::user("allowed-list-full").with("allowed_nodes", ALLOWED_NODES));
            }
            None => nodes.push(Allowed { peer_id, name: name.to_owned() }),
        }
        self.save()
    }

    /// Takes a node off; says whether it was on. The list stays, even when nobody is left on it.
    ///
    /// # Errors
    /// When writing fails.
    pub fn disallow(&mut self, peer: PeerId) -> Result<bool, Fault> {
        let Some(nodes) = &mut self.nodes else { return Ok(false) };
        let before = nodes.len();
        nodes.retain(|node| node.peer_id != peer.to_string());
        let was_on = nodes.len() < before;
        self.save()?;
        Ok(was_on)
    }

    /// Does without a list: every node may connect.
    ///
    /// # Errors
    /// When the file cannot be taken away.
    pub fn allow_all(&mut self) -> Result<(), Fault> {
        if self.nodes.take().is_some() {
            fs::remove_file(&self.path).map_err(|e| Fault::file("remove", &self.path, e))?;
        }
        Ok(())
    }

    fn save(&self) -> Result<(), Fault> {
        let text = serde_json::to_string_pretty(&self.nodes).expect("plain entries serialise");
        Ok(replace_file(&self.path, text.as_bytes())?)
    }
}

/// The node that a text names: by its id, by an address, or by an invite.
///
/// # Errors
/// When it names none.
pub fn node_named(text: &str, network: &str) -> Result<PeerId, Fault> {
    if let Ok(peer) = text.trim().parse() {
        return Ok(peer);
    }
    let named: Vec<Multiaddr> = invite::read(text, network).map_err(|_| no_node(text))?;
    named.iter().find_map(peer_of).ok_or_else(|| no_node(text))
}

fn no_node(text: &str) -> Fault {
    let shown: String = text.chars().take(80).collect();
    Fault::user("node-not-named").with("shown", &shown)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder() -> tempfile::TempDir {
        tempfile::tempdir().expect("a folder")
    }

    #[test]
    fn a_list_begins_with_the_first_node_and_stays_when_the_last_is_taken_off() {
        let folder = folder();
        let path = folder.path().join("allowed.json");
        let (one, other) = (PeerId::random(), PeerId::random());
        let mut list = AllowedList::open(&path).expect("none yet");
        assert_eq!((list.peers(), list.disallow(one).expect("no list")), (None, false));
        list.allow(one, "").expect("the first");
        list.allow(one, " Bruno ").expect("a name for it");
        list.allow(other, "Cleo").expect("another");
        let read = AllowedList::open(&path).expect("written");
        assert_eq!(read.peers(), Some([one, other].into()));
        assert_eq!(read.nodes().map(|nodes| nodes[0].name.clone()), Some("Bruno".to_owned()));
        assert!(list.disallow(one).expect("on it") && list.disallow(other).expect("on it"));
        assert_eq!(AllowedList::open(&path).expect("still a list").peers(), Some(HashSet::new()));
        list.allow_all().expect("taken away");
        assert_eq!(AllowedList::open(&path).expect("gone").peers(), None);
    }

    #[test]
    fn garbage_in_the_file_lets_nobody_in_and_says_what_to_do() {
        let folder = folder();
        let path = folder.path().join("allowed.json");
        let many = format!(
            "[{}]",
            vec![format!("{{\"peer_id\":\"{}\"}}", PeerId::random()); ALLOWED_NODES + 1].join(",")
        );
        for text in ["", "everybody", "{}", "[1]", "[{\"peer_id\":\"bruno\"}]", "[{\"peer\":\"x\"}]", &many] {
            fs::write(&path, text).expect("written");
            assert_eq!(AllowedList::open(&path).expect_err("refused").code, "allowed-list-damaged");
        }
    }

    #[test]
    fn the_list_and_its_names_have_an_end() {
        let folder = folder();
        let mut list = AllowedList::open(&folder.path().join("allowed.json")).expect("none yet");
        let full: Vec<Allowed> = (0..ALLOWED_NODES)
            .map(|_| Allowed { peer_id: PeerId::random().to_string(), name: String::new() })
            .collect();
        list.nodes = Some(full);
        assert!(list.allow(PeerId::random(), "").expect_err("full").code == "allowed-list-full");
        list.nodes = None;
        assert!(list.allow(PeerId::random(), &"n".repeat(ALLOWED_NAME + 1)).is_err());
        assert!(list.allow(PeerId::random(), "two\nlines").is_err());
        assert!(list.allow(PeerId::random(), &"n".repeat(ALLOWED_NAME)).is_ok());
    }

    #[test]
    fn a_node_is_named_by_id_address_or_invite() {
        let peer = PeerId::random();
        let address = format!("/ip4/203.0.113.7/tcp/48620/p2p/{peer}");
        let invite = invite::write("propagule", std::slice::from_ref(&address));
        for text in [peer.to_string(), address, invite] {
            assert_eq!(node_named(&text, "propagule").expect("a node"), peer, "{text}");
        }
        for text in
            ["", "bruno", "/ip4/203.0.113.7/tcp/1", "propagule-invite/1,elsewhere,/ip4/203.0.113.7/tcp/1"]
        {
            assert!(node_named(text, "propagule").is_err(), "{text}");
        }
    }
}
