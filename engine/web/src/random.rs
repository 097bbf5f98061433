//! Numbers nobody can guess.

use document::hex;

/// So many bytes make a token: 256 bits.
const TOKEN_BYTES: usize = 32;

/// A new token, 64 hexadecimal digits.
///
/// # Errors
/// If the system has no randomness to give: then nobody can be signed in.
pub(crate) fn token() -> Result<String, getrandom::Error> {
    let mut bytes = [0; TOKEN_BYTES];
    getrandom::fill(&mut bytes)?;
    Ok(hex(bytes))
}

/// Compares two texts in a time that does not tell where they differ.
pub(crate) fn same(a: &str, b: &str) -> bool {
    a.len() == b.len() && a.bytes().zip(b.bytes()).fold(0, |all, (a, b)| all | (a ^ b)) == 0
}
