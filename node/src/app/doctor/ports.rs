//! Ports: free, held by the running node, or in other hands.

use std::io::ErrorKind;
use std::net::{Ipv4Addr, TcpListener};

use super::{Check, Finding};
use propagule_network::net::socket_address;

/// The addresses to listen on; `held` are those of the running node.
pub(super) fn listen(wanted: &[String], held: Option<&[String]>, flag: &str) -> Finding {
    if let Some(held) = held {
        return Finding::ok(Check::Listen, format!("the running node listens on {}", list(held)));
    }
    let problem = |says: String| {
        let fix = format!("propagule{flag} serve --listen /ip4/127.0.0.1/tcp/0");
        Finding::problem(Check::Listen, says, fix)
    };
    for text in wanted {
        let address: libp2p::Multiaddr = match text.parse() {
            Ok(address) => address,
            Err(e) => {
                return problem(format!("\"{text}\" in config.toml is not an address to listen on: {e}"));
            }
        };
        let Some(Err(e)) = socket_address(&address).map(TcpListener::bind) else { continue };
        return problem(format!("cannot listen on {text}: {e}"));
    }
    Finding::ok(Check::Listen, format!("{} can be had", list(wanted)))
}

fn list(addresses: &[String]) -> String {
    if addresses.is_empty() { "no address".to_owned() } else { addresses.join(", ") }
}

/// The port of the page on this machine; the page goes to the next free one by itself.
pub(super) fn page(port: u16, is_running: bool) -> Finding {
    let says = match TcpListener::bind((Ipv4Addr::LOCALHOST, port)) {
        Ok(_) if is_running => {
            format!("port {port} is free: the running node has its page elsewhere, or none")
        }
        Ok(_) => format!("port {port} is free"),
        Err(e) if e.kind() != ErrorKind::AddrInUse => {
            format!("port {port} cannot be had ({e}): the next free one is taken")
        }
        Err(_) if is_running => format!("port {port} is in use, while the node runs"),
        Err(_) => format!("port {port} is in use by another program: the page takes the next free one"),
    };
    Finding::ok(Check::Page, says)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::doctor::State;

    #[test]
    fn a_port_in_other_hands_is_a_problem_to_listen_on_and_none_for_the_page() {
        let taken = TcpListener::bind("127.0.0.1:0").expect("a port");
        let port = taken.local_addr().expect("an address").port();
        let address = format!("/ip4/127.0.0.1/tcp/{port}");
        let found = listen(std::slice::from_ref(&address), None, " --home h");
        assert_eq!(found.state, State::Problem);
        assert_eq!(found.fix, ["propagule --home h serve --listen /ip4/127.0.0.1/tcp/0"]);
        assert_eq!(listen(&[], Some(&[address]), "").state, State::Ok);
        assert!(page(port, false).says.contains("takes the next free one"));
        assert_eq!(listen(&["nonsense".to_owned()], None, "").state, State::Problem);
    }
}
