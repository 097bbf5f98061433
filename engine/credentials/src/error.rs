//! What can go wrong with the store of people and photos.

use std::fmt;
use std::path::PathBuf;

/// Why the credential store cannot do something.
#[derive(Debug)]
pub enum CredentialError {
    /// The file belongs to another program, or to a newer version of this one.
    NotACredentialStore {
        /// The file.
        path: PathBuf,
    },
    /// The file or the disk refused.
    Store {
        /// The file.
        path: PathBuf,
        /// What it said.
        detail: String,
    },
    /// A person of that name is there already.
    PersonExists(String),
    /// Nobody has that name.
    NoPerson(String),
    /// A name, a role or a day that cannot be used.
    Unusable(String),
}

impl fmt::Display for CredentialError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotACredentialStore { path } => {
                write!(f, "`{}` is not a file of people of this program; move it away", path.display())
            }
            Self::Store { path, detail } => {
                write!(f, "the people in `{}` cannot be reached: {detail}", path.display())
            }
            Self::PersonExists(name) => write!(f, "somebody is named `{name}` already; take another name"),
            Self::NoPerson(name) => write!(f, "nobody is named `{name}`; `gatewright people list` names all"),
            Self::Unusable(what) => f.write_str(what),
        }
    }
}

impl std::error::Error for CredentialError {}
