use std::time::Duration;

use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};

use super::answering::answer;
use super::crowd::{Patience, Room};
use crate::web::fixtures::Stage;
use crate::web::guard::Side;
use crate::web::router;

/// Long enough that nobody goes by it.
const LONG: Duration = Duration::from_hours(1);

/// A page with as little room and patience as is asked for, and its address.
async fn page(room: Room, patience: Patience) -> (Stage, std::net::SocketAddr, tokio::task::JoinHandle<()>) {
    let stage = Stage::new(Side::Loopback);
    let listener = TcpListener::bind("127.0.0.1:0").await.expect("a port");
    let address = listener.local_addr().expect("an address");
    let serving = tokio::spawn(answer(listener, router(stage.web.clone()), room, patience));
    (stage, address, serving)
}

async fn asked(stream: &mut TcpStream) -> String {
    stream.write_all(b"GET /today HTTP/1.1\r\nhost: 127.0.0.1:48621\r\n\r\n").await.expect("it is taken");
    let mut bytes = vec![0; 1 << 16];
    let length = stream.read(&mut bytes).await.expect("an answer");
    String::from_utf8_lossy(&bytes[..length]).into_owned()
}

/// Waits until the other side has closed.
async fn is_closed(stream: &mut TcpStream) {
    let mut rest = Vec::new();
    // A reset is an end as well.
    let _ = stream.read_to_end(&mut rest).await;
}

#[tokio::test]
async fn a_newcomer_is_answered_where_all_places_are_taken_by_the_silent() {
    let room = Room { all: 3, an_address: 3 };
    let (_stage, address, serving) = page(room, Patience { first_request: LONG, idle: LONG }).await;
    let mut silent = Vec::new();
    for _ in 0..12 {
        silent.push(TcpStream::connect(address).await.expect("connects"));
    }
    let mut newcomer = TcpStream::connect(address).await.expect("connects");
    assert!(asked(&mut newcomer).await.starts_with("HTTP/1.1 403"));
    for stream in &mut silent[..10] {
        is_closed(stream).await;
    }
    // It is kept, and asked again.
    let mut second = TcpStream::connect(address).await.expect("connects");
    assert!(asked(&mut second).await.starts_with("HTTP/1.1 403"));
    serving.abort();
}

#[tokio::test]
async fn who_asks_nothing_is_let_go_and_so_is_who_asks_no_more() {
    let room = Room { all: 8, an_address: 8 };
    let short = Duration::from_millis(20);
    let (_stage, address, serving) = page(room, Patience { first_request: short, idle: short }).await;
    let mut silent = TcpStream::connect(address).await.expect("connects");
    let mut half = TcpStream::connect(address).await.expect("connects");
    half.write_all(b"GET /today HTTP/1.1\r\nhos").await.expect("it is taken");
    is_closed(&mut silent).await;
    is_closed(&mut half).await;
    serving.abort();
}

#[tokio::test]
async fn a_head_without_end_is_refused() {
    let room = Room { all: 8, an_address: 8 };
    let (_stage, address, serving) = page(room, Patience { first_request: LONG, idle: LONG }).await;
    let mut stream = TcpStream::connect(address).await.expect("connects");
    let line = format!("x: {}\r\n", "y".repeat(1000));
    let head = format!("GET /today HTTP/1.1\r\nhost: 127.0.0.1:48621\r\n{}", line.repeat(40));
    // It may be closed before all of it is taken.
    let _ = stream.write_all(head.as_bytes()).await;
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer).await;
    assert!(answer.is_empty() || answer.starts_with(b"HTTP/1.1 431"), "{}", String::from_utf8_lossy(&answer));
    serving.abort();
}

#[tokio::test]
async fn a_stopped_server_leaves_no_connection_open() {
    let room = Room { all: 8, an_address: 8 };
    let (_stage, address, serving) = page(room, Patience { first_request: LONG, idle: LONG }).await;
    let mut stream = TcpStream::connect(address).await.expect("connects");
    assert!(asked(&mut stream).await.starts_with("HTTP/1.1 403"));
    serving.abort();
    is_closed(&mut stream).await;
}
