//! Numbers nobody can guess.

use std::fmt::Write as _;

/// So many bytes make a token: 256 bits.
const TOKEN_BYTES: usize = 32;

/// A new token, 64 hexadecimal digits.
///
/// # Errors
/// If the system has no randomness to give: then nobody can be signed in.
pub(crate) fn token() -> Result<String, getrandom::Error> {
    let mut bytes = [0; TOKEN_BYTES];
    getrandom::fill(&mut bytes)?;
    let mut text = String::with_capacity(2 * TOKEN_BYTES);
    for byte in bytes {
        // Writing to a string cannot fail.
        let _ = write!(text, "{byte:02x}");
    }
    Ok(text)
}

/// Compares two texts in a time that does not tell where they differ.
pub(crate) fn same(a: &str, b: &str) -> bool {
    a.len() == b.len() && a.bytes().zip(b.bytes()).fold(0, |all, (a, b)| all | (a ^ b)) == 0
}
