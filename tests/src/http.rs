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
        visitor.keep_cookie(&answer)?;
        Ok(visitor)
    }

    /// A phone that types a code at that address.
    ///
    /// # Errors
    /// When it is not let in.
    pub fn pair(address: &str, code: &str) -> anyhow::Result<Self> {
        let rest = address.strip_prefix("http://").context("an address")?;
        let (host, path) = rest.split_once('/').context("a path")?;
        let mut visitor = Self { host: host.to_owned(), cookie: String::new() };
        let answer = visitor.post(&format!("/{path}"), &format!("code={code}"))?;
        visitor.keep_cookie(&answer)?;
        Ok(visitor)
    }

    fn keep_cookie(&mut self, answer: &Answer) -> anyhow::Result<()> {
        let set = answer.head.lines().find_map(|line| line.strip_prefix("set-cookie: "));
        let cookie = set.and_then(|set| set.split(';').next()).context("it lets a browser in")?;
        cookie.clone_into(&mut self.cookie);
        Ok(())
    }

    /// What stands in every form of this visitor.
    ///
    /// # Errors
    /// When the page cannot be asked for.
    pub fn token(&self) -> anyhow::Result<String> {
        let page = self.get("/today")?.body;
        let token = page.split("data-token=\"").nth(1).and_then(|rest| rest.split('"').next());
        token.map(str::to_owned).context("a token")
    }

    /// Asks for a page.
    ///
    /// # Errors
    /// When nobody answers, or not in HTTP.
    pub fn get(&self, path: &str) -> anyhow::Result<Answer> {
        self.send(&format!("GET {path} HTTP/1.1\r\n"), "")
    }

    /// Sends a form, already written as forms are.
    ///
    /// # Errors
    /// As [`Self::get`].
    pub fn post(&self, path: &str, form: &str) -> anyhow::Result<Answer> {
        let host = &self.host;
        let head = format!(
            "POST {path} HTTP/1.1\r\norigin: http://{host}\r\ncontent-type: application/x-www-form-urlencoded\r\n\
             content-length: {}\r\n",
            form.len()
        );
        self.send(&head, form)
    }

    fn send(&self, head: &str, body: &str) -> anyhow::Result<Answer> {
        let mut stream = TcpStream::connect(&self.host)?;
        let (host, cookie) = (&self.host, &self.cookie);
        write!(stream, "{head}host: {host}\r\ncookie: {cookie}\r\nconnection: close\r\n\r\n{body}")?;
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes)?;
        let text = String::from_utf8(bytes)?;
        let (head, body) = text.split_once("\r\n\r\n").context("a head and a body")?;
        ensure!(!head.contains("transfer-encoding: chunked"), "a body of known length");
        let status = head.split(' ').nth(1).and_then(|status| status.parse().ok()).context("a status")?;
        Ok(Answer { status, head: head.to_owned(), body: body.to_owned() })
    }
}
