//! Inputs that cannot be printed, by the code that they lead to. The explanation describes each in words.

use document::limits::{MAX_BYTES, MAX_DEPTH, MAX_RECORD_BYTES};

/// The bytes, and the line of the finding that is expected.
pub(super) fn odd_input(code: &str) -> Option<(Vec<u8>, usize)> {
    Some(match code {
        "R01" => (vec![b'#'; MAX_BYTES + 1], 1),
        "R02" => (b"procedure: strainer-clean\ntitle: Caf\xe9 sprayer\n".to_vec(), 2),
        "R03" => (b"procedure: strainer-clean\ntitle: Clean the stra\0iner\n".to_vec(), 2),
        "R09" => (format!("procedure: deep\nsteps: {}\n", "[".repeat(MAX_DEPTH + 1)).into_bytes(), 2),
        "P12" => {
            let shared = include_str!("../../explained/shared/procedure.yaml");
            let line = shared.lines().position(|line| line.starts_with("procedure:"))? + 1;
            (format!("{shared}# {}\n", "\"".repeat(MAX_RECORD_BYTES / 2)).into_bytes(), line)
        }
        _ => return None,
    })
}
