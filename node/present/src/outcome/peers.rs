//! Peers in words.

use crate::document::{Action, Document, List, Phrase};
use propagule_files::counted::counted;
use propagule_network::net::{Allowed, NetStatus, PeerStatus};

use super::command::ending_in_command;
use super::{said, undo};
use crate::words::sharing::computers::exchange;
use propagule_app::outcome::peers::{
    AllowedChange, Invite, OnTheWay, Peers, PeersAdded, PeersAllowed, ReachLine,
};

/// What opens this node to others.
const LISTEN: &str = "propagule serve --listen /ip4/0.0.0.0/tcp/48620";

/// Addresses were added.
pub(super) fn added(added: &PeersAdded) -> Document {
    let how = if added.is_running { "dialling now" } else { "dialled when the node runs: propagule serve" };
    Document::new().say(ending_in_command(&format!("added {}; {how}", added.added.join(", "))))
}

/// Connected peers, the book, and what came in.
pub(super) fn all(peers: &Peers) -> Document {
    let counts = &peers.counts;
    let connected = match &peers.running {
        Some(status) => connected(status, peers),
        None => {
            Document::new().say(ending_in_command("The node is not running; start it with: propagule serve"))
        }
    };
    connected
        .append(peers.allowed.as_deref().map(list_of_allowed).unwrap_or_default())
        .say(format!("Address book: {}.", counted(peers.book.len(), "address", "addresses")))
        .say(format!(
            "Published results here: {}{}.",
            peers.records,
            match peers.aside {
                0 => String::new(),
                1 => "; 1 more needs a newer version of Propagule or a later month".to_owned(),
                more => format!("; {more} more need a newer version of Propagule or a later month"),
            }
        ))
        .say(format!(
            "New since the node started: {} passed on by others, {} by a detour, {} fetched, {} from bundles.",
            counts.by_gossip, counts.by_stem, counts.by_exchange, counts.by_bundle
        ))
        .when(counts.delayed > 0, |said| {
            said.say(format!("Over a sender's quota, to be fetched later: {}.", counts.delayed))
        })
        .append(disk(peers))
        .each(&counts.refused, |said, (reason, count)| said.say(format!("Refused: {count} × {reason}.")))
        .append(outbox(peers.on_the_way))
}

/// Own records on their way out, by how far they have come.
fn outbox(on_the_way: OnTheWay) -> Document {
    Document::new()
        .each(leaving(on_the_way), |said, what| said.say(format!("On the way out: {what}.")))
        .when(on_the_way.stuck > 0, |said| said.say(ending_in_command(&stuck(on_the_way.stuck))))
}

/// Own records on their way out, by how far they have come: none where there are none.
pub fn leaving(on_the_way: OnTheWay) -> Vec<String> {
    let OnTheWay { waiting, stemmed, open, .. } = on_the_way;
    let all = [
        (waiting, "waiting for a time to leave"),
        (stemmed, "travelling by a detour, not public yet"),
        (open, "public, waiting for another grower's computer"),
    ];
    let there = all.into_iter().filter(|(count, _)| *count > 0);
    there
        .map(|(count, what)| format!("{} {what}", counted(count, "result of yours", "results of yours")))
        .collect()
}

/// Results that nobody has passed on for two weeks.
pub fn stuck(count: usize) -> String {
    let [whose, them] = if count == 1 { ["it is", "it"] } else { ["they are", "them"] };
    format!(
        "{} not got out in two weeks: nobody has passed {them} on. You can send {them} straight from here, but then the \
         computers you are connected with can tell that {whose} yours: propagule publish CODE --now --yes",
        counted(count, "result has", "results have"),
    )
}

/// A quota that is used up, and what was not kept for it.
fn disk(peers: &Peers) -> Document {
    let dropped = peers.counts.dropped;
    Document::new()
        .when(peers.disk_bytes >= peers.quota_bytes, |said| {
            said.say(ending_in_command(&format!(
                "The disk quota of {} MB is used up: results of growers not known here yet make room for those of growers you trust or have known for a month. Raise quota_mb in config.toml, or run: propagule store compact",
                peers.quota_bytes >> 20
            )))
        })
        .when(dropped > 0, |said| {
            said.say(format!("Dropped since the node started, for want of room: {dropped}."))
        })
}

fn connected(status: &NetStatus, peers: &Peers) -> Document {
    Document::new()
        .section(format!("This node: {}", status.peer_id), |own| {
            own.list(List::points(status.to_hand_out.iter().map(String::as_str)))
                .each(peers.how_reached.iter().flatten(), |own, line| {
                    own.say(ending_in_command(&said::line(line)))
                })
        })
        .section(format!("Connected to {}.", counted(status.peers.len(), "peer", "peers")), |others| {
            others
                .when(status.relaying > 0, |others| {
                    others.say(format!("Passing on for others, by a detour: {}.", status.relaying))
                })
                .list(List::points(status.peers.iter().map(peer)))
        })
}

fn peer(peer: &PeerStatus) -> String {
    format!("{} {}", peer.peer_id, exchange(peer, second))
}

/// A time without parts of a second, which differ in length.
fn second(at: &str) -> String {
    at.split_once('.').map_or_else(|| at.to_owned(), |(second, _)| format!("{second}Z"))
}

fn list_of_allowed(nodes: &[Allowed]) -> Document {
    Document::new().section(only_allowed(nodes.len()), |list| {
        list.list(List::points(nodes.iter().map(|node| format!("{} {}", node.peer_id, node.name))))
    })
}

