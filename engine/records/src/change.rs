//! Whether the documents in force are still those that a walk goes by: the same in the terminal and in the browser.

use document::Library;
use std::fmt;
use walk::Begin;

/// What a walk goes by, without the texts of its documents.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Basis {
    /// The procedure.
    pub procedure: String,
    /// Its revision.
    pub revision: u32,
    /// The hash of its content.
    pub content: String,
    /// Whether it is training, which needs no approval.
    pub training: bool,
}

impl Basis {
    /// What a walk that began so goes by.
    #[must_use]
    pub fn new(begin: &Begin) -> Self {
        Self {
            procedure: begin.procedure.clone(),
            revision: begin.revision,
            content: begin.content.clone(),
            training: begin.training,
        }
    }
}

/// How what is in force differs from what a walk goes by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// The procedure is not among the procedures any more.
    Recalled {
        /// The procedure.
        procedure: String,
    },
    /// Another revision is in force.
    Revised {
        /// The one in force.
        now: u32,
        /// The one the walk goes by.
        walked: u32,
    },
    /// What it says is another content under the same revision.
    Altered {
        /// The revision.
        revision: u32,
    },
    /// The content is the same and is not approved any more: the sentence that says how its approval stands.
    Unapproved(String),
}

impl fmt::Display for Change {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Recalled { procedure } => {
                write!(
                    f,
                    "The procedure `{procedure}` was recalled: it is not among the procedures any more."
                )
            }
            Self::Revised { now, walked } => write!(
                f,
                "This procedure was revised: revision {now} is in force now, this walk goes by revision {walked}."
            ),
            Self::Altered { revision } => write!(
                f,
                "What this procedure says was changed since this walk began, still as revision {revision}."
            ),
            Self::Unapproved(sentence) => f.write_str(sentence),
        }
    }
}

/// How the documents in force differ from what a walk goes by; nothing where they do not. `content` is the hash of the
/// procedure's content in force. `unapproved` gives the sentence of an approval that does not hold; it is asked only for
/// real work by the content in force, since a walk that counts began with an approval that may have ended since.
///
/// # Errors
/// Those of `unapproved`.
pub fn change<E>(
    basis: &Basis,
    library: &Library,
    content: Option<&str>,
    unapproved: impl FnOnce() -> Result<Option<String>, E>,
) -> Result<Option<Change>, E> {
    let Basis { procedure, revision, content: walked, training } = basis;
    let Some(document) = library.procedures.get(procedure.as_str()) else {
        return Ok(Some(Change::Recalled { procedure: procedure.clone() }));
    };
    if content == Some(walked) {
        return if *training { Ok(None) } else { Ok(unapproved()?.map(Change::Unapproved)) };
    }
    let now = document.model.revision;
    Ok(Some(if now == *revision {
        Change::Altered { revision: now }
    } else {
        Change::Revised { now, walked: *revision }
    }))
}
