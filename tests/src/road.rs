//! Roads to a node by which peers come from another address of this machine, so that they count as from elsewhere.

use std::net::{Ipv4Addr, SocketAddr};

use anyhow::Context;
use libp2p::Multiaddr;
use libp2p::multiaddr::Protocol;
use tokio::io::copy_bidirectional;
use tokio::net::{TcpListener, TcpSocket, TcpStream};

/// An address of the same peer; whoever dials it reaches the node from `from`, any address in 127.0.0.0/8. The road
/// stands as long as the runtime.
///
/// # Errors
/// When the node's address names no port of this machine, or none is free here.
pub async fn road(to: &Multiaddr, from: Ipv4Addr) -> anyhow::Result<Multiaddr> {
    let node = propagule_network::net::socket_address(to).context("an address of a socket")?;
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).await?;
    let port = listener.local_addr()?.port();
    tokio::spawn(async move {
        while let Ok((stream, _)) = listener.accept().await {
            tokio::spawn(carry(stream, node, from));
        }
    });
    let replaced = to.iter().map(|part| match part {
        Protocol::Tcp(_) => Protocol::Tcp(port),
        other => other,
    });
    Ok(replaced.collect())
}

/// Ends when either side does; there is nobody to tell how.
async fn carry(mut stream: TcpStream, node: SocketAddr, from: Ipv4Addr) {
    let Ok(socket) = TcpSocket::new_v4() else { return };
    if socket.bind((from, 0).into()).is_err() {
        return;
    }
    let Ok(mut onward) = socket.connect(node).await else { return };
    let _ = copy_bidirectional(&mut stream, &mut onward).await;
}
