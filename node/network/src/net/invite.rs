//! Invites: one line of text that names a network and the addresses of a node in it.

use libp2p::Multiaddr;

use crate::limits::{INVITE_ADDRESSES, INVITE_BYTES};
use propagule_files::fault::Fault;

const BEGIN: &str = "propagule-invite/1";

/// The text to hand to a friend.
pub fn write(network: &str, addresses: &[String]) -> String {
    format!("{BEGIN},{},{}", network, addresses.join(","))
}

/// Addresses in an invite or a plain address, checked to be of `network`.
///
/// # Errors
/// When the text is neither, or the invite is to another network.
pub fn read(text: &str, network: &str) -> Result<Vec<Multiaddr>, Fault> {
    let text = text.trim();
    if text.len() > INVITE_BYTES {
        return Err(Fault::user("invite-too-long").with("invite_bytes", INVITE_BYTES));
    }
    let Some(rest) = text.strip_prefix(BEGIN) else { return Ok(vec![address(text)?]) };
    let mut parts = rest.split(',').skip(1);
    let theirs = parts.next().unwrap_or_default();
    if theirs != network {
        return Err(Fault::user("invite-of-another-network").with("theirs", theirs).with("network", network));
    }
    let addresses: Vec<Multiaddr> =
        parts.filter(|part| !part.is_empty()).map(address).collect::<Result<_, _>>()?;
    if addresses.len() > INVITE_ADDRESSES {
        return Err(Fault::user("invite-with-too-many-addresses").with("invite_addresses", INVITE_ADDRESSES));
    }
    if addresses.is_empty() {
        return Err(Fault::user("invite-without-address"));
    }
    Ok(addresses)
}

fn address(text: &str) -> Result<Multiaddr, Fault> {
    text.parse().map_err(|e| {
        let shown: String = text.chars().take(80).collect();
        Fault::environment("address-malformed").with("shown", &shown).because(e)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const ADDRESS: &str = "/ip4/127.0.0.1/tcp/4001/p2p/12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5";

    #[test]
    fn an_invite_gives_back_its_addresses() {
        let invite = write("propagule", &[ADDRESS.to_owned(), ADDRESS.to_owned()]);
        let read = read(&format!(" {invite}\n"), "propagule").expect("an invite");
        assert_eq!(read.iter().map(ToString::to_string).collect::<Vec<_>>(), [ADDRESS, ADDRESS]);
    }

    #[test]
    fn a_plain_address_will_do() {
        assert_eq!(read(ADDRESS, "propagule").expect("an address").len(), 1);
    }

    #[test]
    fn a_full_invite_of_relayed_addresses_fits_and_one_more_address_does_not() {
        let peer = "12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5";
        let longest = format!(
            "/ip6/2001:db8:ffff:ffff:ffff:ffff:ffff:ffff/udp/48620/quic-v1/p2p/{peer}/p2p-circuit/p2p/{peer}"
        );
        let full = write(
            "a-network-of-the-longest-name-that-one-may-have",
            &vec![longest.clone(); INVITE_ADDRESSES],
        );
        let network = "a-network-of-the-longest-name-that-one-may-have";
        assert_eq!(read(&full, network).expect("an invite").len(), INVITE_ADDRESSES);
        let failure = read(&format!("{full},{longest}"), network).expect_err("one too many").to_string();
        assert!(failure.contains("more than") && failure.contains("\nhint: "), "{failure}");
    }

    #[test]
    fn garbage_is_refused_and_never_repeated_in_full() {
        let long = "x".repeat(INVITE_BYTES + 1);
        let zeros = "\0".repeat(500);
        for text in [
            &long[..],
            &zeros,
            "propagule-invite/1",
            "propagule-invite/1,propagule,/ip4/1",
            "propagule-invite/2,a",
        ] {
            let failure = read(text, "propagule").expect_err("refused").to_string();
            assert!(failure.len() < 400 && failure.contains("\nhint: "), "{failure}");
            assert_eq!(failure.contains("is longer than"), text.len() > INVITE_BYTES, "{failure}");
        }
    }

    #[test]
    fn other_networks_and_other_texts_are_refused_with_a_way_on() {
        for text in [write("elsewhere", &[ADDRESS.to_owned()]), "hello".to_owned(), write("propagule", &[])] {
            let failure = read(&text, "propagule").expect_err("refused");
            assert!(failure.to_string().contains("\nhint: "), "{failure}");
        }
    }
}
