//! Every name leads somewhere, and what the schema cannot say of a document alone: one file a topic.

mod amounts;
mod conditions;
mod cubes;
mod declared;
mod equipment;
mod fasteners;
mod figures;
mod measures;
mod outcomes;
mod performs;
mod procedure;
mod routes;
mod scope;
mod steps;

use crate::diagnostic::Diagnostic;
use crate::library::Library;

/// Everything that does not fit together in documents whose shape is right.
pub(crate) fn check(library: &Library) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for document in library.equipment.values() {
        equipment::check(document, &mut found);
    }
    for document in library.procedures.values() {
        procedure::check(library, document, &mut found);
    }
    performs::circles(library, &mut found);
    found
}
