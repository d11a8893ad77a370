//! Computers of other growers, and how this one is reached.

use jiff::Timestamp;
use propagule_network::net::PeerStatus;
use propagule_network::spread::Entry;

use crate::words::counted;
use crate::words::time::ago;

/// The heading of a way in.
pub const CONNECT: &str = "Connect to a grower";
/// What is pasted.
pub const INVITE_OR_ADDRESS: &str = "Their invite";
/// How it comes here.
pub const INVITE_HELP: &str = "The line of text they sent you, or an address";
/// The button.
pub const ADD: &str = "Connect";
/// Leads to an invite of one's own.
pub const MAKE_INVITE: &str = "Invite a grower";
/// The title of an invite.
pub const INVITE: &str = "An invite";
/// What is done with it.
pub const SEND_IT: &str = "Send this to a grower you know. It names the addresses of this computer in the network, and nothing of your bench.";
/// The picture of it.
pub const INVITE_PICTURE: &str = "QR code of the invite";
/// The heading of what others can reach.
pub const REACHED: &str = "How others reach you";
/// Where nobody is connected.
pub const NOBODY: &str = "No computer is connected.";

/// Computers that are connected.
pub fn connected(count: usize) -> String {
    format!("Connected now: {count}")
}

/// The last letters of a computer's name: the first are the same for all.
pub fn short(peer: &str) -> String {
    let letters: Vec<char> = peer.chars().collect();
    letters[letters.len().saturating_sub(8)..].iter().collect()
}

/// How exchange with one of them goes, with the time of the last one as `told`.
pub fn exchange(peer: &PeerStatus, told: impl Fn(&str) -> String) -> String {
    let last = match &peer.last_exchange {
        Some(last) => format!("last exchanged {}", told(last)),
        None => "connected, not exchanged yet".to_owned(),
    };
    let step = if peer.is_in_step { ", nothing left to fetch" } else { "" };
    let way = if peer.is_relayed { ", by a relay" } else { "" };
    format!("{last}{step}{way}")
}

/// Computers that are kept out.
pub fn kept_out(count: usize) -> String {
    let are = counted(count, "computer is", "computers are");
    format!("{are} kept out for a while: what they sent could not be right.")
}

/// Addresses that are known.
pub fn book(count: usize) -> String {
    format!("Addresses known: {count}")
}

/// Addresses of this computer.
pub fn own(count: usize) -> String {
    format!("Addresses of this computer: {count}")
}

/// When a computer was met last, and how often it was not.
pub fn met(entry: &Entry, now: Timestamp) -> String {
    let met = entry.last_met.as_deref();
    let met = met.map_or("not met yet".to_owned(), |last| format!("last met {}", ago(last, now)));
    match entry.failures {
        0 => met,
        failed => format!("{met}; {} since without an answer", counted(failed as usize, "call", "calls")),
    }
}
