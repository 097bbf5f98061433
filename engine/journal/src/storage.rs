//! What is asked of whatever holds records: the promises at the top of this crate, whoever keeps them.

use crate::{ChainSummary, Error, Hash, Head, Journal, Record, Summary, Told, Verification};

/// Append-only, hash-chained, durable records. The methods are those of [`Journal`], which says what each does and how it fails.
pub trait Storage {
    /// [`Journal::begin`].
    ///
    /// # Errors
    /// As there.
    fn begin(&mut self, chain: &str, payload: &str, at_ms: i64) -> Result<Record, Error>;

    /// [`Journal::append`].
    ///
    /// # Errors
    /// As there.
    fn append(&mut self, chain: &str, expected_len: u64, payload: &str, at_ms: i64) -> Result<Record, Error>;

    /// [`Journal::keep`].
    ///
    /// # Errors
    /// As there.
    fn keep(&mut self, bytes: &[u8]) -> Result<Hash, Error>;

    /// [`Journal::tell`].
    ///
    /// # Errors
    /// As there.
    fn tell(&mut self, chain: &str, summary: &Summary) -> Result<(), Error>;

    /// Begins a commit of all that is written until [`Storage::commit`] or [`Storage::take_back`]; false where one is under way, which
    /// ends with whoever began it. [`crate::together`] sees to all three.
    ///
    /// # Errors
    /// That of the file or disk.
    fn begin_commit(&mut self) -> Result<bool, Error>;

    /// Puts on disk what was written since [`Storage::begin_commit`]; where it fails, nothing of that is kept.
    ///
    /// # Errors
    /// That of the file or disk.
    fn commit(&mut self) -> Result<(), Error>;

    /// Takes back what was written since [`Storage::begin_commit`]; nothing, where that is over.
    fn take_back(&mut self);

    /// [`Journal::kept`].
    ///
    /// # Errors
    /// As there.
    fn kept(&self, hash: &Hash) -> Result<Option<Vec<u8>>, Error>;

    /// [`Journal::records`].
    ///
    /// # Errors
    /// As there.
    fn records(&self, chain: &str) -> Result<Vec<Record>, Error>;

    /// [`Journal::first_record`].
    ///
    /// # Errors
    /// As there.
    fn first_record(&self, chain: &str) -> Result<Record, Error>;

    /// [`Journal::chains`].
    ///
    /// # Errors
    /// As there.
    fn chains(&self) -> Result<Vec<ChainSummary>, Error>;

    /// [`Journal::chain_len`].
    ///
    /// # Errors
    /// As there.
    fn chain_len(&self, chain: &str) -> Result<u64, Error>;

    /// [`Journal::chains_since`].
    ///
    /// # Errors
    /// As there.
    fn chains_since(&self, len: u64, most: usize) -> Result<Vec<String>, Error>;

    /// [`Journal::is_taken`].
    ///
    /// # Errors
    /// As there.
    fn is_taken(&self, chain: &str) -> Result<bool, Error>;

    /// [`Journal::begun_under`].
    ///
    /// # Errors
    /// As there.
    fn begun_under(&self, token: &str) -> Result<Vec<String>, Error>;

    /// [`Journal::told`].
    ///
    /// # Errors
    /// As there.
    fn told(&self, with_notes: bool, each: &mut dyn FnMut(Told)) -> Result<bool, Error>;

    /// [`Journal::told_of`].
    ///
    /// # Errors
    /// As there.
    fn told_of(&self, chain: &str) -> Result<Option<Told>, Error>;

    /// [`Journal::head`].
    ///
    /// # Errors
    /// As there.
    fn head(&self) -> Result<Head, Error>;

    /// [`Journal::extends`].
    ///
    /// # Errors
    /// As there.
    fn extends(&self, noted: &Head) -> Result<bool, Error>;

    /// [`Journal::verify`].
    ///
    /// # Errors
    /// As there.
    fn verify(&self) -> Result<Verification, Error>;

    /// [`Journal::verify_chain`].
    ///
    /// # Errors
    /// As there.
    fn verify_chain(&self, chain: &str) -> Result<Verification, Error>;
}

impl Storage for Journal {
    fn begin(&mut self, chain: &str, payload: &str, at_ms: i64) -> Result<Record, Error> {
        Journal::begin(self, chain, payload, at_ms)
    }

    fn append(&mut self, chain: &str, expected_len: u64, payload: &str, at_ms: i64) -> Result<Record, Error> {
        Journal::append(self, chain, expected_len, payload, at_ms)
    }

    fn keep(&mut self, bytes: &[u8]) -> Result<Hash, Error> {
        Journal::keep(self, bytes)
    }

    fn tell(&mut self, chain: &str, summary: &Summary) -> Result<(), Error> {
        Journal::tell(self, chain, summary)
    }

    fn begin_commit(&mut self) -> Result<bool, Error> {
        Journal::begin_commit(self)
    }

    fn commit(&mut self) -> Result<(), Error> {
        Journal::commit(self)
    }

    fn take_back(&mut self) {
        Journal::take_back(self);
    }

    fn kept(&self, hash: &Hash) -> Result<Option<Vec<u8>>, Error> {
        Journal::kept(self, hash)
    }

    fn records(&self, chain: &str) -> Result<Vec<Record>, Error> {
        Journal::records(self, chain)
    }

    fn first_record(&self, chain: &str) -> Result<Record, Error> {
        Journal::first_record(self, chain)
    }

    fn chains(&self) -> Result<Vec<ChainSummary>, Error> {
        Journal::chains(self)
    }

    fn chain_len(&self, chain: &str) -> Result<u64, Error> {
        Journal::chain_len(self, chain)
    }

    fn chains_since(&self, len: u64, most: usize) -> Result<Vec<String>, Error> {
        Journal::chains_since(self, len, most)
    }

    fn is_taken(&self, chain: &str) -> Result<bool, Error> {
        Journal::is_taken(self, chain)
    }

    fn begun_under(&self, token: &str) -> Result<Vec<String>, Error> {
        Journal::begun_under(self, token)
    }

    fn told(&self, with_notes: bool, each: &mut dyn FnMut(Told)) -> Result<bool, Error> {
        Journal::told(self, with_notes, each)
    }

    fn told_of(&self, chain: &str) -> Result<Option<Told>, Error> {
        Journal::told_of(self, chain)
    }

    fn head(&self) -> Result<Head, Error> {
        Journal::head(self)
    }

    fn extends(&self, noted: &Head) -> Result<bool, Error> {
        Journal::extends(self, noted)
    }

    fn verify(&self) -> Result<Verification, Error> {
        Journal::verify(self)
    }

    fn verify_chain(&self, chain: &str) -> Result<Verification, Error> {
        Journal::verify_chain(self, chain)
    }
}
