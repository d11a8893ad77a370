//! Request files: what a node has, so that another one can make a bundle of what it lacks.
//!
//! Layout: magic line, network id, then for each month its number (2 bytes), count (4 bytes), fingerprint (16 bytes)
//! and the first eight bytes of each id, rising; then 0xFFFF and the SHA-256 of everything before the digest. Eight
//! bytes are enough to tell honest records apart; whoever grinds ids to match gets a record left out of one file.

use std::collections::{BTreeMap, HashSet};
use std::io::{self, Read, Write};

use propagule_protocol::{Month, NetworkId, RecordId};
use sha2::{Digest, Sha256};

use super::BundleError;
use crate::limits::{MONTHS, REQUEST_BYTES};
use crate::store::MonthRow;

const MAGIC: &[u8; 20] = b"propagule-request/1\n";
const END: [u8; 2] = [0xFF, 0xFF];

/// The first eight bytes of an id.
pub type ShortId = [u8; 8];

/// The first eight bytes of an id.
pub fn short(id: &RecordId) -> ShortId {
    id.0[..8].try_into().expect("an id is longer than eight bytes")
}

/// Writes a request file.
#[derive(Debug)]
pub struct RequestWriter<W> {
    out: W,
    digest: Sha256,
}

impl<W: Write> RequestWriter<W> {
    /// Begins a request for one network.
    ///
    /// # Errors
    /// When writing fails.
    pub fn new(out: W, network: NetworkId) -> Result<Self, BundleError> {
        let mut writer = Self { out, digest: Sha256::new() };
        writer.put(MAGIC)?;
        writer.put(&network.0)?;
        Ok(writer)
    }

    /// Adds one month; months rise.
    ///
    /// # Errors
    /// When writing fails.
    pub fn add(&mut self, row: &MonthRow, ids: &[ShortId]) -> Result<(), BundleError> {
        self.put(&row.month.0.to_be_bytes())?;
        self.put(&(ids.len() as u32).to_be_bytes())?;
        self.put(&row.fingerprint)?;
        ids.iter().try_for_each(|id| self.put(id))
    }

    /// Ends the file.
    ///
    /// # Errors
    /// When writing fails.
    pub fn finish(mut self) -> Result<(), BundleError> {
        self.put(&END)?;
        let digest = self.digest.finalize();
        self.out.write_all(&digest)?;
        Ok(self.out.flush()?)
    }

    fn put(&mut self, bytes: &[u8]) -> Result<(), BundleError> {
        self.digest.update(bytes);
        Ok(self.out.write_all(bytes)?)
    }
}

/// What the other node has.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Wanted {
    months: BTreeMap<Month, [u8; 16]>,
    ids: HashSet<ShortId>,
}

impl Wanted {
    /// Reads a request file of the given network.
    ///
    /// # Errors
    /// When it is not one, of another network, or damaged.
    pub fn read(input: impl Read, network: NetworkId) -> Result<Self, BundleError> {
        let mut input = Input { input: input.take(REQUEST_BYTES), digest: Sha256::new() };
        if input.array::<20>().ok() != Some(*MAGIC) {
            return Err(BundleError::NotARequest);
        }
        if input.array()? != network.0 {
            return Err(BundleError::OtherNetwork);
        }
        let mut wanted = Self::default();
        loop {
            let month = input.array()?;
            if month == END {
                break;
            }
            let month = u16::from_be_bytes(month);
            let follows = wanted.months.last_key_value().is_none_or(|(last, _)| last.0 < month);
            if month >= MONTHS || !follows {
                return Err(BundleError::BadEnd);
            }
            let count = u32::from_be_bytes(input.array()?);
            wanted.months.insert(Month(month), input.array()?);
            // Nothing is set aside for the count that the file claims.
            for _ in 0..count {
                wanted.ids.insert(input.array()?);
            }
        }
        let found: [u8; 32] = std::mem::take(&mut input.digest).finalize().into();
        let rest = input.array::<32>()?;
        if rest == found { Ok(wanted) } else { Err(BundleError::BadEnd) }
    }

    /// Whether the other node has exactly what stands in `row`.
    pub fn has_month(&self, row: &MonthRow) -> bool {
        self.months.get(&row.month) == Some(&row.fingerprint)
    }

    /// Whether the other node has a record.
    pub fn has(&self, id: &RecordId) -> bool {
        self.ids.contains(&short(id))
    }
}

struct Input<R> {
    input: R,
    digest: Sha256,
}

impl<R: Read> Input<R> {
    fn array<const N: usize>(&mut self) -> Result<[u8; N], BundleError> {
        let mut bytes = [0; N];
        self.input.read_exact(&mut bytes).map_err(|e| match e.kind() {
            io::ErrorKind::UnexpectedEof => BundleError::BadEnd,
            _ => BundleError::Io(e),
        })?;
        self.digest.update(bytes);
        Ok(bytes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NETWORK: NetworkId = NetworkId([1; 32]);

    fn row(month: u16) -> MonthRow {
        MonthRow { month: Month(month), count: 2, fingerprint: [month as u8; 16] }
    }

    fn request() -> Vec<u8> {
        let mut bytes = Vec::new();
        let mut writer = RequestWriter::new(&mut bytes, NETWORK).expect("memory takes all");
        writer.add(&row(5), &[[1; 8], [2; 8]]).expect("memory takes all");
        writer.add(&row(9), &[[3; 8]]).expect("memory takes all");
        writer.finish().expect("memory takes all");
        bytes
    }

    #[test]
    fn says_what_is_there() {
        let wanted = Wanted::read(&request()[..], NETWORK).expect("whole");
        assert!(wanted.has_month(&row(5)) && wanted.has_month(&row(9)) && !wanted.has_month(&row(7)));
        assert!(!wanted.has_month(&MonthRow { fingerprint: [0; 16], ..row(5) }));
        assert!(wanted.has(&RecordId([2; 32])) && !wanted.has(&RecordId([4; 32])));
    }

    #[test]
    fn every_cut_and_every_flip_is_noticed() {
        let whole = request();
        for length in 0..whole.len() {
            assert!(Wanted::read(&whole[..length], NETWORK).is_err(), "cut at {length}");
        }
        for bit in 0..whole.len() * 8 {
            let mut bytes = whole.clone();
            bytes[bit / 8] ^= 1 << (bit % 8);
            assert!(Wanted::read(&bytes[..], NETWORK).is_err(), "bit {bit}");
        }
    }

    #[test]
    fn a_file_without_an_end_is_given_up_at_the_limit() {
        let head = [&MAGIC[..], &NETWORK.0, &[0, 1], &u32::MAX.to_be_bytes(), &[0; 16]].concat();
        let mut longer = head.chain(io::repeat(7)).take(2 * REQUEST_BYTES);
        assert!(matches!(Wanted::read(&mut longer, NETWORK), Err(BundleError::BadEnd)));
        assert_eq!(longer.limit(), REQUEST_BYTES, "the rest is not read");
    }
}
