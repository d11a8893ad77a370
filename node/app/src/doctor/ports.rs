//! Ports: free, held by the running node, or in other hands.

use std::io::ErrorKind;
use std::net::{Ipv4Addr, TcpListener};

use super::{Check, Finding, FixCommand, Fixes, Found};
use crate::outcome::doctor::PortHolder;
use propagule_network::net::socket_address;

/// The addresses to listen on; `held` are those of the running node.
pub(super) fn listen(wanted: &[String], held: Option<&[String]>, fixes: &Fixes) -> Finding {
    if let Some(held) = held {
        return Finding::ok(Check::Listen, Found::ListensOn { addresses: held.to_vec() });
    }
    let problem = |found| Finding::problem(Check::Listen, found, fixes.by(FixCommand::ServeOnAnyPort));
    for text in wanted {
        let (address, parsed) = (text.clone(), text.parse::<libp2p::Multiaddr>());
        let parsed = match parsed {
            Ok(parsed) => parsed,
            Err(e) => return problem(Found::ListenAddressMalformed { address, why: e.to_string() }),
        };
        let Some(Err(e)) = socket_address(&parsed).map(TcpListener::bind) else { continue };
        return problem(Found::CannotListen { address, why: e.to_string() });
    }
    Finding::ok(Check::Listen, Found::CanListen { addresses: wanted.to_vec() })
}

/// The port of the page on this machine; the page goes to the next free one by itself.
pub(super) fn page(port: u16, is_running: bool) -> Finding {
    let held_by = match TcpListener::bind((Ipv4Addr::LOCALHOST, port)) {
        Ok(_) if is_running => PortHolder::NobodyWhileServing,
        Ok(_) => PortHolder::Nobody,
        Err(e) if e.kind() != ErrorKind::AddrInUse => PortHolder::Refused(e.to_string()),
        Err(_) if is_running => PortHolder::SomebodyWhileServing,
        Err(_) => PortHolder::Other,
    };
    Finding::ok(Check::Page, Found::PagePort { port, held_by })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::doctor::{CheckState, Fix};
    use crate::outcome::said::Said;

    #[test]
    fn a_port_in_other_hands_is_a_problem_to_listen_on_and_none_for_the_page() {
        let taken = TcpListener::bind("127.0.0.1:0").expect("a port");
        let port = taken.local_addr().expect("an address").port();
        let address = format!("/ip4/127.0.0.1/tcp/{port}");
        let fixes = Fixes { named_home: Some("h".to_owned()) };
        let found = listen(std::slice::from_ref(&address), None, &fixes);
        assert_eq!(found.state, CheckState::Problem);
        let fix = Fix::Command { command: FixCommand::ServeOnAnyPort, named_home: fixes.named_home.clone() };
        assert_eq!(found.fix, Said::Fixes { fixes: vec![fix] });
        assert_eq!(listen(&[], Some(&[address]), &fixes).state, CheckState::Ok);
        assert_eq!(page(port, false).says, Said::Found(Found::PagePort { port, held_by: PortHolder::Other }));
        assert_eq!(listen(&["nonsense".to_owned()], None, &fixes).state, CheckState::Problem);
    }
}
