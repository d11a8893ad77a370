//! When each author was first seen in this home: a file that grows by 36 bytes an author. It stays in the home.
//!
//! An author is written down before the first record of it is kept. So whoever has records here and no line is from
//! before this was written down, and nobody can bring that about.

use std::collections::HashMap;
use std::fs::{self, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use propagule_files::journal::{StoreError, io_error};
use propagule_files::replace::replace_file;
use propagule_protocol::AuthorKey;

use super::{AuthorRange, DayNumber};
use crate::limits::RANGE_REST;

/// What the file begins with: this, the secret that draws the range, its bits, and the day on which it last changed.
const MARK: &[u8; 8] = b"seen\0\0\0\x01";
const HEAD_BYTES: usize = 32;
const LINE_BYTES: usize = 36;
/// The day of those that are known by the grower's word.
const EVER: DayNumber = 0;

#[derive(Debug)]
pub(super) struct FirstSeen {
    path: Option<PathBuf>,
    /// Whether the file is there, and how long the whole lines in it are.
    written: Option<u64>,
    days: HashMap<AuthorKey, DayNumber>,
    secret: u64,
    bits: u8,
    changed: DayNumber,
    changes: u64,
}

impl FirstSeen {
    pub(super) fn in_memory() -> Self {
        Self {
            path: None,
            written: None,
            days: HashMap::new(),
            secret: secret(),
            bits: 0,
            changed: 0,
            changes: 0,
        }
    }

    pub(super) fn open(path: &Path) -> Result<Self, StoreError> {
        let fresh = Self { path: Some(path.into()), ..Self::in_memory() };
        let bytes = match fs::read(path) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(fresh),
            Err(error) => return Err(io_error("read", path, error)),
        };
        let Some((head, lines)) = bytes.split_at_checked(HEAD_BYTES) else { return Ok(fresh) };
        if !head.starts_with(MARK) {
            return Err(io_error("read", path, io::ErrorKind::InvalidData.into()));
        }
        let mut days = HashMap::with_capacity(lines.len() / LINE_BYTES);
        for line in lines.chunks_exact(LINE_BYTES) {
            let (key, day) = line.split_at(32);
            let Some(author) = AuthorKey::from_bytes(key) else { continue };
            let day = DayNumber::from_be_bytes(day.try_into().expect("the rest of a line has four bytes"));
            let known = days.entry(author).or_insert(day);
            *known = day.min(*known);
        }
        let whole = bytes.len() - lines.len() % LINE_BYTES;
        Ok(Self {
            written: Some(whole as u64),
            days,
            secret: u64::from_be_bytes(head[8..16].try_into().expect("eight bytes")),
            bits: head[16],
            changed: DayNumber::from_be_bytes(head[20..24].try_into().expect("four bytes")),
            ..fresh
        })
    }

    pub(super) fn day(&self, author: &AuthorKey) -> Option<DayNumber> {
        self.days.get(author).copied()
    }

    /// The first day of all.
    pub(super) fn since(&self) -> Option<DayNumber> {
        self.days.values().copied().filter(|day| *day > EVER).min()
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = (AuthorKey, DayNumber)> {
        self.days.iter().map(|(author, day)| (*author, *day))
    }

    pub(super) fn changes(&self) -> u64 {
        self.changes
    }

    pub(super) fn note(&mut self, authors: &[AuthorKey], today: DayNumber) -> Result<(), StoreError> {
        let fresh = authors.iter().copied().filter(|author| !self.days.contains_key(author)).collect();
        self.put(fresh, today.max(EVER + 1))
    }

    pub(super) fn take_as_known(&mut self, authors: &[AuthorKey]) -> Result<(), StoreError> {
        let is_other = |author: &AuthorKey| self.day(author) != Some(EVER);
        let others = authors.iter().copied().filter(is_other).collect();
        self.put(others, EVER)
    }

    fn put(&mut self, mut authors: Vec<AuthorKey>, day: DayNumber) -> Result<(), StoreError> {
        authors.sort_unstable();
        authors.dedup();
        if authors.is_empty() {
            return Ok(());
        }
        let lines: Vec<u8> = authors.iter().flat_map(|author| line(author, day)).collect();
        self.append(&lines)?;
        self.days.extend(authors.into_iter().map(|author| (author, day)));
        self.changes += 1;
        Ok(())
    }

    /// Writes lines behind the whole ones, and to disk: a record must not be there without the line of its author.
    fn append(&mut self, lines: &[u8]) -> Result<(), StoreError> {
        let Some(path) = &self.path else { return Ok(()) };
        let Some(written) = self.written else {
            let all = [&self.head()[..], lines].concat();
            replace_file(path, &all)?;
            self.written = Some(all.len() as u64);
            return Ok(());
        };
        let put = || -> io::Result<()> {
            let mut file = OpenOptions::new().append(true).open(path)?;
            file.set_len(written)?;
            file.write_all(lines)?;
            file.sync_data()
        };
        put().map_err(|error| io_error("write", path, error))?;
        self.written = Some(written + lines.len() as u64);
        Ok(())
    }

    fn head(&self) -> [u8; HEAD_BYTES] {
        let mut head = [0; HEAD_BYTES];
        head[..8].copy_from_slice(MARK);
        head[8..16].copy_from_slice(&self.secret.to_be_bytes());
        head[16] = self.bits;
        head[20..24].copy_from_slice(&self.changed.to_be_bytes());
        head
    }

    pub(super) fn range(&self) -> AuthorRange {
        AuthorRange::drawn(self.secret, self.bits)
    }

    pub(super) fn drawn_by(&self) -> (u64, u8) {
        (self.secret, self.bits)
    }

    /// Changes the range, and forgets authors whose records go: should they come again, they are new.
    pub(super) fn narrow(
        &mut self,
        bits: u8,
        gone: &[AuthorKey],
        today: DayNumber,
    ) -> Result<(), StoreError> {
        let (bits_before, changed_before) = (self.bits, self.changed);
        if bits != self.bits {
            (self.bits, self.changed) = (bits, today);
        }
        let gone: std::collections::HashSet<&AuthorKey> = gone.iter().collect();
        let left = self.days.iter().filter(|(author, _)| !gone.contains(author));
        let left: HashMap<AuthorKey, DayNumber> = left.map(|(author, day)| (*author, *day)).collect();
        if let Some(path) = &self.path {
            let lines = left.iter().flat_map(|(author, day)| line(author, *day));
            let all: Vec<u8> = self.head().into_iter().chain(lines).collect();
            if let Err(error) = replace_file(path, &all) {
                (self.bits, self.changed) = (bits_before, changed_before);
                return Err(error);
            }
            self.written = Some(all.len() as u64);
        }
        self.days = left;
        self.changes += 1;
        Ok(())
    }

    /// Lets the other half of the range in, once a day, and not soon after it was narrowed.
    pub(super) fn widen(&mut self, today: DayNumber) -> Result<bool, StoreError> {
        if self.bits == 0 || today.saturating_sub(self.changed) < RANGE_REST {
            return Ok(false);
        }
        // The next half a day later, should there still be room.
        let next = today.saturating_sub(RANGE_REST - 1);
        self.narrow(self.bits - 1, &[], next).map(|()| true)
    }
}

fn line(author: &AuthorKey, day: DayNumber) -> [u8; LINE_BYTES] {
    let mut line = [0; LINE_BYTES];
    line[..32].copy_from_slice(&author.0);
    line[32..].copy_from_slice(&day.to_be_bytes());
    line
}

/// Which strangers a home keeps when it cannot keep all is nobody else's to know.
fn secret() -> u64 {
    let mut bytes = [0; 8];
    // Without random numbers the home has no keys either.
    getrandom::fill(&mut bytes).expect("the system gives random numbers");
    u64::from_be_bytes(bytes)
}