/// An invite, on a line of its own.
pub(super) fn invite(invite: &Invite) -> Document {
    Document::new().say(Phrase::new().code(invite.invite.as_str()))
}

/// Which nodes may connect, after a change.
pub(super) fn allowed(allowed: &PeersAllowed) -> Document {
    let (done, back) = match &allowed.change {
        AllowedChange::Allowed { peer, is_first: true } => {
            (format!("{peer} may connect."), vec![undo::by(["peers", "allow", "--all"])])
        }
        AllowedChange::Allowed { peer, is_first: false } => {
            (format!("{peer} may connect."), vec![undo::by(["peers", "disallow", peer])])
        }
        AllowedChange::Disallowed { peer, before } => {
            (format!("{peer} may connect no more."), before.iter().map(allow_again).collect())
        }
        AllowedChange::AllAllowed { before } => {
            ("Every node of the network may connect.".to_owned(), before.iter().map(allow_again).collect())
        }
    };
    let all = allowed.allowed.as_ref().map(|nodes| format!(" {}", only_allowed(nodes.len())));
    Document::new().say(done + &all.unwrap_or_default()).each(back, Document::action)
}

/// The command that puts a node on the list again.
fn allow_again(node: &Allowed) -> Action {
    let words = ["peers", "allow", &node.peer_id, "--as", &node.name];
    undo::by(if node.name.is_empty() { words[..3].to_vec() } else { words.to_vec() })
}

/// How many nodes may connect.
pub fn only_allowed(nodes: usize) -> String {
    match nodes {
        0 => "No node may connect: there is a list of allowed nodes, and nobody is on it.".to_owned(),
        1 => "Only the one node on the list may connect.".to_owned(),
        _ => format!("Only the {nodes} nodes on the list may connect."),
    }
}

/// From where a node is reached, or a way to change that.
pub fn reach(line: &ReachLine) -> String {
    match line {
        ReachLine::FromAnywhere => "Others reach this node from anywhere.".to_owned(),
        ReachLine::ByRelay { relays } => by_relay(*relays),
        ReachLine::MachineOnly => {
            "Other computers do not reach this node: it listens on this computer only. It exchanges with every node that it reaches itself."
                .to_owned()
        }
        ReachLine::LetOthersIn => format!("To let others in: {LISTEN}"),
        ReachLine::LocalNetworkOnly => {
            "Only your local network reaches this node: a node outside tried, and did not come through. It exchanges \
             with every node that it reaches itself."
                .to_owned()
        }
        ReachLine::NotKnown => {
            "Whether others reach this node is not known yet: no node outside has tried. It exchanges with every node \
             that it reaches itself."
                .to_owned()
        }
        ReachLine::RouterPort { port } => format!(
            "To be reached directly: in the settings of your router, let port {port} (TCP) through to this computer, then start the node again."
        ),
        ReachLine::FriendCanRelay => {
            "A friend whose node is reached from anywhere can relay for this one; add the friend's invite: propagule \
             peers add INVITE"
                .to_owned()
        }
        ReachLine::RecordsInFile => {
            "Results can travel in a file, too: propagule bundle export results.bundle".to_owned()
        }
        ReachLine::RelaysForOthers { places } => relays_for_others(*places),
    }
}

fn by_relay(relays: usize) -> String {
    match relays {
        1 => "Others reach this node through a friend's node that relays for it; what goes that way goes in small parts."
            .to_owned(),
        _ => format!(
            "Others reach this node through {relays} friends' nodes that relay for it; what goes that way goes in small \
             parts."
        ),
    }
}

fn relays_for_others(places: usize) -> String {
    match places {
        0 => "This node relays for others that cannot be reached; none has asked for it now.".to_owned(),
        _ => format!(
            "This node relays for {} that cannot be reached otherwise.",
            counted(places, "other node", "other nodes")
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_told_to_the_second() {
        assert_eq!(second("2026-11-26T15:01:55.092970837Z"), "2026-11-26T15:01:55Z");
        assert_eq!(second("2026-11-26T15:01:55Z"), "2026-11-26T15:01:55Z");
    }

    #[test]
    fn sentences_of_nodes_hold_for_none_one_and_more() {
        let relayed = |relays| reach(&ReachLine::ByRelay { relays });
        assert!(relayed(1).starts_with("Others reach this node through a friend's node that relays for it;"));
        assert!(relayed(2).starts_with("Others reach this node through 2 friends' nodes that relay for it;"));
        let relays = |places| reach(&ReachLine::RelaysForOthers { places });
        assert!(relays(0).contains("none has asked"));
        assert_eq!(relays(1), "This node relays for 1 other node that cannot be reached otherwise.");
        assert_eq!(relays(3), "This node relays for 3 other nodes that cannot be reached otherwise.");
        assert!(only_allowed(0).starts_with("No node may connect"));
        assert_eq!(only_allowed(1), "Only the one node on the list may connect.");
        assert_eq!(only_allowed(7), "Only the 7 nodes on the list may connect.");
    }

    #[test]
    fn what_is_on_its_way_is_counted_at_none_one_and_many() {
        let at = |count| leaving(OnTheWay { waiting: count, stemmed: 0, stuck: 0, open: 0 });
        assert!(at(0).is_empty());
        assert_eq!(at(1), ["1 result of yours waiting for a time to leave"]);
        assert_eq!(at(12), ["12 results of yours waiting for a time to leave"]);
        let said = stuck(1);
        assert!(said.starts_with("1 result has not got out") && said.contains("it is yours"), "{said}");
        let said = stuck(3);
        assert!(said.starts_with("3 results have not got out") && said.contains("they are yours"), "{said}");
    }
}
