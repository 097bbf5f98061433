//! One of the two revisions.

use check::Checked;
use document::model::{Equipment, Procedure};
use document::{Document, Library, Place, Position, SourceId};
use machine::Machine;

/// One revision: a procedure with its equipment, and what was proved of it.
#[derive(Clone, Copy)]
pub struct Side<'a> {
    /// The documents.
    pub library: &'a Library,
    /// The procedure.
    pub procedure: &'a Document<Procedure>,
    /// Its equipment.
    pub equipment: &'a Document<Equipment>,
    /// What was checked; none where documents have errors.
    pub checked: Option<&'a Checked>,
}

impl<'a> Side<'a> {
    /// The revision of a procedure in a library; `None` if it, or its equipment, is not there.
    #[must_use]
    pub fn find(library: &'a Library, procedure: &str, checked: Option<&'a Checked>) -> Option<Self> {
        let procedure = library.procedures.get(procedure)?;
        let equipment = library.equipment.get(&procedure.model.equipment)?;
        Some(Self { library, procedure, equipment, checked })
    }

    /// The machine, if the documents have no errors.
    pub(super) fn machine(&self) -> Option<&'a Machine> {
        self.checked?.machine.as_ref()
    }

    /// The name of a place's document, and the line and column in it.
    #[must_use]
    pub fn shown(&self, place: &Place) -> (&'a str, Position) {
        let SourceId(at) = place.source;
        let source = &self.library.sources[at as usize];
        (&source.name, source.position(place.span.start))
    }
}
