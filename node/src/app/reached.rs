//! From where this node is reached, and what to do when it is not: a router port, a friend who relays, a file.

use crate::answer::words::{reached_by_relay, relays_for_others};
use propagule_network::net::{NetStatus, ReachedFrom};

/// What opens this node to others.
const LISTEN: &str = "propagule serve --listen /ip4/0.0.0.0/tcp/48620";

/// How this node is reached, one sentence a line; after the first come ways to change it.
pub(crate) fn words(status: &NetStatus) -> Vec<String> {
    let mut said = match status.reached_from {
        ReachedFrom::Anywhere => vec!["Others reach this node from anywhere.".to_owned()],
        ReachedFrom::Relay => vec![reached_by_relay(status.relays.len().max(1)), router(status)],
        ReachedFrom::Machine => vec![
            "Other machines do not reach this node: it listens on this machine only. It exchanges with every node \
             that it reaches itself."
                .to_owned(),
            format!("To let others in:\n  {LISTEN}"),
        ],
        ReachedFrom::LocalNetwork => {
            let mut said = vec![
                "Only your local network reaches this node: a node outside tried, and did not come through. It \
                 exchanges with every node that it reaches itself."
                    .to_owned(),
                router(status),
            ];
            said.extend(other_ways());
            said
        }
        ReachedFrom::NotKnown => {
            let mut said = vec![
                "Whether others reach this node is not known yet: no node outside has tried. It exchanges with every \
                 node that it reaches itself."
                    .to_owned(),
            ];
            said.extend(other_ways());
            said
        }
    };
    if status.is_relaying {
        said.push(relays_for_others(status.places));
    }
    said
}

fn router(status: &NetStatus) -> String {
    let port = status.addresses.iter().find_map(|address| port_of(address)).unwrap_or("48620");
    format!(
        "To be reached directly: in the settings of your router, let port {port} (TCP) through to this machine, then \
         start the node again."
    )
}

fn other_ways() -> [String; 2] {
    [
        "A friend whose node is reached from anywhere can relay for this one; add the friend's invite:\n  propagule \
         peers add INVITE"
            .to_owned(),
        "Records can travel in a file, too:\n  propagule bundle out records.bundle".to_owned(),
    ]
}

/// The TCP port of an address that is not this machine's own.
fn port_of(address: &str) -> Option<&str> {
    let mut parts = address.split('/').skip(1);
    let (kind, ip, transport, port) = (parts.next()?, parts.next()?, parts.next()?, parts.next()?);
    let is_other = kind.starts_with("ip") && !ip.starts_with("127.") && ip != "::1";
    (is_other && transport == "tcp").then_some(port)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(reached_from: ReachedFrom) -> String {
        let status = NetStatus {
            reached_from,
            addresses: ["/ip4/127.0.0.1/tcp/1/p2p/x", "/ip4/192.168.1.4/tcp/4711/p2p/x"]
                .map(str::to_owned)
                .into(),
            relays: vec!["one".to_owned()],
            ..NetStatus::default()
        };
        words(&status).join("\n")
    }

    #[test]
    fn each_way_of_being_reached_has_its_words_and_its_way_out() {
        for (reached_from, fact, ways) in [
            (ReachedFrom::Machine, "this machine only", &["--listen /ip4/0.0.0.0"][..]),
            (
                ReachedFrom::LocalNetwork,
                "Only your local network",
                &["port 4711 (TCP)", "peers add", "bundle out"],
            ),
            (ReachedFrom::NotKnown, "not known yet", &["peers add", "bundle out"]),
            (ReachedFrom::Relay, "through a friend's node", &["port 4711 (TCP)"]),
            (ReachedFrom::Anywhere, "from anywhere", &[]),
        ] {
            let said = said(reached_from);
            assert!(said.lines().next().is_some_and(|first| first.contains(fact)), "{said}");
            assert!(ways.iter().all(|way| said.contains(way)), "{said}");
        }
    }

    #[test]
    fn relaying_is_said_wherever_the_node_stands() {
        let status = NetStatus { is_relaying: true, places: 2, ..NetStatus::default() };
        assert!(words(&status).iter().any(|line| line.contains("relays for 2 other nodes")));
    }
}
