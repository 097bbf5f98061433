//! Whether all records hold together.

use journal::{Storage, Verification};

/// What is wrong with the records, if anything is: a hash that does not hold, a document or a certificate that a walk goes by and that
/// is not kept any more, or lists that tell otherwise than the records.
///
/// # Errors
/// That of the journal: then nothing can be told.
pub fn not_intact(journal: &dyn Storage) -> Result<Option<String>, walk::Error> {
    if let Verification::Broken(fault) = journal.verify()? {
        return Ok(Some(fault.to_string()));
    }
    let without = walk::without_what_they_go_by(journal)?;
    if !without.is_empty() {
        return Ok(Some(format!("what they go by is not kept any more: {}", without.join(", "))));
    }
    let otherwise = walk::told_otherwise(journal)?;
    let told = || format!("lists tell otherwise than their records: {}", otherwise.join(", "));
    Ok((!otherwise.is_empty()).then(told))
}
