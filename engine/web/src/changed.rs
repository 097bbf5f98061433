//! Whether the documents in force are still those that a walk goes by.

use crate::app::App;
use walk::Walk;

/// What a walk goes by; taken from the walk, so that approvals are read without its lock.
pub(crate) struct Basis {
    procedure: String,
    revision: u32,
    content: String,
    training: bool,
}

impl Basis {
    pub(crate) fn new(walk: &Walk) -> Self {
        let begin = walk.begin();
        Self {
            procedure: begin.procedure.clone(),
            revision: begin.revision,
            content: begin.content.clone(),
            training: begin.training,
        }
    }
}

/// Whether the procedure is not any more what the walk goes by.
pub(crate) fn changed(app: &App, begin: &Basis) -> Option<String> {
    let documents = app.documents();
    let Some(document) = documents.library().procedures.get(begin.procedure.as_str()) else {
        return Some(format!(
            "The procedure `{}` was recalled: it is not among the procedures any more.",
            begin.procedure
        ));
    };
    if documents.content(&begin.procedure) == Some(&*begin.content) {
        // A walk that counts began with an approval: that may have been withdrawn since, or have ended.
        let status = app.status(&documents, &begin.procedure).ok().filter(|_| !begin.training)?;
        return (!status.is_approved()).then(|| status.sentence());
    }
    let now = document.model.revision;
    Some(if now == begin.revision {
        format!("What this procedure says was changed since this walk began, still as revision {now}.")
    } else {
        format!(
            "This procedure was revised: revision {now} is in force now, this walk goes by revision {}.",
            begin.revision
        )
    })
}
