//! Reading what is there, as it is. Whether it was tampered with is the question of `verify`.

use rusqlite::types::Type;
use rusqlite::{OptionalExtension, Row};

use crate::{ChainSummary, Error, Hash, Head, Journal, Record};

impl Journal {
    /// All records of a chain, in order. Hashes are not checked here; see [`Journal::verify_chain`].
    ///
    /// # Errors
    /// [`Error::UnknownChain`], or that of the file or disk.
    pub fn records(&self, chain: &str) -> Result<Vec<Record>, Error> {
        let records = self.read(
            "SELECT chain, seq, at_ms, payload, previous, hash FROM record WHERE chain = ?1 ORDER BY seq",
            [chain],
            record,
        )?;
        if records.is_empty() {
            return Err(Error::UnknownChain { chain: chain.to_owned() });
        }
        Ok(records)
    }

    /// The first record of a chain, alone: it can be read though others of its chain cannot.
    ///
    /// # Errors
    /// As [`Journal::records`].
    pub fn first_record(&self, chain: &str) -> Result<Record, Error> {
        let first = self.read(
            "SELECT chain, seq, at_ms, payload, previous, hash FROM record WHERE chain = ?1 AND seq = 0",
            [chain],
            record,
        )?;
        first.into_iter().next().ok_or_else(|| Error::UnknownChain { chain: chain.to_owned() })
    }

    /// All chains, in the order in which they were begun. Those whose records were changed are among them, whatever now
    /// stands in these: what cannot be read of one takes no other away.
    ///
    /// # Errors
    /// That of the file or disk.
    pub fn chains(&self) -> Result<Vec<ChainSummary>, Error> {
        self.read(
            "SELECT first.chain, first.at_ms, last.at_ms, span.records
             FROM (SELECT chain, min(seq) AS low, max(seq) AS high, count(*) AS records FROM record GROUP BY chain) AS span
             JOIN record AS first ON first.chain = span.chain AND first.seq = span.low
             JOIN record AS last ON last.chain = span.chain AND last.seq = span.high
             ORDER BY first.global_seq",
            [],
            summary,
        )
    }

    /// How many records a chain has; 0 for one that is not there.
    ///
    /// # Errors
    /// That of the file or disk.
    pub fn chain_len(&self, chain: &str) -> Result<u64, Error> {
        self.connection
            .prepare_cached("SELECT count(*) FROM record WHERE chain = ?1")
            .and_then(|mut statement| statement.query_row([chain], |row| count(row, 0)))
            .map_err(|error| self.sqlite(&error))
    }

    /// The end of the whole file; note it elsewhere and nobody can shorten or rewrite the file unnoticed.
    ///
    /// # Errors
    /// That of the file or disk.
    pub fn head(&self) -> Result<Head, Error> {
        let last = self
            .connection
            .query_row(
                "SELECT global_seq, global_hash FROM record ORDER BY global_seq DESC LIMIT 1",
                [],
                |row| Ok(Head { len: count(row, 0)? + 1, hash: hash(row, 1)? }),
            )
            .optional()
            .map_err(|error| self.sqlite(&error))?;
        Ok(last.unwrap_or(Head { len: 0, hash: Hash::ZERO }))
    }

    /// Whether the file still holds, unshortened, what it held when `noted` was its head. It answers for the
    /// stored hashes only: it proves something together with [`Journal::verify`].
    ///
    /// # Errors
    /// That of the file or disk.
    pub fn extends(&self, noted: &Head) -> Result<bool, Error> {
        let Some(last) = noted.len.checked_sub(1) else {
            return Ok(noted.hash == Hash::ZERO);
        };
        let Ok(last) = i64::try_from(last) else {
            return Ok(false);
        };
        let stored = self
            .connection
            .query_row("SELECT global_hash FROM record WHERE global_seq = ?1", [last], |row| hash(row, 0))
            .optional()
            .map_err(|error| self.sqlite(&error))?;
        Ok(stored == Some(noted.hash))
    }

    pub(crate) fn read<T>(
        &self,
        query: &str,
        values: impl rusqlite::Params,
        from_row: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<Vec<T>, Error> {
        self.connection
            .prepare_cached(query)
            .and_then(|mut statement| statement.query_map(values, from_row)?.collect())
            .map_err(|error| self.sqlite(&error))
    }
}

fn record(row: &Row<'_>) -> rusqlite::Result<Record> {
    Ok(Record {
        chain: row.get(0)?,
        seq: count(row, 1)?,
        at_ms: row.get(2)?,
        payload: row.get(3)?,
        previous: hash(row, 4)?,
        hash: hash(row, 5)?,
    })
}

fn summary(row: &Row<'_>) -> rusqlite::Result<ChainSummary> {
    Ok(ChainSummary {
        id: String::from_utf8_lossy(row.get_ref(0)?.as_bytes()?).into_owned(),
        first_at: integer(row, 1)?,
        last_at: integer(row, 2)?,
        len: count(row, 3)?,
    })
}

/// A whole number; of anything else, one that the program never writes.
pub(crate) fn integer(row: &Row<'_>, column: usize) -> rusqlite::Result<i64> {
    Ok(row.get_ref(column)?.as_i64().unwrap_or(i64::MIN))
}

/// A number that counts something; a negative one is damage.
pub(crate) fn count(row: &Row<'_>, column: usize) -> rusqlite::Result<u64> {
    let number: i64 = row.get(column)?;
    u64::try_from(number).map_err(|_| rusqlite::Error::IntegralValueOutOfRange(column, number))
}

/// 32 bytes; anything else is damage.
pub(crate) fn hash(row: &Row<'_>, column: usize) -> rusqlite::Result<Hash> {
    let bytes: Vec<u8> = row.get(column)?;
    Hash::from_slice(&bytes)
        .ok_or_else(|| rusqlite::Error::InvalidColumnType(column, "hash".to_owned(), Type::Blob))
}
