//! Announcements in a local network (multicast DNS, RFC 6762) of nodes that do not exist.

use libp2p::PeerId;

/// The name under which nodes of the library announce themselves.
const SERVICE: [&str; 4] = ["_p2p", "_udp", "local", ""];
const POINTER: u16 = 12;
const TEXT: u16 = 16;
const INTERNET: u16 = 1;
/// Seconds for which an announcement holds.
const HOLDS: u32 = 120;

/// One message that announces `count` nodes, each at an address of its own (RFC 1035, §4.1).
pub fn announcement(count: u16) -> Vec<u8> {
    let mut message = Vec::new();
    // An answer of authority, without questions: as many pointers, and as many texts beside them.
    for number in [0, 0x8400, 0, count, 0, count] {
        message.extend(u16::to_be_bytes(number));
    }
    let names: Vec<Vec<u8>> =
        (0..count).map(|number| name(&[&[&format!("n{number}")[..]], &SERVICE[..]].concat())).collect();
    for announced in &names {
        record(&mut message, &name(&SERVICE), POINTER, announced);
    }
    for (number, announced) in names.iter().enumerate() {
        let text = format!("dnsaddr=/ip4/192.0.2.1/tcp/{}/p2p/{}", 1_000 + number, PeerId::random());
        let length = u8::try_from(text.len()).unwrap_or(u8::MAX);
        record(&mut message, announced, TEXT, &[&[length], text.as_bytes()].concat());
    }
    message
}

fn name(labels: &[&str]) -> Vec<u8> {
    labels.iter().flat_map(|label| [&[label.len() as u8], label.as_bytes()].concat()).collect()
}

fn record(message: &mut Vec<u8>, name: &[u8], kind: u16, data: &[u8]) {
    message.extend(name);
    message.extend(kind.to_be_bytes());
    message.extend(INTERNET.to_be_bytes());
    message.extend(HOLDS.to_be_bytes());
    message.extend((data.len() as u16).to_be_bytes());
    message.extend(data);
}
