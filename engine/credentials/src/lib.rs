//! The credential store beside the records: people with their PINs as hashes and their roles, and photos. One SQLite file.

mod error;
mod people;
mod photos;
mod pin;

pub use error::CredentialError;
pub use people::{Person, Role};
pub use pin::{PinFault, hash_pin, is_right_pin};

use rusqlite::{Connection, TransactionBehavior};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// `GWDP` in ASCII, in the header field SQLite keeps for this.
const APPLICATION_ID: i32 = 0x4757_4450;
const FORMAT_VERSION: i32 = 1;
/// How long to wait for another writer.
const BUSY_TIMEOUT: Duration = Duration::from_secs(5);

const CREATE: &str = "
    CREATE TABLE person (
        key  TEXT PRIMARY KEY,
        name TEXT NOT NULL,
        pin  TEXT NOT NULL
    ) STRICT;
    CREATE TABLE role (
        person    TEXT NOT NULL REFERENCES person (key) ON DELETE CASCADE,
        role      TEXT NOT NULL,
        until_day TEXT,
        PRIMARY KEY (person, role)
    ) STRICT;
    CREATE TABLE photo (
        hash  TEXT PRIMARY KEY,
        bytes BLOB NOT NULL
    ) STRICT;
";

/// An open credential store.
#[derive(Debug)]
pub struct CredentialStore {
    connection: Connection,
    path: PathBuf,
}

impl CredentialStore {
    /// Opens the credential store beside a file of records; makes it where there is none. Only its owner may read a new one.
    ///
    /// # Errors
    /// If the file is another program's or a newer one's, or the disk refuses.
    pub fn beside(records: &Path) -> Result<CredentialStore, CredentialError> {
        let path = records.with_extension("depot.sqlite");
        let is_new = !path.exists();
        let fault =
            |error: rusqlite::Error| CredentialError::Store { path: path.clone(), detail: error.to_string() };
        // Joined to `.`, names that SQLite gives a meaning of their own, as `:memory:`, are names of files.
        let mut connection = Connection::open(Path::new(".").join(&path)).map_err(fault)?;
        if is_new {
            keep_private(&path)
                .map_err(|error| CredentialError::Store { path: path.clone(), detail: error.to_string() })?;
        }
        connection.busy_timeout(BUSY_TIMEOUT).map_err(fault)?;
        connection.pragma_update(None, "journal_mode", "WAL").map_err(fault)?;
        connection.pragma_update(None, "synchronous", "FULL").map_err(fault)?;
        connection.pragma_update(None, "foreign_keys", true).map_err(fault)?;
        let change = connection.transaction_with_behavior(TransactionBehavior::Immediate).map_err(fault)?;
        let number =
            |name: &str| change.pragma_query_value(None, name, |row| row.get::<_, i32>(0)).map_err(fault);
        let objects: i64 =
            change.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0)).map_err(fault)?;
        match (number("application_id")?, number("user_version")?, objects) {
            (0, 0, 0) => {
                change.execute_batch(CREATE).map_err(fault)?;
                change.pragma_update(None, "application_id", APPLICATION_ID).map_err(fault)?;
                change.pragma_update(None, "user_version", FORMAT_VERSION).map_err(fault)?;
            }
            (APPLICATION_ID, FORMAT_VERSION, _) => {}
            _ => return Err(CredentialError::NotACredentialStore { path: path.clone() }),
        }
        change.commit().map_err(fault)?;
        Ok(CredentialStore { connection, path })
    }

    fn fault(&self, error: &rusqlite::Error) -> CredentialError {
        CredentialError::Store { path: self.path.clone(), detail: error.to_string() }
    }
}

#[cfg(unix)]
fn keep_private(path: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt as _;
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(0o600))
}

#[cfg(not(unix))]
fn keep_private(_: &Path) -> std::io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{CredentialError, CredentialStore, Role, hash_pin};
    use document::Day;

    #[test]
    fn a_person_is_kept_with_the_hash_of_a_pin_and_until_when_a_role_holds() {
        let folder = tempfile::tempdir().expect("a folder");
        let records = folder.path().join("records.sqlite");
        let pin = hash_pin("402917").expect("a hash");
        let role =
            Role { role: "second-person".to_owned(), until: Some(Day::parse("2026-11-02").expect("a day")) };
        {
            let mut store = CredentialStore::beside(&records).expect("a store");
            store.add_person(" Tomas Reeve ", &pin).expect("added");
            store.grant("tomas reeve", &role).expect("granted");
            let again = store.add_person("TOMAS REEVE", &pin);
            assert!(matches!(again, Err(CredentialError::PersonExists(_))), "{again:?}");
            let nobody = store.grant("Anneke Voss", &role);
            assert!(matches!(nobody, Err(CredentialError::NoPerson(_))), "{nobody:?}");
        }
        let store = CredentialStore::beside(&records).expect("the same store");
        let person = store.person("tomas reeve").expect("read").expect("there");
        assert_eq!((person.name.as_str(), &person.roles[..]), ("Tomas Reeve", &[role][..]));
        assert_eq!(
            person.lacks("second person", Day::parse("2026-11-02").expect("a day")),
            None,
            "its last day"
        );
        assert!(person.lacks("second-person", Day::parse("2026-11-03").expect("a day")).is_some());
        assert!(person.lacks("technician", Day::parse("2026-11-02").expect("a day")).is_some());
        assert_eq!(store.pin_of("tomas reeve").expect("read"), Some(pin));
    }

    #[test]
    fn another_programs_file_is_left_alone() {
        let folder = tempfile::tempdir().expect("a folder");
        let records = folder.path().join("records.sqlite");
        let other = rusqlite::Connection::open(folder.path().join("records.depot.sqlite")).expect("a file");
        other.execute_batch("CREATE TABLE theirs (a)").expect("a table");
        let refused = CredentialStore::beside(&records);
        assert!(matches!(refused, Err(CredentialError::NotACredentialStore { .. })), "{refused:?}");
    }
}
