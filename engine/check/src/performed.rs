//! Which procedures others perform.

use document::Library;
use document::model::{Kind, Name, Step};

/// Whether a procedure of the library performs this one.
pub(crate) fn is_performed(library: &Library, name: &Name) -> bool {
    fn performs(steps: &[Step], name: &Name) -> bool {
        steps.iter().any(|step| {
            matches!(&step.kind, Kind::Perform(other) if other == name)
                || step.inner().is_some_and(|(_, inner)| performs(inner, name))
        })
    }
    library.procedures.values().any(|document| performs(&document.model.steps, name))
}
