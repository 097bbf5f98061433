//! Whether all records hold together.

use journal::{Journal, Verification};

/// What is wrong with the records, if anything is: a hash that does not hold, or a certificate that a walk carries and that is not kept
/// any more.
///
/// # Errors
/// That of the journal: then nothing can be told.
pub fn not_intact(journal: &Journal) -> Result<Option<String>, walk::Error> {
    if let Verification::Broken(fault) = journal.verify()? {
        return Ok(Some(fault.to_string()));
    }
    let without = walk::without_certificate(journal)?;
    let told = || format!("no certificate of what they go by is kept any more: {}", without.join(", "));
    Ok((!without.is_empty()).then(told))
}
