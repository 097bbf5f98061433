//! Inputs that cannot be printed, by the code that they lead to. The explanation describes each in words.

use document::limits::{MAX_BYTES, MAX_DEPTH};

/// The bytes, and the line of the finding that is expected.
pub(super) fn odd_input(code: &str) -> Option<(Vec<u8>, usize)> {
    Some(match code {
        "R01" => (vec![b'#'; MAX_BYTES + 1], 1),
        "R02" => (b"procedure: strainer-clean\ntitle: Caf\xe9 sprayer\n".to_vec(), 2),
        "R03" => (b"procedure: strainer-clean\ntitle: Clean the stra\0iner\n".to_vec(), 2),
        "R09" => (format!("procedure: deep\nsteps: {}\n", "[".repeat(MAX_DEPTH + 1)).into_bytes(), 2),
        _ => return None,
    })
}
