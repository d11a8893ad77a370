//! The listeners of the page: loopback always, the local network when asked for.

mod answering;
mod crowd;
#[cfg(test)]
mod tests;

use std::io;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::sync::Arc;

use tokio::net::TcpListener;

use self::answering::{PATIENCE, answer};
use self::crowd::Room;
use super::guard::{Doors, Side};
use super::{Web, router};
use propagule_app::App;
use propagule_files::fault::Fault;

/// Connections of this machine's browsers.
const LOOPBACK_PLACES: usize = 64;
/// Connections of phones.
const LAN_PLACES: usize = 16;
/// Connections of one phone; a browser opens up to six, and waits where it has fewer.
const PLACES_A_PHONE: usize = 4;
/// Ports tried, one after the other, before any free one is taken.
const PORTS_TRIED: u16 = 10;

/// The page, bound and not yet answering.
#[derive(Debug)]
pub struct PageServer {
    doors: Arc<Doors>,
    app: Arc<App>,
    /// Connections that may be open at all listeners together.
    places: usize,
    listeners: Vec<(Side, SocketAddr, TcpListener)>,
}

impl PageServer {
    /// Binds loopback, and `lan` where an address of this machine is given: the port that is asked for, else the
    /// next free one.
    ///
    /// # Errors
    /// When no port can be had.
    pub async fn bind(app: Arc<App>, port: u16, lan: Option<IpAddr>, places: usize) -> Result<Self, Fault> {
        let mut listeners = vec![bound(Side::Loopback, IpAddr::V4(Ipv4Addr::LOCALHOST), port).await?];
        if let Some(address) = lan {
            listeners.push(bound(Side::Lan, address, port).await?);
        }
        let lan = listeners.iter().find(|(side, ..)| *side == Side::Lan).map(|(_, address, _)| *address);
        Ok(Self { doors: Arc::new(Doors::new(lan)?), app, places, listeners })
    }

    /// Who may come in.
    pub fn doors(&self) -> &Arc<Doors> {
        &self.doors
    }

    /// The address of this machine's own page, with the secret that lets one browser in.
    pub fn one_time_address(&self) -> String {
        self.doors.one_time_address(self.address())
    }

    /// Where this machine's own page is.
    pub fn address(&self) -> SocketAddr {
        self.listeners[0].1
    }

    /// Answers until the future is dropped.
    pub async fn run(self) {
        let has_lan = self.listeners.iter().any(|(side, ..)| *side == Side::Lan);
        let answering = self.listeners.into_iter().map(|(side, address, listener)| {
            let web = Web {
                app: Arc::clone(&self.app),
                doors: Arc::clone(&self.doors),
                side,
                hosts: hosts(side, address).into(),
            };
            answer(listener, router(web), room(side, self.places, has_lan), PATIENCE)
        });
        futures::future::join_all(answering).await;
    }
}

/// Phones have a fifth of all places, where they may come in; the browsers of this machine all have one address.
fn room(side: Side, places: usize, has_lan: bool) -> Room {
    let phones = if has_lan { (places / 5).clamp(1, LAN_PLACES) } else { 0 };
    match side {
        Side::Loopback => {
            let all = places.saturating_sub(phones).clamp(1, LOOPBACK_PLACES);
            Room { all, an_address: all }
        }
        Side::Lan => Room { all: phones, an_address: phones.min(PLACES_A_PHONE) },
    }
}

async fn bound(side: Side, ip: IpAddr, port: u16) -> Result<(Side, SocketAddr, TcpListener), Fault> {
    let last = if port == 0 { 0 } else { port.saturating_add(PORTS_TRIED - 1) };
    let mut ports = (port..=last).chain([0]);
    loop {
        let Some(port) = ports.next() else {
            return Err(Fault::user("page-no-free-port").with("ip", ip));
        };
        match TcpListener::bind((ip, port)).await {
            Ok(listener) => {
                let address = listener.local_addr().map_err(|e| unusable(ip, e))?;
                return Ok((side, address, listener));
            }
            Err(e) if e.kind() == io::ErrorKind::AddrInUse || e.kind() == io::ErrorKind::PermissionDenied => {
            }
            Err(e) => return Err(unusable(ip, e)),
        }
    }
}

fn unusable(ip: IpAddr, error: io::Error) -> Fault {
    Fault::environment("page-port-refused").with("ip", ip).because(error)
}

/// Values of `Host` that name this listener.
fn hosts(side: Side, address: SocketAddr) -> Vec<String> {
    let port = address.port();
    match side {
        Side::Loopback => vec![address.to_string(), format!("localhost:{port}"), format!("[::1]:{port}")],
        Side::Lan => vec![address.to_string()],
    }
}

/// The address that this machine has in its local network; nothing is sent to find out.
///
/// # Errors
/// When it is in none.
pub fn lan_address() -> Result<IpAddr, Fault> {
    // TEST-NET-1 of RFC 5737: connecting a datagram socket only chooses the way out.
    let way_out = || -> io::Result<IpAddr> {
        let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0))?;
        socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9))?;
        Ok(socket.local_addr()?.ip())
    };
    match way_out() {
        Ok(ip) if !ip.is_loopback() && !ip.is_unspecified() => Ok(ip),
        _ => Err(Fault::user("no-local-network")),
    }
}
