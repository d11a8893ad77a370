//! Strangers at the page: forms that are too long, connections that ask nothing, and few open files.

use std::io::{ErrorKind, Read, Write};
use std::net::TcpStream;
use std::thread;
use std::time::{Duration, Instant};

use anyhow::{Context, ensure};
use propagule_files::system::open_files;
use propagule_tests::grower::wait_until;
use propagule_tests::http::Visitor;
use propagule_tests::{Grower, Node};

/// Forms that are sent at once, and how long each says it is.
const FORMS: usize = 16;
const FORM_BYTES: usize = 8 << 20;
/// Memory that they may cost, in MB.
const MOST_MB: u64 = 4;
/// Connections that ask nothing more.
const IDLE: usize = 1_800;
/// Connections that stay of them at most, and until when they do.
const MOST_OPEN: usize = 64;
const ALL_GONE: Duration = Duration::from_secs(35);
/// Open files of a node that has few, and the connections that come then.
const FEW_FILES: u64 = 128;
const IDLE_OF_FEW: usize = 200;
const MOST_DUE: Duration = Duration::from_secs(1);
const MOST_PAGE: Duration = Duration::from_secs(2);

pub(crate) fn measure() -> anyhow::Result<String> {
    open_files(4_096);
    let grower = Grower::with_trial()?;
    let node = grower.serve()?;
    let grown = long_forms(&node)?;
    let (most, gone) = idle_connections(&node)?;
    drop(node);
    let (due, page, peers) = few_files(&grower)?;
    Ok(format!(
        "page --hostile: {FORMS} forms of {} MB before anybody is in: {grown} MB more; {IDLE} idle connections: {most} open at \
         most, all gone after {:.0} s; {FEW_FILES} open files and {IDLE_OF_FEW} idle: due {:.0} ms, page {:.0} ms, {peers} peer kept",
        FORM_BYTES >> 20,
        gone.as_secs_f64(),
        due.as_secs_f64() * 1e3,
        page.as_secs_f64() * 1e3,
    ))
}

fn host(node: &Node) -> anyhow::Result<&str> {
    node.page().strip_prefix("http://").and_then(|rest| rest.split('/').next()).context("an address")
}

/// Sends long forms to where nobody needs to have come in, and says by how much the node's memory has grown, in MB.
fn long_forms(node: &Node) -> anyhow::Result<u64> {
    let host = host(node)?;
    let before = node.memory_mb()?;
    let mut most = before;
    thread::scope(|scope| {
        let senders: Vec<_> = (0..FORMS).map(|_| scope.spawn(|| send_long(host))).collect();
        while senders.iter().any(|sender| !sender.is_finished()) {
            most = most.max(node.memory_mb()?);
        }
        senders.into_iter().try_for_each(|sender| sender.join().expect("no panic"))
    })?;
    let grown = most.max(node.memory_mb()?) - before;
    ensure!(grown <= MOST_MB, "{FORMS} long forms took {grown} MB");
    Ok(grown)
}

fn send_long(host: &str) -> anyhow::Result<()> {
    let mut stream = TcpStream::connect(host)?;
    let head = format!(
        "POST /enter/0 HTTP/1.1\r\nhost: {host}\r\norigin: http://{host}\r\n\
         content-type: application/x-www-form-urlencoded\r\ncontent-length: {FORM_BYTES}\r\n\r\n"
    );
    stream.write_all(head.as_bytes())?;
    let part = vec![b'x'; 64 << 10];
    // It is turned away before all of it is sent.
    for _ in 0..FORM_BYTES / part.len() {
        if stream.write_all(&part).is_err() {
            break;
        }
    }
    Ok(())
}

/// Connections that ask once and then no more: how many stay open at most, and when the last is gone.
fn idle_connections(node: &Node) -> anyhow::Result<(usize, Duration)> {
    let host = host(node)?;
    let begun = Instant::now();
    let mut all = Vec::new();
    let mut most = 0;
    for number in 1..=IDLE {
        let mut stream = TcpStream::connect(host)?;
        write!(stream, "GET /assets/none HTTP/1.1\r\nhost: {host}\r\n\r\n")?;
        stream.set_nonblocking(true)?;
        all.push(stream);
        if number % 100 == 0 {
            let last = Instant::now();
            wait_until("places are given up", || {
                all.retain_mut(is_open);
                Ok(all.len() <= MOST_OPEN || last.elapsed() > Duration::from_secs(5))
            })?;
            most = most.max(all.len());
        }
    }
    ensure!(most <= MOST_OPEN, "{most} connections were open");
    let asked = Instant::now();
    wait_until("idle connections end", || {
        all.retain_mut(is_open);
        Ok(all.is_empty() || asked.elapsed() > ALL_GONE)
    })?;
    ensure!(all.is_empty(), "{} connections were open after {:?}", all.len(), begun.elapsed());
    Ok((most, asked.elapsed()))
}

/// Whether the other side has not closed; what it sent is read.
fn is_open(stream: &mut TcpStream) -> bool {
    let mut bytes = [0; 4096];
    loop {
        match stream.read(&mut bytes) {
            Ok(0) => return false,
            Ok(_) => {}
            Err(error) => return error.kind() == ErrorKind::WouldBlock,
        }
    }
}

/// A node with few open files, a peer and idle connections: how long it takes to answer, and how many peers it keeps.
fn few_files(grower: &Grower) -> anyhow::Result<(Duration, Duration, usize)> {
    let other = Grower::new()?;
    let neighbour = other.serve()?;
    let node = grower.serve_with_open_files(FEW_FILES)?;
    grower.run(&["peers", "add", neighbour.address()])?;
    wait_until("a peer", || Ok(connected(grower)? == 1))?;
    let visitor = Visitor::enter(node.page())?;
    let host = host(&node)?;
    let idle = (0..IDLE_OF_FEW).map(|_| TcpStream::connect(host)).collect::<Result<Vec<_>, _>>()?;
    let begun = Instant::now();
    grower.run(&["due"])?;
    let due = begun.elapsed();
    let begun = Instant::now();
    ensure!(visitor.get("/today")?.status == 200, "the page answers");
    let page = begun.elapsed();
    let peers = connected(grower)?;
    drop(idle);
    ensure!(due <= MOST_DUE && page <= MOST_PAGE && peers == 1, "due {due:?}, page {page:?}, {peers} peers");
    Ok((due, page, peers))
}

fn connected(grower: &Grower) -> anyhow::Result<usize> {
    let peers = grower.look(&["peers", "list"])?;
    Ok(peers.pointer("/running/peers").and_then(serde_json::Value::as_array).map_or(0, Vec::len))
}
