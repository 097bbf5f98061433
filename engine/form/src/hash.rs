//! One hash for data.

use serde::Serialize;
use sha2::{Digest, Sha256};

/// SHA-256, in lower-case hexadecimal, of the data as JSON without white space.
///
/// # Errors
/// If the data cannot be written as JSON: never that of this member.
pub fn hash(data: &impl Serialize) -> Result<String, serde_json::Error> {
    let digest = Sha256::digest(serde_json::to_vec(data)?);
    Ok(digest.iter().map(|byte| format!("{byte:02x}")).collect())
}
