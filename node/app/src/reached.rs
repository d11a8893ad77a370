//! From where this node is reached, and what to do when it is not: a router port, a friend who relays, a file.

use super::outcome::peers::ReachLine;
use propagule_network::net::{NetStatus, ReachedFrom};

/// The port that a node listens on unless its settings say otherwise.
const USUAL_PORT: u16 = 48_620;

/// How this node is reached, one fact a line; after the first come ways to change it.
pub fn lines(status: &NetStatus) -> Vec<ReachLine> {
    let mut lines = match status.reached_from {
        ReachedFrom::Anywhere => vec![ReachLine::FromAnywhere],
        ReachedFrom::Relay => {
            vec![ReachLine::ByRelay { relays: status.relays.len().max(1) }, router(status)]
        }
        ReachedFrom::Machine => vec![ReachLine::MachineOnly, ReachLine::LetOthersIn],
        ReachedFrom::LocalNetwork => vec![
            ReachLine::LocalNetworkOnly,
            router(status),
            ReachLine::FriendCanRelay,
            ReachLine::RecordsInFile,
        ],
        ReachedFrom::NotKnown => {
            vec![ReachLine::NotKnown, ReachLine::FriendCanRelay, ReachLine::RecordsInFile]
        }
    };
    if status.is_relaying {
        lines.push(ReachLine::RelaysForOthers { places: status.places });
    }
    lines
}

fn router(status: &NetStatus) -> ReachLine {
    let port = status.addresses.iter().find_map(|address| port_of(address));
    ReachLine::RouterPort { port: port.unwrap_or(USUAL_PORT) }
}

/// The TCP port of an address that is not this machine's own.
fn port_of(address: &str) -> Option<u16> {
    let mut parts = address.split('/').skip(1);
    let (kind, ip, transport, port) = (parts.next()?, parts.next()?, parts.next()?, parts.next()?);
    let is_other = kind.starts_with("ip") && !ip.starts_with("127.") && ip != "::1";
    port.parse().ok().filter(|_| is_other && transport == "tcp")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(reached_from: ReachedFrom) -> Vec<ReachLine> {
        lines(&NetStatus {
            reached_from,
            addresses: ["/ip4/127.0.0.1/tcp/1/p2p/x", "/ip4/192.168.1.4/tcp/4711/p2p/x"]
                .map(str::to_owned)
                .into(),
            relays: vec!["one".to_owned()],
            ..NetStatus::default()
        })
    }

    #[test]
    fn each_way_of_being_reached_has_its_way_out() {
        use ReachLine::{
            ByRelay, FriendCanRelay, FromAnywhere, LetOthersIn, LocalNetworkOnly, MachineOnly, NotKnown,
            RecordsInFile, RouterPort,
        };
        assert_eq!(of(ReachedFrom::Machine), [MachineOnly, LetOthersIn]);
        let router = RouterPort { port: 4_711 };
        let local = [LocalNetworkOnly, router.clone(), FriendCanRelay, RecordsInFile];
        assert_eq!(of(ReachedFrom::LocalNetwork), local);
        assert_eq!(of(ReachedFrom::NotKnown), [NotKnown, FriendCanRelay, RecordsInFile]);
        assert_eq!(of(ReachedFrom::Relay), [ByRelay { relays: 1 }, router]);
        assert_eq!(of(ReachedFrom::Anywhere), [FromAnywhere]);
    }

    #[test]
    fn relaying_is_told_wherever_the_node_stands() {
        let status = NetStatus { is_relaying: true, places: 2, ..NetStatus::default() };
        assert_eq!(lines(&status).last(), Some(&ReachLine::RelaysForOthers { places: 2 }));
    }
}
