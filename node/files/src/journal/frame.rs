//! One frame of a journal: marker, length, checksum, kind, body.
//!
//! The checksum is keyed with the home id, so that bytes which a stranger chose (a record body) can
//! never pass for a frame of this home when a damaged file is searched for the next good one.

use super::HomeId;

/// What every frame begins with.
const MARKER: [u8; 4] = [0xF1, b'p', b'g', 0x0A];
/// Marker, length, checksum and kind.
pub const HEAD_BYTES: usize = 4 + 4 + 4 + 1;
/// The longest body that a frame may hold.
pub const MAX_BODY_BYTES: usize = 1 << 20;

/// A frame found in a segment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Found {
    /// Where the frame begins.
    pub offset: usize,
    /// What it holds.
    pub kind: u8,
    /// Length of the body.
    pub body_bytes: usize,
}

impl Found {
    /// Where the next frame should begin.
    pub fn end(&self) -> usize {
        self.offset + HEAD_BYTES + self.body_bytes
    }

    /// The body within the segment's bytes.
    pub fn body<'a>(&self, segment: &'a [u8]) -> &'a [u8] {
        &segment[self.offset + HEAD_BYTES..self.end()]
    }
}

/// Appends one frame to `out`.
pub fn write(out: &mut Vec<u8>, home: HomeId, kind: u8, body: &[u8]) {
    debug_assert!(body.len() <= MAX_BODY_BYTES);
    let length = (body.len() as u32).to_be_bytes();
    out.extend_from_slice(&MARKER);
    out.extend_from_slice(&length);
    out.extend_from_slice(&checksum(home, length, kind, body).to_be_bytes());
    out.push(kind);
    out.extend_from_slice(body);
}

/// The frame at `offset`, where a whole and undamaged one stands there.
pub fn read(segment: &[u8], offset: usize, home: HomeId) -> Option<Found> {
    let head = segment.get(offset..offset + HEAD_BYTES)?;
    if head[..4] != MARKER {
        return None;
    }
    let length = [head[4], head[5], head[6], head[7]];
    let body_bytes = u32::from_be_bytes(length) as usize;
    if body_bytes > MAX_BODY_BYTES {
        return None;
    }
    let found = Found { offset, kind: head[12], body_bytes };
    let body = segment.get(offset + HEAD_BYTES..found.end())?;
    let sum = u32::from_be_bytes([head[8], head[9], head[10], head[11]]);
    (sum == checksum(home, length, found.kind, body)).then_some(found)
}

/// The first whole frame at or after `from`.
pub fn search(segment: &[u8], from: usize, home: HomeId) -> Option<Found> {
    let mut at = from;
    while at + HEAD_BYTES <= segment.len() {
        let step = segment[at..].windows(MARKER.len()).position(|window| window == MARKER)?;
        if let Some(found) = read(segment, at + step, home) {
            return Some(found);
        }
        at += step + 1;
    }
    None
}

fn checksum(home: HomeId, length: [u8; 4], kind: u8, body: &[u8]) -> u32 {
    let mut hasher = crc32fast::Hasher::new();
    hasher.update(&home.0);
    hasher.update(&length);
    hasher.update(&[kind]);
    hasher.update(body);
    hasher.finalize()
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOME: HomeId = HomeId([7; 16]);

    fn two_frames() -> Vec<u8> {
        let mut bytes = Vec::new();
        write(&mut bytes, HOME, 1, b"first");
        write(&mut bytes, HOME, 2, b"second");
        bytes
    }

    #[test]
    fn reads_back_what_was_written() {
        let bytes = two_frames();
        let first = read(&bytes, 0, HOME).expect("a whole frame");
        let second = read(&bytes, first.end(), HOME).expect("a whole frame");
        assert_eq!((first.kind, first.body(&bytes)), (1, &b"first"[..]));
        assert_eq!((second.kind, second.body(&bytes)), (2, &b"second"[..]));
        assert_eq!(second.end(), bytes.len());
    }

    #[test]
    fn every_flipped_bit_is_noticed_and_the_next_frame_found() {
        let clean = two_frames();
        let first = read(&clean, 0, HOME).expect("a whole frame");
        for bit in 0..first.end() * 8 {
            let mut bytes = clean.clone();
            bytes[bit / 8] ^= 1 << (bit % 8);
            assert_eq!(read(&bytes, 0, HOME), None, "bit {bit}");
            assert_eq!(search(&bytes, 0, HOME).map(|found| found.offset), Some(first.end()), "bit {bit}");
        }
    }

    #[test]
    fn a_frame_made_for_another_home_is_not_one_of_ours() {
        let mut planted = Vec::new();
        write(&mut planted, HomeId([8; 16]), 1, b"planted");
        let mut bytes = Vec::new();
        write(&mut bytes, HOME, 1, &planted);
        bytes[5] ^= 1;
        assert_eq!(search(&bytes, 0, HOME), None);
    }

    #[test]
    fn a_cut_frame_is_not_whole_at_any_length() {
        let clean = two_frames();
        for length in 0..read(&clean, 0, HOME).expect("a whole frame").end() {
            assert_eq!(read(&clean[..length], 0, HOME), None, "cut at {length}");
        }
    }
}
