//! Where a reference stands, and the equipment it must lead into.

use crate::diagnostic::{Diagnostic, Place};
use crate::figures::Case;
use crate::library::Document;
use crate::limits::{MAX_FINDINGS, too_many};
use crate::model::{Equipment, Name, Procedure};
use crate::places::Places;
use crate::source::{SourceId, Span};
use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::rc::Rc;

/// A document whose references are looked at, with the equipment they lead into.
pub(super) struct Scope<'a> {
    source: SourceId,
    places: &'a Places,
    /// What the references lead into.
    pub(super) equipment: &'a Document<Equipment>,
    /// The procedure that is looked at; none for the equipment's own references.
    pub(super) procedure: Option<&'a Procedure>,
    /// Amounts that were worked out already; a figure may be used in every step.
    pub(super) worked: BTreeMap<Name, Rc<[Case]>>,
    found: &'a mut Vec<Diagnostic>,
    /// How many findings there were before this document.
    before: usize,
}

impl<'a> Scope<'a> {
    pub(super) fn of_equipment(document: &'a Document<Equipment>, found: &'a mut Vec<Diagnostic>) -> Self {
        let before = found.len();
        Self::new(document.source, &document.places, document, None, found, before)
    }

    pub(super) fn of_procedure(
        document: &'a Document<Procedure>,
        equipment: &'a Document<Equipment>,
        found: &'a mut Vec<Diagnostic>,
        before: usize,
    ) -> Self {
        Self::new(document.source, &document.places, equipment, Some(&document.model), found, before)
    }

    fn new(
        source: SourceId,
        places: &'a Places,
        equipment: &'a Document<Equipment>,
        procedure: Option<&'a Procedure>,
        found: &'a mut Vec<Diagnostic>,
        before: usize,
    ) -> Self {
        Self { source, places, equipment, procedure, worked: BTreeMap::new(), found, before }
    }

    /// The place of a value.
    pub(super) fn at(&self, pointer: &str) -> Place {
        self.place(self.places.nearest(pointer))
    }

    /// Whether a list stands there.
    pub(super) fn is_list(&self, pointer: &str) -> bool {
        self.places.is_list(pointer)
    }

    /// The place of a key.
    pub(super) fn at_key(&self, pointer: &str) -> Place {
        self.place(self.places.key(pointer).unwrap_or_else(|| self.places.nearest(pointer)))
    }

    fn place(&self, span: Span) -> Place {
        Place { source: self.source, span }
    }

    /// Keeps a finding.
    pub(super) fn tell(&mut self, finding: Diagnostic) {
        keep(self.found, self.before, finding, || None);
    }

    /// Keeps a finding with its help, if there is any. Looking for a near name takes time, so it is left to the end.
    pub(super) fn tell_with(&mut self, finding: Diagnostic, help: impl FnOnce() -> Option<String>) {
        keep(self.found, self.before, finding, help);
    }
}

/// Keeps a finding unless the document has its fill of them, which the last one says.
pub(super) fn keep(
    found: &mut Vec<Diagnostic>,
    before: usize,
    finding: Diagnostic,
    help: impl FnOnce() -> Option<String>,
) {
    match (found.len() - before).cmp(&MAX_FINDINGS) {
        Ordering::Less => found.push(match help() {
            Some(help) => finding.help(help),
            None => finding,
        }),
        Ordering::Equal => found.push(too_many(finding.place.source)),
        Ordering::Greater => {}
    }
}
