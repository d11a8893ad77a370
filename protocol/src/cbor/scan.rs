//! One pass over untrusted bytes, before any decoder sees them.

use crate::limits::DEPTH;

/// The first breach of the profile, and the byte where the offending item starts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("byte {offset}: {fault}")]
pub struct ScanError {
    /// Offset of the item in the scanned bytes.
    pub offset: usize,
    /// What is wrong with it.
    pub fault: ScanFault,
}

/// A breach of the profile.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ScanFault {
    /// The bytes end inside an item.
    #[error("the bytes end too early")]
    Truncated,
    /// Bytes follow the one item.
    #[error("bytes follow the item")]
    Trailing,
    /// A head that could be shorter.
    #[error("a head that could be shorter")]
    OverlongHead,
    /// An indefinite length, or the break that would end one.
    #[error("an indefinite length")]
    Indefinite,
    /// Additional information 28 to 30.
    #[error("a reserved head")]
    ReservedHead,
    /// A floating-point number.
    #[error("a floating-point number")]
    Float,
    /// A tag.
    #[error("a tag")]
    Tag,
    /// A simple value other than null.
    #[error("a simple value other than null")]
    Simple,
    /// A map key that is not an unsigned integer.
    #[error("a map key that is not an unsigned integer")]
    KeyType,
    /// The same key twice in one map.
    #[error("a duplicate map key")]
    DuplicateKey,
    /// A key below the one before it.
    #[error("map keys out of order")]
    UnsortedKeys,
    /// Text that is not UTF-8.
    #[error("text that is not UTF-8")]
    Utf8,
    /// Nesting deeper than the limit.
    #[error("nested deeper than {DEPTH} levels")]
    TooDeep,
}

/// Checks that `bytes` are exactly one item of the profile.
pub fn scan(bytes: &[u8]) -> Result<(), ScanError> {
    let mut scanner = Scanner { bytes, at: 0 };
    scanner.item(0)?;
    if scanner.at == bytes.len() { Ok(()) } else { Err(fault(scanner.at, ScanFault::Trailing)) }
}

fn fault(offset: usize, fault: ScanFault) -> ScanError {
    ScanError { offset, fault }
}

struct Scanner<'a> {
    bytes: &'a [u8],
    at: usize,
}

struct Head {
    start: usize,
    major: u8,
    info: u8,
    argument: u64,
}

impl Scanner<'_> {
    fn item(&mut self, depth: usize) -> Result<(), ScanError> {
        let head = self.head()?;
        match head.major {
            0 | 1 => Ok(()),
            2 => self.skip(&head).map(|_| ()),
            3 => self.text(&head),
            4 => self.array(&head, depth),
            5 => self.map(&head, depth),
            6 => Err(fault(head.start, ScanFault::Tag)),
            _ => simple(&head),
        }
    }

    fn head(&mut self) -> Result<Head, ScanError> {
        let start = self.at;
        let initial = self.take(1, start)?[0];
        let (major, info) = (initial >> 5, initial & 31);
        let argument = match info {
            0..=23 => u64::from(info),
            24..=27 => self.argument(start, info)?,
            31 => return Err(fault(start, ScanFault::Indefinite)),
            _ => return Err(fault(start, ScanFault::ReservedHead)),
        };
        let head = Head { start, major, info, argument };
        if head.is_overlong() { Err(fault(start, ScanFault::OverlongHead)) } else { Ok(head) }
    }

    fn argument(&mut self, start: usize, info: u8) -> Result<u64, ScanError> {
        let bytes = self.take(1 << (info - 24), start)?;
        Ok(bytes.iter().fold(0, |sum, b| sum << 8 | u64::from(*b)))
    }

    fn take(&mut self, length: usize, start: usize) -> Result<&[u8], ScanError> {
        let end = self.at.checked_add(length).filter(|end| *end <= self.bytes.len());
        let end = end.ok_or(fault(start, ScanFault::Truncated))?;
        let taken = &self.bytes[self.at..end];
        self.at = end;
        Ok(taken)
    }

    fn skip(&mut self, head: &Head) -> Result<&[u8], ScanError> {
        let length = usize::try_from(head.argument).map_err(|_| fault(head.start, ScanFault::Truncated))?;
        self.take(length, head.start)
    }

    fn text(&mut self, head: &Head) -> Result<(), ScanError> {
        let bytes = self.skip(head)?;
        std::str::from_utf8(bytes).map(|_| ()).map_err(|_| fault(head.start, ScanFault::Utf8))
    }

    fn array(&mut self, head: &Head, depth: usize) -> Result<(), ScanError> {
        self.enter(head, depth)?;
        (0..head.argument).try_for_each(|_| self.item(depth + 1))
    }

    fn map(&mut self, head: &Head, depth: usize) -> Result<(), ScanError> {
        self.enter(head, depth)?;
        let mut last = None;
        for _ in 0..head.argument {
            let key = self.key(last)?;
            last = Some(key);
            self.item(depth + 1)?;
        }
        Ok(())
    }

    /// For unsigned integers with shortest heads, rising values are rising encodings.
    fn key(&mut self, last: Option<u64>) -> Result<u64, ScanError> {
        let head = self.head()?;
        let breach = match last {
            _ if head.major != 0 => ScanFault::KeyType,
            Some(last) if head.argument == last => ScanFault::DuplicateKey,
            Some(last) if head.argument < last => ScanFault::UnsortedKeys,
            _ => return Ok(head.argument),
        };
        Err(fault(head.start, breach))
    }

    /// Every element takes at least one byte, so a huge count ends the scan at once.
    fn enter(&self, head: &Head, depth: usize) -> Result<(), ScanError> {
        if depth >= DEPTH {
            return Err(fault(head.start, ScanFault::TooDeep));
        }
        let left = (self.bytes.len() - self.at) as u64;
        if head.argument > left { Err(fault(head.start, ScanFault::Truncated)) } else { Ok(()) }
    }
}

impl Head {
    /// For majors 0 to 6; major 7 uses the same bits for widths of floats.
    fn is_overlong(&self) -> bool {
        let least = match self.info {
            24 => 24,
            25 => 1 << 8,
            26 => 1 << 16,
            27 => 1 << 32,
            _ => 0,
        };
        self.major < 7 && self.argument < least
    }
}

fn simple(head: &Head) -> Result<(), ScanError> {
    match (head.info, head.argument) {
        (22, _) => Ok(()),
        (25..=27, _) => Err(fault(head.start, ScanFault::Float)),
        _ => Err(fault(head.start, ScanFault::Simple)),
    }
}
