//! Computes every hash anew and names the first record that does not agree.

use std::collections::BTreeMap;

use crate::stored::{COLUMNS, Stored, Tail};
use crate::{Difference, Error, Fault, Hash, Head, Journal, Told};

/// What checking every hash gave.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verification {
    /// Every record looked at agrees with its hashes and its neighbours.
    Intact {
        /// How many were looked at.
        records: u64,
    },
    /// One does not; those before it, in the order looked at, do.
    Broken(Fault),
}

impl Journal {
    /// Checks the whole file: every record, every link, no gap, everything kept, and SQLite's own structure.
    ///
    /// What it cannot find is said at the top of this crate.
    ///
    /// # Errors
    /// [`Error::Corrupt`] when the file cannot be read through, or what is kept was changed; else that of the file or disk.
    pub fn verify(&self) -> Result<Verification, Error> {
        // While it is read, others write.
        let moment = self.connection.is_autocommit().then(|| self.connection.unchecked_transaction());
        let _moment = moment.transpose().map_err(|error| self.sqlite(&error))?;
        let mut tails: BTreeMap<Vec<u8>, Tail> = BTreeMap::new();
        let mut file = Head { len: 0, hash: Hash::ZERO };
        let query = format!("SELECT {COLUMNS}, NULL FROM record ORDER BY global_seq");
        let mut statement = self.connection.prepare(&query).map_err(|error| self.sqlite(&error))?;
        let mut rows = statement.query([]).map_err(|error| self.sqlite(&error))?;
        while let Some(row) = rows.next().map_err(|error| self.sqlite(&error))? {
            let stored = Stored::read(row).map_err(|error| self.sqlite(&error))?;
            let tail = tails.entry(stored.chain.clone()).or_insert(Tail::START);
            match stored.check(tail, &file) {
                Ok(place) => file = Head { len: file.len + 1, hash: place },
                Err(what) => return Ok(Verification::Broken(stored.fault(what))),
            }
        }
        let (mut not_told, mut sound) = (None, 0);
        self.told(true, |told| {
            sound += 1;
            let tail = tails.get(told.chain.id.as_bytes()).unwrap_or(&Tail::START);
            if not_told.is_none() && (tail.len, tail.hash) != (told.chain.len, told.hash) {
                not_told = Some(fault_of(&told, tail.len));
            }
        })?;
        if let Some(fault) = not_told {
            return Ok(Verification::Broken(fault));
        }
        let changed = self.told_and_changed(sound)?;
        if changed > 0 {
            let detail = format!("what lists tell was changed, of chains: {changed}");
            return Err(Error::Corrupt { path: self.path().to_path_buf(), detail });
        }
        self.check_kept()?;
        self.check_structure()?;
        Ok(Verification::Intact { records: file.len })
    }

    /// Checks one chain: its records, their links, their places right after their neighbours in the file, and that there are as many as
    /// lists tell.
    ///
    /// # Errors
    /// [`Error::UnknownChain`]; else as [`Journal::verify`].
    pub fn verify_chain(&self, chain: &str) -> Result<Verification, Error> {
        let mut tail = Tail::START;
        let query = format!(
            "SELECT {COLUMNS}, (SELECT global_hash FROM record AS before WHERE before.global_seq = record.global_seq - 1)
             FROM record WHERE chain = ?1 ORDER BY seq"
        );
        let mut statement = self.connection.prepare(&query).map_err(|error| self.sqlite(&error))?;
        let mut rows = statement.query([chain]).map_err(|error| self.sqlite(&error))?;
        while let Some(row) = rows.next().map_err(|error| self.sqlite(&error))? {
            let stored = Stored::read(row).map_err(|error| self.sqlite(&error))?;
            if let Err(what) = stored.check(&mut tail, &stored.neighbour()) {
                return Ok(Verification::Broken(stored.fault(what)));
            }
        }
        let told = match self.told_of(chain) {
            Ok(told) => told.filter(|told| told.chain.len > tail.len),
            // Of records that hold nothing is in doubt because what lists tell cannot be read.
            Err(Error::Corrupt { .. }) => None,
            Err(error) => return Err(error),
        };
        match (told, tail.len) {
            (Some(told), len) => Ok(Verification::Broken(fault_of(&told, len))),
            (None, 0) => Err(Error::UnknownChain { chain: chain.to_owned() }),
            (None, records) => Ok(Verification::Intact { records }),
        }
    }

    fn check_structure(&self) -> Result<(), Error> {
        let answer: String = self
            .connection
            .query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))
            .map_err(|error| self.sqlite(&error))?;
        if answer == "ok" {
            return Ok(());
        }
        Err(Error::Corrupt { path: self.path().to_path_buf(), detail: answer })
    }
}

/// How a chain of so many records is not what was told of it.
fn fault_of(told: &Told, len: u64) -> Fault {
    let had = told.chain.len;
    let (seq, what) = if had > len {
        (len, Difference::RemovedFrom { had })
    } else {
        (had.min(len.saturating_sub(1)), Difference::NotTold)
    };
    Fault { chain: told.chain.id.clone(), seq: i64::try_from(seq).unwrap_or(i64::MAX), what }
}
