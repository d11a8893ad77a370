//! Bundles: records in a file, for growers who meet or mail instead of connecting.
//!
//! Layout: magic line, network id, then for each record its length (4 bytes, big-endian) and bytes,
//! then a zero length, the count (8 bytes) and the SHA-256 of everything before the digest. There are
//! no names inside and nothing is compressed.

mod request;

pub use request::{RequestWriter, ShortId, Wanted, short};

use std::io::{self, Read, Write};

use propagule_protocol::NetworkId;
use propagule_protocol::limits::RECORD_BYTES;
use sha2::{Digest, Sha256};

use crate::limits::BUNDLE_BYTES;

const MAGIC: &[u8; 19] = b"propagule-bundle/1\n";
/// A file that cannot be read as a bundle.
#[derive(Debug, thiserror::Error)]
pub enum BundleError {
    /// It does not begin as a bundle does.
    #[error("it is not a bundle of records")]
    NotABundle,
    /// It does not begin as a request file does.
    #[error("it is not a request file")]
    NotARequest,
    /// Its records belong to another network.
    #[error("its records belong to another network")]
    OtherNetwork,
    /// A length inside is impossible.
    #[error(
        "it is damaged: record {record} claims {bytes} bytes, the most a record may have is {RECORD_BYTES}"
    )]
    BadLength {
        /// Which record, from 1.
        record: u64,
        /// The claim.
        bytes: u32,
    },
    /// Count or digest at the end do not fit.
    #[error(
        "it is damaged: the checksum at its end does not fit; records before the damage were judged one by one"
    )]
    BadEnd,
    /// It stops in the middle.
    #[error("it is cut off after {records} whole records")]
    CutOff {
        /// Whole records before the cut.
        records: u64,
    },
    /// More than may be written or read.
    #[error("a bundle may have at most 2 GiB")]
    TooLarge,
    /// The operating system refused.
    #[error(transparent)]
    Io(#[from] io::Error),
}

/// Writes a bundle.
#[derive(Debug)]
pub struct Writer<W> {
    out: W,
    digest: Sha256,
    count: u64,
    bytes: u64,
}

impl<W: Write> Writer<W> {
    /// Begins a bundle for one network.
    ///
    /// # Errors
    /// When writing fails.
    pub fn new(out: W, network: NetworkId) -> Result<Self, BundleError> {
        let mut writer = Self { out, digest: Sha256::new(), count: 0, bytes: 0 };
        writer.put(MAGIC)?;
        writer.put(&network.0)?;
        Ok(writer)
    }

    /// Adds one record.
    ///
    /// # Errors
    /// When writing fails or the bundle grows too large.
    pub fn add(&mut self, record: &[u8]) -> Result<(), BundleError> {
        self.put(&(record.len() as u32).to_be_bytes())?;
        self.put(record)?;
        self.count += 1;
        Ok(())
    }

    /// Ends the bundle and returns how many records it holds.
    ///
    /// # Errors
    /// When writing fails.
    pub fn finish(mut self) -> Result<u64, BundleError> {
        self.put(&0_u32.to_be_bytes())?;
        let count = self.count;
        self.put(&count.to_be_bytes())?;
        let digest = self.digest.finalize();
        self.out.write_all(&digest)?;
        self.out.flush()?;
        Ok(count)
    }

    fn put(&mut self, bytes: &[u8]) -> Result<(), BundleError> {
        self.bytes += bytes.len() as u64;
        if self.bytes > BUNDLE_BYTES {
            return Err(BundleError::TooLarge);
        }
        self.digest.update(bytes);
        Ok(self.out.write_all(bytes)?)
    }
}

/// Reads a bundle record by record.
#[derive(Debug)]
pub struct Reader<R> {
    input: R,
    digest: Sha256,
    count: u64,
    bytes: u64,
}

impl<R: Read> Reader<R> {
    /// Opens a bundle of the given network.
    ///
    /// # Errors
    /// When it is not a bundle or of another network.
    pub fn new(input: R, network: NetworkId) -> Result<Self, BundleError> {
        let mut reader = Self { input, digest: Sha256::new(), count: 0, bytes: 0 };
        let mut magic = [0; MAGIC.len()];
        if !reader.fill(&mut magic)? || magic != *MAGIC {
            return Err(BundleError::NotABundle);
        }
        let mut id = [0; 32];
        if !reader.fill(&mut id)? {
            return Err(BundleError::CutOff { records: 0 });
        }
        if id != network.0 {
            return Err(BundleError::OtherNetwork);
        }
        Ok(reader)
    }

