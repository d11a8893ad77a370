//! A record on paper: hexadecimal in short lines, each with a number and a check, to be typed in again.

use std::fmt::Write;

use sha2::{Digest, Sha256};

const BYTES_A_LINE: usize = 16;

/// Why a printed record cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PrintedError {
    /// No line with a number.
    #[error("no numbered lines")]
    Empty,
    /// A line is missing, or stands twice.
    #[error("line {expected} is expected, found line {found}")]
    Order {
        /// The next number.
        expected: usize,
        /// The number on the line.
        found: usize,
    },
    /// A line with other characters than the digits 0 to 9 and the letters a to f.
    #[error("line {0}: not in hexadecimal")]
    Digits(usize),
    /// A slip of the pen: the check at the end of the line does not fit.
    #[error("line {0}: the check does not fit, look for a wrong digit")]
    Check(usize),
}

/// Lines such as ` 3  58 2a… · 9f01`: number, at most 16 bytes in hexadecimal, and a check of two bytes.
pub fn write(bytes: &[u8]) -> String {
    let mut text = String::new();
    for (at, line) in bytes.chunks(BYTES_A_LINE).enumerate() {
        let pairs: Vec<String> = line.chunks(2).map(crate::hex::encode).collect();
        let check = crate::hex::encode(&check(at + 1, line));
        writeln!(text, "{:>3}  {} · {check}", at + 1, pairs.join(" "))
            .expect("writing to a string never fails");
    }
    text
}

/// Reads what [`write()`] wrote. Lines without a number, blanks and capitals do not matter.
pub fn read(text: &str) -> Result<Vec<u8>, PrintedError> {
    let mut bytes = Vec::new();
    for (expected, (found, digits)) in (1..).zip(text.lines().filter_map(numbered)) {
        if found != expected {
            return Err(PrintedError::Order { expected, found });
        }
        bytes.extend(line(found, &digits)?);
    }
    if bytes.is_empty() { Err(PrintedError::Empty) } else { Ok(bytes) }
}

/// Number and digits of a line.
fn numbered(line: &str) -> Option<(usize, String)> {
    let (number, rest) = line.trim().split_once(char::is_whitespace)?;
    let digits = rest.chars().filter(|c| !c.is_whitespace() && !matches!(c, '·' | '.' | '-'));
    Some((number.parse().ok()?, digits.collect::<String>().to_lowercase()))
}

fn line(number: usize, digits: &str) -> Result<Vec<u8>, PrintedError> {
    let bytes =
        crate::hex::decode(digits).filter(|bytes| bytes.len() > 2).ok_or(PrintedError::Digits(number))?;
    let (content, found) = bytes.split_at(bytes.len() - 2);
    if found == check(number, content) { Ok(content.to_vec()) } else { Err(PrintedError::Check(number)) }
}

/// The first two bytes of SHA-256 over the number of the line and its content.
fn check(number: usize, content: &[u8]) -> [u8; 2] {
    let hash = Sha256::new().chain_update((number as u64).to_be_bytes()).chain_update(content).finalize();
    [hash[0], hash[1]]
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::{PrintedError, read, write};

    #[test]
    fn slips_are_found_in_their_line() {
        let text = write(&(0..40).collect::<Vec<u8>>());
        assert_eq!(text.lines().count(), 3);
        assert_eq!(read(&text.to_uppercase().replace('·', " ")), Ok((0..40).collect()));
        assert_eq!(read(&format!("Keep this sheet.\n\n{text}\n(end)")), Ok((0..40).collect()));
        assert_eq!(read(&text.replace("1819", "1918")), Err(PrintedError::Check(2)));
        assert_eq!(read(&text.replace("1819", "18x9")), Err(PrintedError::Digits(2)));
        let without_second: String =
            text.lines().enumerate().filter(|(at, _)| *at != 1).map(|(_, l)| l.to_owned() + "\n").collect();
        assert_eq!(read(&without_second), Err(PrintedError::Order { expected: 2, found: 3 }));
        assert_eq!(read("nothing"), Err(PrintedError::Empty));
    }

    proptest! {
        #[test]
        fn what_is_printed_is_read(bytes in proptest::collection::vec(any::<u8>(), 1..400)) {
            prop_assert_eq!(read(&write(&bytes)), Ok(bytes));
        }
    }
}
