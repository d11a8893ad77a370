//! Lower-case hexadecimal of fixed-size values.

/// Why a text is not 32 bytes in hexadecimal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("expected 64 hexadecimal digits in lower case")]
pub struct HexError;

pub(crate) fn encode(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    bytes.iter().flat_map(|b| [b >> 4, b & 15]).map(|n| char::from(DIGITS[usize::from(n)])).collect()
}

pub(crate) fn decode32(text: &str) -> Result<[u8; 32], HexError> {
    let digits = text.as_bytes();
    if digits.len() != 64 {
        return Err(HexError);
    }
    let mut bytes = [0; 32];
    for (byte, pair) in bytes.iter_mut().zip(digits.chunks_exact(2)) {
        *byte = nibble(pair[0])? << 4 | nibble(pair[1])?;
    }
    Ok(bytes)
}

fn nibble(digit: u8) -> Result<u8, HexError> {
    match digit {
        b'0'..=b'9' => Ok(digit - b'0'),
        b'a'..=b'f' => Ok(digit - b'a' + 10),
        _ => Err(HexError),
    }
}
