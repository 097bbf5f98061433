//! What lists tell of a chain, so that they need not read all its records. It follows from these, is written in the same commit, and
//! where it does not agree with them they count.

use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::read::{count, hash, integer};
use crate::schema::is_there;
use crate::{ChainSummary, Error, Hash, Journal};

/// What lists tell of a chain; the journal does not read the texts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Summary {
    /// By which its beginning is found again ([`Journal::begun_under`]).
    pub token: Option<String>,
    /// What is told of each chain.
    pub line: String,
    /// What else was said in it, that few lists tell.
    pub notes: String,
}

/// A chain as lists tell it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// The chain, with its length and times.
    pub chain: ChainSummary,
    /// Hash of its last record.
    pub hash: Hash,
    /// [`Summary::line`].
    pub line: String,
    /// [`Summary::notes`], where they were asked for.
    pub notes: String,
}

/// One chain: what its records say of it.
struct Ends {
    chain: ChainSummary,
    hash: Hash,
}

const COLUMNS: &str = "chain, len, first_at, last_at, hash, token, line, seal";

impl Journal {
    /// Writes what lists tell of a chain as its records stand now; within [`Journal::together`], in the same commit as they.
    ///
    /// # Errors
    /// [`Error::UnknownChain`], or that of the file or disk.
    pub fn tell(&mut self, chain: &str, summary: &Summary) -> Result<(), Error> {
        let path = self.path().to_path_buf();
        self.written(|connection| {
            let sqlite = |error: rusqlite::Error| Error::from_sqlite(&path, &error);
            let ends = ends(connection, chain).optional().map_err(sqlite)?;
            let ends = ends.ok_or_else(|| Error::UnknownChain { chain: chain.to_owned() })?;
            write(connection, &ends, summary).map_err(sqlite)
        })
    }

    /// Gives what lists tell, chain by chain in the order in which they were begun, and says whether that is all there is: whether each
    /// record of the file belongs to a chain of which something was told that nobody changed. Nothing is given of a chain whose summary was
    /// changed.
    ///
    /// # Errors
    /// That of the file or disk.
    pub fn told(&self, with_notes: bool, mut each: impl FnMut(Told)) -> Result<bool, Error> {
        let sqlite = |error: rusqlite::Error| self.sqlite(&error);
        // All answers are of one moment.
        let moment = self.connection.is_autocommit().then(|| self.connection.unchecked_transaction());
        let _moment = moment.transpose().map_err(sqlite)?;
        if !is_there(&self.connection, "summary").map_err(sqlite)? {
            return Ok(self.head()?.len == 0);
        }
        let notes = if with_notes { "notes" } else { "''" };
        let query = format!("SELECT {COLUMNS}, {notes}, noted FROM summary ORDER BY place");
        let mut statement = self.connection.prepare_cached(&query).map_err(sqlite)?;
        let mut rows = statement.query([]).map_err(sqlite)?;
        let mut records = 0;
        while let Some(row) = rows.next().map_err(sqlite)? {
            if let Some(told) = sealed(row, with_notes).map_err(sqlite)? {
                records += told.chain.len;
                each(told);
            }
        }
        Ok(records == self.head()?.len)
    }

    /// What lists tell of one chain; none where nothing was told, or that was changed.
    ///
    /// # Errors
    /// That of the file or disk.
    pub fn told_of(&self, chain: &str) -> Result<Option<Told>, Error> {
        let sqlite = |error: rusqlite::Error| self.sqlite(&error);
        if !is_there(&self.connection, "summary").map_err(sqlite)? {
            return Ok(None);
        }
        let query = format!("SELECT {COLUMNS}, notes, noted FROM summary WHERE chain = ?1");
        let mut statement = self.connection.prepare_cached(&query).map_err(sqlite)?;
        let told = statement.query_row([chain], |row| sealed(row, true)).optional().map_err(sqlite)?;
        Ok(told.flatten())
    }

    /// The chains that have records from that number in the file on, so many at most.
    ///
    /// # Errors
    /// That of the file or disk.
    pub fn chains_since(&self, len: u64, most: usize) -> Result<Vec<String>, Error> {
        let query = "SELECT DISTINCT chain FROM record WHERE global_seq >= ?1 LIMIT ?2";
        self.read(query, params![len as i64, most as i64], |row| {
            Ok(String::from_utf8_lossy(row.get_ref(0)?.as_bytes()?).into_owned())
        })
    }

    /// Whether a chain of that name was begun: there are records of it, or something was told of it when there were.
    ///
    /// # Errors
    /// That of the file or disk.
    pub fn is_taken(&self, chain: &str) -> Result<bool, Error> {
        let sqlite = |error: rusqlite::Error| self.sqlite(&error);
        let is_told = is_there(&self.connection, "summary").map_err(sqlite)?
            && was_told(&self.connection, chain).map_err(sqlite)?;
        Ok(is_told || self.chain_len(chain)? > 0)
    }

