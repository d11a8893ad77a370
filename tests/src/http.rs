//! A visitor of the page without a browser: one request, one answer.

use std::io::{Read, Write};
use std::net::TcpStream;

use anyhow::{Context, ensure};

/// Somebody who has come in.
#[derive(Debug)]
pub struct Visitor {
    host: String,
    cookie: String,
}

/// What came back.
#[derive(Debug)]
pub struct Answer {
    /// The status.
    pub status: u16,
    /// Headers as sent.
    pub head: String,
    /// What followed them.
    pub body: String,
}

impl Visitor {
    /// Comes in by a one-time address.
    ///
    /// # Errors
    /// When it lets nobody in.
    pub fn enter(one_time: &str) -> anyhow::Result<Self> {
        let rest = one_time.strip_prefix("http://").context("an address")?;
        let (host, path) = rest.split_once('/').context("a path")?;
        let mut visitor = Self { host: host.to_owned(), cookie: String::new() };
        let answer = visitor.get(&format!("/{path}"))?;
        let set = answer.head.lines().find_map(|line| line.strip_prefix("set-cookie: "));
        let cookie = set.and_then(|set| set.split(';').next()).context("it lets a browser in")?;
        cookie.clone_into(&mut visitor.cookie);
        Ok(visitor)
    }

    /// Asks for a page.
    ///
    /// # Errors
    /// When nobody answers, or not in HTTP.
    pub fn get(&self, path: &str) -> anyhow::Result<Answer> {
        let mut stream = TcpStream::connect(&self.host)?;
        let (host, cookie) = (&self.host, &self.cookie);
        write!(
            stream,
            "GET {path} HTTP/1.1\r\nhost: {host}\r\ncookie: {cookie}\r\nconnection: close\r\n\r\n"
        )?;
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes)?;
        let text = String::from_utf8(bytes)?;
        let (head, body) = text.split_once("\r\n\r\n").context("a head and a body")?;
        ensure!(!head.contains("transfer-encoding: chunked"), "a body of known length");
        let status = head.split(' ').nth(1).and_then(|status| status.parse().ok()).context("a status")?;
        Ok(Answer { status, head: head.to_owned(), body: body.to_owned() })
    }
}
