//! From scanned bytes to a value, without a general decoder's detours.

use ciborium::Value;
use ciborium::value::Integer;

use super::{ScanError, scan};

/// The value of exactly one item of the profile.
pub fn read(bytes: &[u8]) -> Result<Value, ScanError> {
    scan(bytes)?;
    Ok(Reader { rest: bytes }.item())
}

/// Reads bytes that the scanner has passed, so that every head, length and text is good.
struct Reader<'a> {
    rest: &'a [u8],
}

impl Reader<'_> {
    fn item(&mut self) -> Value {
        let (major, argument) = self.head();
        match major {
            0 => Value::from(argument),
            1 => Value::Integer(Integer::try_from(-1 - i128::from(argument)).expect("a head holds 64 bits")),
            2 => Value::Bytes(self.take(argument).to_vec()),
            3 => Value::Text(String::from_utf8(self.take(argument).to_vec()).expect("the text was scanned")),
            4 => Value::Array((0..argument).map(|_| self.item()).collect()),
            5 => Value::Map((0..argument).map(|_| (self.item(), self.item())).collect()),
            _ => Value::Null,
        }
    }

    fn head(&mut self) -> (u8, u64) {
        let initial = self.take(1)[0];
        let argument = match initial & 31 {
            info @ 24..=27 => self.take(1 << (info - 24)).iter().fold(0, |sum, b| sum << 8 | u64::from(*b)),
            info => u64::from(info),
        };
        (initial >> 5, argument)
    }

    fn take(&mut self, length: u64) -> &[u8] {
        let (taken, rest) = self.rest.split_at(length as usize);
        self.rest = rest;
        taken
    }
}