    /// How many chains something was told of that was changed since.
    pub(crate) fn told_and_changed(&self, sound: u64) -> Result<u64, Error> {
        let sqlite = |error: rusqlite::Error| self.sqlite(&error);
        if !is_there(&self.connection, "summary").map_err(sqlite)? {
            return Ok(0);
        }
        let all = self.connection.query_row("SELECT count(*) FROM summary", [], |row| count(row, 0));
        Ok(all.map_err(sqlite)?.saturating_sub(sound))
    }

    /// The chains that were begun under a token, by their summaries, in the order in which they were begun.
    ///
    /// # Errors
    /// That of the file or disk.
    pub fn begun_under(&self, token: &str) -> Result<Vec<String>, Error> {
        let sqlite = |error: rusqlite::Error| self.sqlite(&error);
        if !is_there(&self.connection, "summary").map_err(sqlite)? {
            return Ok(Vec::new());
        }
        self.read("SELECT chain FROM summary WHERE token = ?1 ORDER BY place", [token], |row| row.get(0))
    }
}

/// Whether something was told of a chain once, whatever became of that.
pub(crate) fn was_told(connection: &Connection, chain: &str) -> rusqlite::Result<bool> {
    connection
        .prepare_cached("SELECT count(*) > 0 FROM summary WHERE chain = ?1")?
        .query_row([chain], |row| row.get(0))
}

fn ends(connection: &Connection, chain: &str) -> rusqlite::Result<Ends> {
    let first_at = connection
        .prepare_cached("SELECT at_ms FROM record WHERE chain = ?1 AND seq = 0")?
        .query_row([chain], |row| row.get(0))?;
    let last = "SELECT seq, at_ms, hash FROM record WHERE chain = ?1 ORDER BY seq DESC LIMIT 1";
    connection.prepare_cached(last)?.query_row([chain], |row| {
        let len = count(row, 0)? + 1;
        let chain = ChainSummary { id: chain.to_owned(), first_at, last_at: row.get(1)?, len };
        Ok(Ends { chain, hash: hash(row, 2)? })
    })
}

fn write(connection: &Connection, ends: &Ends, summary: &Summary) -> rusqlite::Result<()> {
    let Summary { token, line, notes } = summary;
    let Ends { chain, hash } = ends;
    connection
        .prepare_cached(
            "INSERT INTO summary (chain, len, first_at, last_at, hash, token, line, notes, seal, noted)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)
             ON CONFLICT (chain) DO UPDATE SET len = excluded.len,
                first_at = excluded.first_at, last_at = excluded.last_at, hash = excluded.hash,
                token = excluded.token, line = excluded.line, notes = excluded.notes,
                seal = excluded.seal, noted = excluded.noted",
        )?
        .execute(params![
            chain.id,
            chain.len as i64,
            chain.first_at,
            chain.last_at,
            hash.as_bytes(),
            token,
            line,
            notes,
            seal(chain, hash, token.as_deref(), line),
            noted(chain, notes),
        ])
        .map(|_| ())
}

/// A row, where it is as it was written.
fn sealed(row: &Row<'_>, with_notes: bool) -> rusqlite::Result<Option<Told>> {
    let text = |column: usize| -> rusqlite::Result<Option<&str>> {
        Ok(row.get_ref(column)?.as_str_or_null().ok().flatten())
    };
    let (Some(id), Some(line), Some(notes)) = (text(0)?, text(6)?, text(8)?) else { return Ok(None) };
    let (Ok(len), Ok(hash)) = (count(row, 1), hash(row, 4)) else { return Ok(None) };
    let chain =
        ChainSummary { id: id.to_owned(), first_at: integer(row, 2)?, last_at: integer(row, 3)?, len };
    let is_whole = integer(row, 7)? == seal(&chain, &hash, text(5)?, line)
        && (!with_notes || integer(row, 9)? == noted(&chain, notes));
    Ok(is_whole.then(|| Told { chain, hash, line: line.to_owned(), notes: notes.to_owned() }))
}

/// Over all that a list goes by. It finds what was changed by hand or by a bad disk, no more: there is no secret in the file.
fn seal(chain: &ChainSummary, hash: &Hash, token: Option<&str>, line: &str) -> i64 {
    let ChainSummary { id, first_at, last_at, len } = chain;
    let mut sum = crc32fast::Hasher::new();
    for number in [len.to_le_bytes(), first_at.to_le_bytes(), last_at.to_le_bytes()] {
        sum.update(&number);
    }
    sum.update(hash.as_bytes());
    sum.update(&[u8::from(token.is_some())]);
    for text in [id, token.unwrap_or_default(), line] {
        sum.update(&(text.len() as u64).to_le_bytes());
        sum.update(text.as_bytes());
    }
    i64::from(sum.finalize())
}

fn noted(chain: &ChainSummary, notes: &str) -> i64 {
    let mut sum = crc32fast::Hasher::new();
    sum.update(&chain.len.to_le_bytes());
    sum.update(notes.as_bytes());
    i64::from(sum.finalize())
}
