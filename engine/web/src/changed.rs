//! What whoever walks is told where the documents in force are not any more those of the walk.

use crate::app::App;
use records::Basis;

/// Whether the procedure is not any more what the walk goes by; approvals are read without the walk's lock.
pub(crate) fn changed(app: &App, basis: &Basis) -> Option<String> {
    let documents = app.documents();
    let unapproved = || {
        let status = app.status(&documents, &basis.procedure)?;
        Ok::<_, crate::fault::Fault>((!status.is_approved()).then(|| status.sentence()))
    };
    match records::change(basis, documents.library(), documents.content(&basis.procedure), unapproved) {
        Ok(change) => change.map(|change| change.to_string()),
        Err(_) => Some("Whether this procedure is still approved cannot be told.".to_owned()),
    }
}
