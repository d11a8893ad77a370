//! Secrets that cannot be guessed.

use propagule_files::fault::Fault;

/// Letters and digits of a code that is typed: none that look alike.
const TYPED: &[u8; 27] = b"ACDEFGHJKMNPQRTUVWXY3467890";

/// 128 random bits as hex.
pub(in crate::web) fn secret() -> Result<String, Fault> {
    let mut bytes = [0; 16];
    fill(&mut bytes)?;
    Ok(propagule_files::hex::encode(&bytes))
}

/// A code of `length` letters and digits.
pub(super) fn typed_code(length: usize) -> Result<String, Fault> {
    let mut code = String::new();
    while code.len() < length {
        let mut byte = [0];
        fill(&mut byte)?;
        // Bytes beyond the last whole multiple would make the first letters more likely.
        let index = usize::from(byte[0]);
        if index < 256 / TYPED.len() * TYPED.len() {
            code.push(char::from(TYPED[index % TYPED.len()]));
        }
    }
    Ok(code)
}

fn fill(bytes: &mut [u8]) -> Result<(), Fault> {
    getrandom::fill(bytes).map_err(|e| Fault::environment("page-no-random-numbers").because(e))
}
