//! Walks that are damaged: a record cannot be read, or their chain does not hold. They take no other away, each is named,
//! and the machine worked on does not silently count as in service.

use crate::register::serial_key;
use journal::{ChainSummary, Difference, Storage, Told};
use serde::Serialize;
use std::fmt;

/// A walk that is damaged.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Damaged {
    /// Its name in the records.
    pub walk: String,
    /// Why it cannot be relied on.
    pub why: String,
    /// The equipment and the serial number of the machine; none where what is left of the records does not say it, or where
    /// records of other walks may be missing too.
    pub machine: Option<(String, String)>,
}

/// Why something that is told of all walks is not told: these are damaged, and nobody would see that they are missing.
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
            self.0.iter().map(|Damaged { walk, why, machine: _ }| format!("{walk} ({why})")).collect();
        write!(f, "Records that are damaged: {}. Nothing is told of the others alone.", named.join(", "))
    }
}

impl Damaged {
    fn new(journal: &dyn Storage, walk: &str, error: &walk::Error) -> Self {
        let tells_its_machine = match error {
            walk::Error::Broken(fault) => {
                fault.seq > 0 && !matches!(fault.what, Difference::RemovedBefore { .. })
            }
            walk::Error::Refused(_)
            | walk::Error::Journal(_)
            | walk::Error::Unsound(_)
            | walk::Error::Record { .. } => true,
        };
        // Where the file stands is nothing that everybody who may ask for walks has to know.
        let why = match error {
            walk::Error::Journal(journal::Error::Corrupt { path: _, detail }) => {
                format!("the file is damaged where it stands ({detail})")
            }
            other => other.to_string(),
        };
        let begin = tells_its_machine.then(|| walk::beginning(journal, walk)).flatten();
        Self { walk: walk.to_owned(), why, machine: begin.map(|begin| (begin.equipment, begin.serial)) }
    }

    /// A walk that is damaged by that error, unless the journal itself failed.
    fn unless_failed(journal: &dyn Storage, walk: &str, error: walk::Error) -> Result<Self, journal::Error> {
        match error {
            // Damage to the file where this walk stands is no more than damage to this walk.
            walk::Error::Journal(error)
                if !matches!(error, journal::Error::Corrupt { .. } | journal::Error::UnknownChain { .. }) =>
            {
                Err(error)
            }
            error => Ok(Self::new(journal, walk, &error)),
        }
    }

    /// So many records are gone, and of which walk nothing says any more.
    pub(crate) fn of_nobody_knows(gone: u64) -> Self {
        Self {
            walk: "that nothing names".to_owned(),
            why: format!("{gone} of the records of this file were removed"),
            machine: None,
        }
    }

    /// Of a walk of which lists tell and of which there is no record any more.
    pub(crate) fn without_records(told: &Told) -> Self {
        let line = walk::line_of(told);
        Self {
            walk: told.chain.id.clone(),
            why: format!("all its records were removed: {} were written", told.chain.len),
            machine: line.map(|line| (line.equipment, line.serial)),
        }
    }

    /// What follows for machines, as part of a sentence.
    #[must_use]
    pub fn doubt(&self) -> String {
        match &self.machine {
            Some((_, serial)) => format!("{serial} may be out of service"),
            None => "any machine may be out of service".to_owned(),
        }
    }

    /// Whether work on that machine may have been stopped in it.
    #[must_use]
    pub fn may_be_of(&self, equipment: &str, serial: &str) -> bool {
        self.machine
            .as_ref()
            .is_none_or(|(of, number)| of == equipment && serial_key(number) == serial_key(serial))
    }
}

/// Those of these walks that are damaged: every hash is computed anew.
///
/// # Errors
/// If the journal itself fails.
pub fn damaged_among(journal: &dyn Storage, walks: Vec<String>) -> Result<Vec<Damaged>, journal::Error> {
    Ok(intact(journal, walks)?.1)
}

/// Those of these walks whose chains hold, and those that are damaged.
///
/// # Errors
/// If the journal itself fails.
pub(crate) fn intact(
    journal: &dyn Storage,
    walks: Vec<String>,
) -> Result<(Vec<String>, Vec<Damaged>), journal::Error> {
    let (mut whole, mut damaged) = (Vec::new(), Vec::new());
    for walk in walks {
        match walk::check_chain(journal, &walk) {
            Ok(()) => whole.push(walk),
            Err(error) => damaged.push(Damaged::unless_failed(journal, &walk, error)?),
        }
    }
    Ok((whole, damaged))
}

/// Reads walks one by one, in the order in which they come: what was read of those that can be, and those that are damaged.
///
/// # Errors
/// If the journal itself fails: then nothing is known of any walk.
pub(crate) fn readable<'a, T>(
    journal: &dyn Storage,
    chains: impl IntoIterator<Item = &'a ChainSummary>,
    mut read: impl FnMut(&'a ChainSummary) -> Result<T, walk::Error>,
) -> Result<(Vec<T>, Vec<Damaged>), journal::Error> {
    let (mut walks, mut damaged) = (Vec::new(), Vec::new());
    for chain in chains {
        match read(chain) {
            Ok(walk) => walks.push(walk),
            Err(error) => damaged.push(Damaged::unless_failed(journal, &chain.id, error)?),
        }
    }
    Ok((walks, damaged))
}
