//! Walks of which a record cannot be read: they take no other away, and each is named.

use journal::ChainSummary;
use serde::Serialize;
use std::fmt;

/// A walk that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Damaged {
    /// Its name in the records.
    pub walk: String,
    /// Why it cannot be read.
    pub why: String,
}

/// Why something that is told of all walks is not told: these cannot be read, and nobody would see that they are missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Incomplete(Vec<Damaged>);

impl Incomplete {
    /// Makes sure that no walk is missing.
    ///
    /// # Errors
    /// If any is damaged.
    pub fn unless_whole(damaged: &[Damaged]) -> Result<(), Self> {
        if damaged.is_empty() { Ok(()) } else { Err(Self(damaged.to_vec())) }
    }
}

impl fmt::Display for Incomplete {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let named: Vec<String> =
            self.0.iter().map(|Damaged { walk, why }| format!("{walk} ({why})")).collect();
        write!(f, "Records that cannot be read: {}. Nothing is told of the others alone.", named.join(", "))
    }
}

/// Reads walks one by one, in the order in which they come: what was read of those that can be, and those that cannot.
///
/// # Errors
/// If the journal itself fails: then nothing is known of any walk.
pub fn readable<'a, T>(
    chains: impl IntoIterator<Item = &'a ChainSummary>,
    mut read: impl FnMut(&'a ChainSummary) -> Result<T, walk::Error>,
) -> Result<(Vec<T>, Vec<Damaged>), journal::Error> {
    let (mut walks, mut damaged) = (Vec::new(), Vec::new());
    for chain in chains {
        match read(chain) {
            Ok(walk) => walks.push(walk),
            Err(walk::Error::Journal(error)) => return Err(error),
            Err(error) => damaged.push(Damaged { walk: chain.id.clone(), why: error.to_string() }),
        }
    }
    Ok((walks, damaged))
}
