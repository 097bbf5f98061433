//! Every name leads somewhere, and what the schema cannot say of a document alone: one file a topic.

mod amounts;
mod conditions;
mod cubes;
mod declared;
mod equipment;
mod fasteners;
mod figures;
mod machines;
mod measures;
mod nested;
mod outcomes;
mod performs;
mod procedure;
mod routes;
mod scope;
mod steps;
mod templates;
mod texts;
mod untold;

use crate::diagnostic::Diagnostic;
use crate::jobs::{Jobs, all};
use crate::library::Library;

/// Everything that does not fit together in documents whose shape is right.
pub(crate) fn check(library: &Library, jobs: Jobs<'_>) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for document in library.equipment.values() {
        equipment::check(document, &mut found);
    }
    let procedures = all(library.procedures.len(), jobs, |at| {
        let mut found = Vec::new();
        if let Some((_, document)) = library.procedures.get_index(at) {
            procedure::check(library, document, &mut found);
        }
        found
    });
    found.extend(procedures.into_iter().flatten());
    performs::circles(library, &mut found);
    nested::check(library, &mut found);
    found
}