    /// Bytes read so far.
    pub fn bytes(&self) -> u64 {
        self.bytes
    }

    /// The next record; `None` after the last one, once the checksum has been found right.
    ///
    /// # Errors
    /// Damage, a cut, or a failing file.
    pub fn next_record(&mut self) -> Result<Option<Vec<u8>>, BundleError> {
        let cut = BundleError::CutOff { records: self.count };
        let mut length = [0; 4];
        if !self.fill(&mut length)? {
            return Err(cut);
        }
        let bytes = u32::from_be_bytes(length);
        if bytes == 0 {
            return self.check_end().map(|()| None);
        }
        if bytes as usize > RECORD_BYTES {
            return Err(BundleError::BadLength { record: self.count + 1, bytes });
        }
        let mut record = vec![0; bytes as usize];
        if !self.fill(&mut record)? {
            return Err(cut);
        }
        self.count += 1;
        Ok(Some(record))
    }

    fn check_end(&mut self) -> Result<(), BundleError> {
        let cut = BundleError::CutOff { records: self.count };
        let mut count = [0; 8];
        if !self.fill(&mut count)? {
            return Err(cut);
        }
        let wanted = std::mem::take(&mut self.digest).finalize();
        let mut digest = [0; 32];
        if !self.fill(&mut digest)? {
            return Err(cut);
        }
        let fits = u64::from_be_bytes(count) == self.count && digest[..] == wanted[..];
        if fits { Ok(()) } else { Err(BundleError::BadEnd) }
    }

    /// Fills `buffer`; false when the file ends before.
    fn fill(&mut self, buffer: &mut [u8]) -> Result<bool, BundleError> {
        self.bytes += buffer.len() as u64;
        if self.bytes > BUNDLE_BYTES {
            return Err(BundleError::TooLarge);
        }
        match self.input.read_exact(buffer) {
            Ok(()) => {
                self.digest.update(&*buffer);
                Ok(true)
            }
            Err(e) if e.kind() == io::ErrorKind::UnexpectedEof => Ok(false),
            Err(e) => Err(e.into()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NETWORK: NetworkId = NetworkId([1; 32]);

    fn bundle() -> Vec<u8> {
        let mut bytes = Vec::new();
        let mut writer = Writer::new(&mut bytes, NETWORK).expect("memory takes all");
        writer.add(b"one").expect("memory takes all");
        writer.add(b"second").expect("memory takes all");
        assert_eq!(writer.finish().expect("memory takes all"), 2);
        bytes
    }

    fn read(bytes: &[u8]) -> Result<Vec<Vec<u8>>, BundleError> {
        let mut reader = Reader::new(bytes, NETWORK)?;
        let mut records = Vec::new();
        while let Some(record) = reader.next_record()? {
            records.push(record);
        }
        Ok(records)
    }

    #[test]
    fn gives_back_what_was_put_in() {
        assert_eq!(read(&bundle()).expect("whole"), [b"one".to_vec(), b"second".to_vec()]);
    }

    #[test]
    fn every_cut_and_every_flip_is_noticed() {
        let whole = bundle();
        for length in 0..whole.len() {
            assert!(read(&whole[..length]).is_err(), "cut at {length}");
        }
        for bit in 0..whole.len() * 8 {
            let mut bytes = whole.clone();
            bytes[bit / 8] ^= 1 << (bit % 8);
            assert!(read(&bytes).is_err(), "bit {bit}");
        }
    }

    /// A sink that keeps nothing.
    struct Nowhere;

    impl Write for Nowhere {
        fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
            Ok(bytes.len())
        }

        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn a_bundle_over_its_limit_is_neither_written_nor_read() {
        let mut writer = Writer::new(Nowhere, NETWORK).expect("a sink takes all");
        writer.bytes = BUNDLE_BYTES - 4_000;
        writer.add(&[0; 3_000]).expect("it fits");
        assert!(matches!(writer.add(&[0; 3_000]), Err(BundleError::TooLarge)));
        let whole = bundle();
        let mut reader = Reader::new(&whole[..], NETWORK).expect("opens");
        reader.bytes = BUNDLE_BYTES - 2;
        assert!(matches!(reader.next_record(), Err(BundleError::TooLarge)));
    }

    #[test]
    fn a_bundle_of_another_network_is_refused() {
        let error = Reader::new(&bundle()[..], NetworkId([2; 32])).expect_err("refused");
        assert!(matches!(error, BundleError::OtherNetwork));
    }
}
