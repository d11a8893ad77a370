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
    decode(text).and_then(|bytes| bytes.try_into().ok()).ok_or(HexError)
}

/// Bytes of lower-case digits, two a byte.
pub(crate) fn decode(text: &str) -> Option<Vec<u8>> {
    let pairs = text.as_bytes().chunks(2);
    pairs.map(|pair| Some(nibble(*pair.first()?)? << 4 | nibble(*pair.get(1)?)?)).collect()
}

fn nibble(digit: u8) -> Option<u8> {
    match digit {
        b'0'..=b'9' => Some(digit - b'0'),
        b'a'..=b'f' => Some(digit - b'a' + 10),
        _ => None,
    }
}
