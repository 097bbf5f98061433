//! A set of documents read together: the equipment and the procedures that work on it.

use crate::diagnostic::Place;
use crate::model::{Equipment, Kind, Name, Procedure, Step};
use crate::places::Places;
use crate::source::{Source, SourceId};
use indexmap::{IndexMap, IndexSet};

/// The documents that could be understood, in the order in which they were given.
#[derive(Clone, Debug, Default)]
pub struct Library {
    /// Every document's text, understood or not.
    pub sources: Vec<Source>,
    /// Equipment by name.
    pub equipment: IndexMap<Name, Document<Equipment>>,
    /// Procedures by name.
    pub procedures: IndexMap<Name, Document<Procedure>>,
    /// Equipment whose document has faults of shape, with that document; what refers to it is no further fault.
    pub(crate) faulty_equipment: IndexMap<String, SourceId>,
    /// The same for procedures.
    pub(crate) faulty_procedures: IndexMap<String, SourceId>,
}

/// One document: what it says and where it says it.
#[derive(Clone, Debug)]
pub struct Document<T> {
    /// Which of the library's sources.
    pub source: SourceId,
    /// What it says.
    pub model: T,
    /// Where it says it.
    pub places: Places,
}

impl<T> Document<T> {
    /// The place of a value by its JSON pointer; the closest list or map above it if it is not there.
    #[must_use]
    pub fn place(&self, pointer: &str) -> Place {
        Place { source: self.source, span: self.places.nearest(pointer) }
    }

    /// The place of a value's key by its JSON pointer; that of the value if it has no key.
    #[must_use]
    pub fn key_place(&self, pointer: &str) -> Place {
        let span = self.places.key(pointer).unwrap_or_else(|| self.places.nearest(pointer));
        Place { source: self.source, span }
    }
}

impl Library {
    /// Names of procedures that were read but are not in the library, because their documents have faults of shape.
    pub fn left_out(&self) -> impl Iterator<Item = &str> {
        self.faulty_procedures.keys().map(String::as_str)
    }

    /// A document of the library as JSON.
    pub(crate) fn json<'a, T>(&self, document: &'a Document<T>) -> Option<&'a serde_json::Value> {
        document.places.json(self.sources.get(document.source.0 as usize)?)
    }

    /// The documents a procedure is made of: itself, its equipment, and every procedure it performs, directly or not,
    /// also those that are left out because of faults of shape. Empty for a procedure that is not there.
    #[must_use]
    pub fn relies_on(&self, procedure: &str) -> Vec<SourceId> {
        let mut sources = IndexSet::new();
        for name in self.performs_in_all(procedure) {
            let Some(document) = self.procedures.get(name) else {
                sources.extend(self.faulty_procedures.get(name).copied());
                continue;
            };
            sources.insert(document.source);
            let equipment = &document.model.equipment;
            let read = self.equipment.get(equipment).map(|document| document.source);
            sources.extend(read.or_else(|| self.faulty_equipment.get(&**equipment).copied()));
        }
        sources.into_iter().collect()
    }

    /// How many bytes the documents of a procedure take in the first record of its walks, where they are texts of JSON
    /// (RFC 8259): each with its name, and with what has to be escaped.
    #[must_use]
    pub fn record_bytes(&self, procedure: &str) -> usize {
        let ids = self.relies_on(procedure).into_iter();
        let sources = ids.filter_map(|id| self.sources.get(id.0 as usize));
        let one = |source: &Source| {
            json_bytes(&source.name) + json_bytes(&source.text) + r#"{"name":"","text":""},"#.len()
        };
        sources.map(one).sum()
    }

    /// The procedure itself and every one that it performs, directly or not.
    pub(crate) fn performs_in_all<'a>(&'a self, procedure: &'a str) -> IndexSet<&'a str> {
        let mut names = IndexSet::from([procedure]);
        let mut next = 0;
        while let Some(&name) = names.get_index(next) {
            next += 1;
            let Some(document) = self.procedures.get(name) else { continue };
            names.extend(performed(&document.model).into_iter().map(|(name, _)| &**name));
        }
        names
    }

    /// The documents of what a procedure performs, directly or not, as they were read.
    #[must_use]
    pub fn performed_by(&self, procedure: &str) -> Vec<&Document<Procedure>> {
        let names = self.performs_in_all(procedure).into_iter().skip(1);
        let mut documents: Vec<_> = names.filter_map(|name| self.procedures.get(name)).collect();
        documents.sort_by_key(|document| document.source);
        documents
    }

    /// The procedures that perform a procedure themselves, in order.
    #[must_use]
    pub fn performers(&self, procedure: &str) -> Vec<&Name> {
        let performs = |document: &Document<Procedure>| {
            performed(&document.model).iter().any(|(name, _)| &***name == procedure)
        };
        self.procedures.iter().filter(|(_, document)| performs(document)).map(|(name, _)| name).collect()
    }
}

/// The bytes of a text inside the quotes of JSON, written as shortly as it allows.
fn json_bytes(text: &str) -> usize {
    let one = |byte: u8| match byte {
        b'"' | b'\\' | b'\n' | b'\r' | b'\t' | 0x08 | 0x0c => 2,
        0..0x20 => 6,
        0x20..=0xff => 1,
    };
    text.bytes().map(one).sum()
}

/// The procedures that a procedure performs, each with the pointer to where it says so.
pub(crate) fn performed(procedure: &Procedure) -> Vec<(&Name, String)> {
    fn walk<'a>(steps: &'a [Step], at: &str, found: &mut Vec<(&'a Name, String)>) {
        for (index, step) in steps.iter().enumerate() {
            if let Kind::Perform(name) = &step.kind {
                found.push((name, format!("{at}/{index}/perform")));
            }
            if let Some((segment, inner)) = step.inner() {
                walk(inner, &format!("{at}/{index}{segment}"), found);
            }
        }
    }
    let mut found = Vec::new();
    walk(&procedure.steps, "/steps", &mut found);
    found
}
