//! What an address tells: from where it is reached, whether a relay stands between, who shares it.

use std::fmt;
use std::net::{IpAddr, Ipv4Addr, SocketAddr};

use libp2p::multiaddr::Protocol;
use libp2p::{Multiaddr, PeerId};

/// From where an address can be reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Reach {
    Machine,
    Neighbourhood,
    World,
}

impl Reach {
    pub(super) fn of(ip: IpAddr) -> Self {
        let is_near = match ip {
            IpAddr::V4(ip) => ip.is_private() || ip.is_link_local() || ip.is_unspecified() || is_shared(ip),
            IpAddr::V6(ip) => ip.is_unique_local() || ip.is_unicast_link_local() || ip.is_unspecified(),
        };
        if ip.is_loopback() {
            Self::Machine
        } else if is_near {
            Self::Neighbourhood
        } else {
            Self::World
        }
    }
}

/// What a provider puts between homes and the internet (RFC 6598).
fn is_shared(ip: Ipv4Addr) -> bool {
    let [first, second, ..] = ip.octets();
    first == 100 && second & 0xC0 == 64
}

/// The first 24 bits of an IPv4 address, or the first 48 of an IPv6 address: what one holder has many of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct Range([u8; 6]);

impl Range {
    pub(super) fn of(ip: IpAddr) -> Self {
        let mut range = [0; 6];
        match ip {
            IpAddr::V4(ip) => range[..3].copy_from_slice(&ip.octets()[..3]),
            IpAddr::V6(ip) => range.copy_from_slice(&ip.octets()[..6]),
        }
        Self(range)
    }
}

impl fmt::Display for Range {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

/// An IPv4 address, or the first 48 bits of an IPv6 address.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct AddressGroup([u8; 6]);

impl AddressGroup {
    pub(super) fn of(ip: IpAddr) -> Self {
        let mut group = [0; 6];
        match ip {
            IpAddr::V4(ip) => group[..4].copy_from_slice(&ip.octets()),
            IpAddr::V6(ip) => group.copy_from_slice(&ip.octets()[..6]),
        }
        Self(group)
    }
}

/// The first IP address; of a relayed address it is the relay's.
pub(super) fn ip_of(address: &Multiaddr) -> Option<IpAddr> {
    address.iter().find_map(|part| match part {
        Protocol::Ip4(ip) => Some(ip.into()),
        Protocol::Ip6(ip) => Some(ip.into()),
        _ => None,
    })
}

/// The socket of a TCP address that names an IP address and a port.
pub fn socket_address(address: &Multiaddr) -> Option<SocketAddr> {
    let mut parts = address.iter();
    let ip: IpAddr = match parts.next()? {
        Protocol::Ip4(ip) => ip.into(),
        Protocol::Ip6(ip) => ip.into(),
        _ => return None,
    };
    match parts.next()? {
        Protocol::Tcp(port) => Some(SocketAddr::new(ip, port)),
        _ => None,
    }
}

/// From where an address is reached; nothing where a name must be looked up first.
pub(super) fn reach_of(address: &Multiaddr) -> Option<Reach> {
    ip_of(address).map(Reach::of)
}

pub(super) fn is_relayed(address: &Multiaddr) -> bool {
    address.iter().any(|part| part == Protocol::P2pCircuit)
}

/// The relay that stands between, where one does.
pub(super) fn relay_of(address: &Multiaddr) -> Option<PeerId> {
    let mut relay = None;
    for part in address {
        match part {
            Protocol::P2p(peer) => relay = Some(peer),
            Protocol::P2pCircuit => return relay,
            _ => {}
        }
    }
    None
}

/// The address without the peer at its end.
pub(super) fn without_peer(mut address: Multiaddr) -> Multiaddr {
    if matches!(address.iter().last(), Some(Protocol::P2p(_))) {
        address.pop();
    }
    address
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ranges: RFC 1918, RFC 3927, RFC 4193, RFC 4291, RFC 5737, RFC 6598.
    #[test]
    fn reach_follows_the_ranges_of_the_standards() {
        for (ip, reach) in [
            ("127.0.0.1", Reach::Machine),
            ("::1", Reach::Machine),
            ("10.255.0.1", Reach::Neighbourhood),
            ("172.31.255.255", Reach::Neighbourhood),
            ("172.32.0.0", Reach::World),
            ("192.168.0.1", Reach::Neighbourhood),
            ("169.254.1.1", Reach::Neighbourhood),
            ("100.64.0.1", Reach::Neighbourhood),
            ("100.127.255.255", Reach::Neighbourhood),
            ("100.128.0.0", Reach::World),
            ("fd12::1", Reach::Neighbourhood),
            ("fe80::1", Reach::Neighbourhood),
            ("0.0.0.0", Reach::Neighbourhood),
            ("203.0.113.7", Reach::World),
            ("2001:db8::1", Reach::World),
        ] {
            assert_eq!(Reach::of(ip.parse().expect("an IP address")), reach, "{ip}");
        }
    }

    #[test]
    fn addresses_of_sockets_are_read_and_others_left_alone() {
        let socket_address = |text: &str| socket_address(&text.parse().expect("an address"));
        assert_eq!(socket_address("/ip4/127.0.0.1/tcp/48620"), "127.0.0.1:48620".parse().ok());
        assert_eq!(socket_address("/ip6/::1/tcp/0"), "[::1]:0".parse().ok());
        assert_eq!(socket_address("/dns4/example/tcp/1"), None);
        assert_eq!(socket_address("/ip4/127.0.0.1/udp/1"), None);
    }

    #[test]
    fn the_relay_of_an_address_is_the_peer_before_the_circuit() {
        let (relay, other) = (PeerId::random(), PeerId::random());
        let direct: Multiaddr = format!("/ip4/203.0.113.7/tcp/1/p2p/{relay}").parse().expect("an address");
        let relayed: Multiaddr = format!("{direct}/p2p-circuit/p2p/{other}").parse().expect("an address");
        assert_eq!((relay_of(&direct), relay_of(&relayed)), (None, Some(relay)));
        assert_eq!(without_peer(direct.clone()).to_string(), "/ip4/203.0.113.7/tcp/1");
        assert!(is_relayed(&relayed) && !is_relayed(&direct));
    }
}
