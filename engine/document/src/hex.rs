//! Hashes as people and files write them.

use std::fmt::Write as _;

/// Bytes as hexadecimal digits, two a byte, in small letters.
#[must_use]
pub fn hex(bytes: impl AsRef<[u8]>) -> String {
    bytes.as_ref().iter().fold(String::new(), |mut text, byte| {
        // Writing to a string cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}
