//! Promises of the store's decoders, for fuzzing.

use super::log::Position;
use super::segment::{self, HEADER_BYTES};
use super::{HomeId, JournalKind, end, frame};

const HOME: HomeId = HomeId([3; 16]);

/// Frames come in order, within the bytes, and damage fills exactly what lies between them.
pub fn segment(data: &[u8]) {
    let scan = segment::scan(data, JournalKind::Records, HOME, 1);
    let mut at = if segment::is_header(data, JournalKind::Records, HOME, 1) { HEADER_BYTES } else { 0 };
    for found in &scan.frames {
        let is_named = scan.gaps.contains(&(at, found.offset));
        assert!(found.offset == at || is_named, "bytes {at} to {} are not named", found.offset);
        assert!(found.offset >= at && found.end() <= data.len());
        assert!(frame::read(data, found.offset, HOME).is_some());
        at = found.end();
    }
    if let Some(torn_at) = scan.torn_at {
        assert!(torn_at >= at && torn_at <= data.len());
        assert!(frame::search(data, torn_at, HOME).is_none(), "a frame stands behind a torn tail");
    }
}

/// What is read is written the same again.
pub fn end_file(data: &[u8]) {
    if let Some(reach) = end::decode(data, HOME) {
        assert_eq!(&end::encode(reach, HOME)[..], data);
    }
}

/// A segment of two frames.
pub fn sample_segment() -> Vec<u8> {
    let mut out = segment::header(JournalKind::Records, HOME, 1).to_vec();
    frame::write(&mut out, HOME, 1, b"first");
    frame::write(&mut out, HOME, 5, &[7; 32]);
    out
}

/// A file that says how far a journal has come.
pub fn sample_end_file() -> Vec<u8> {
    let reach = end::Reach { first: 1, end: Position { segment: 1, offset: 777 } };
    end::encode(reach, HOME).to_vec()
}
