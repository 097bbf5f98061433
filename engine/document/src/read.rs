//! Files to a library: every file is read to its end, and every fault told.

use crate::codes::{R10, R13, R17};
use crate::diagnostic::{Diagnostic, Place};
use crate::library::{Document, Library};
use crate::model::Name;
use crate::places::Places;
use crate::schema::{self, Kind};
use crate::source::{Source, SourceId};
use crate::tree::{self, Entry, Node, Value};
use crate::{names, text};
use calc::nearest;
use indexmap::{IndexMap, IndexSet};
use serde::de::DeserializeOwned;

/// A file as it was handed over.
#[derive(Clone, Debug)]
pub struct InputFile {
    /// The name shown to people, usually the path as they gave it.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// What reading gave.
#[derive(Clone, Debug)]
pub struct Reading {
    /// The documents that could be understood.
    pub library: Library,
    /// Everything found, document by document in the order of the files, each in the order of its lines.
    pub findings: Vec<Diagnostic>,
}

/// Reads documents together and never stops at a fault: a document with faults of shape is left out of the
/// library, and everything else is still looked at. Names are checked across all documents.
#[must_use]
pub fn read(files: &[InputFile]) -> Reading {
    let mut library = Library::default();
    let mut findings = Vec::new();
    for file in files {
        let id = SourceId(u32::try_from(library.sources.len()).unwrap_or(u32::MAX));
        let (source, faults) = text::decode(&file.name, &file.bytes, id);
        if faults.is_empty() {
            findings.extend(one(&source, id, &mut library));
        } else {
            remember_by_lines(&source.text, &mut library);
            findings.extend(faults);
        }
        library.sources.push(source);
    }
    findings.extend(names::check(&library));
    findings.iter_mut().for_each(tidy);
    findings.sort_by(|a, b| (a.place, a.code).cmp(&(b.place, b.code)));
    Reading { library, findings }
}

/// Texts of a document that a finding repeats may be long or go over lines; a message is one line that can be read.
fn tidy(finding: &mut Diagnostic) {
    const MOST: usize = 600;
    let notes = finding.notes.iter_mut().map(|(_, remark)| remark);
    for text in notes.chain([&mut finding.message]).chain(&mut finding.help) {
        if let Some((end, _)) = text.char_indices().nth(MOST) {
            text.truncate(end);
            text.push('…');
        }
        if text.contains(char::is_control) {
            *text = text.replace(char::is_control, " ");
        }
    }
}

/// Reads one document into the library and gives its faults of bytes, of YAML and of shape.
fn one(source: &Source, id: SourceId, library: &mut Library) -> Vec<Diagnostic> {
    let tree = match tree::parse(source, id) {
        Ok(tree) => tree,
        Err(faults) => {
            remember_by_lines(&source.text, library);
            return faults;
        }
    };
    let Some(kind) = kind(&tree) else { return vec![neither(&tree, id)] };
    let named = tree.get(kind.key()).map(|entry| &entry.node);
    let name = named.and_then(Node::text).map(str::to_owned);
    let place = Place { source: id, span: named.unwrap_or(&tree).span };
    let json = tree.to_json();
    let mut faults = schema::check(kind, &tree, &json, source, id);
    if faults.is_empty() {
        let places = Places::new(tree, source);
        let kept = match kind {
            Kind::Equipment => keep(json, places, place, &mut library.equipment, &library.faulty_equipment),
            Kind::Procedure => keep(json, places, place, &mut library.procedures, &library.faulty_procedures),
        };
        faults.extend(kept);
    }
    if let (false, Some(name)) = (faults.is_empty(), name) {
        remember(kind, name, library);
    }
    faults
}

/// Makes the typed document and puts it into the library under its name, or says why not.
fn keep<T: DeserializeOwned + Named>(
    json: serde_json::Value,
    places: Places,
    place: Place,
    documents: &mut IndexMap<Name, Document<T>>,
    faulty: &IndexSet<String>,
) -> Option<Diagnostic> {
    // The schema is generated from the type, so what it accepts can be read; a test holds them to it.
    let model: T = match serde_json::from_value(json) {
        Ok(model) => model,
        Err(error) => {
            return Some(Diagnostic::error(
                R13,
                place,
                format!("the document does not fit its kind: {error}"),
            ));
        }
    };
    let name = model.name().clone();
    let twice = || {
        Diagnostic::error(R17, place, format!("another document is named `{name}` as well"))
            .help("give each document a name of its own")
    };
    if let Some(first) = documents.get(&name) {
        return Some(twice().note(first.place(""), "the other document"));
    }
    if faulty.contains(&*name) {
        return Some(twice());
    }
    documents.insert(name, Document { source: place.source, model, places });
    None
}

/// Keeps the name of a document that is left out: what refers to it refers to something.
fn remember(kind: Kind, name: String, library: &mut Library) {
    match kind {
        Kind::Equipment => library.faulty_equipment.insert(name),
        Kind::Procedure => library.faulty_procedures.insert(name),
    };
}

/// The same for a document that is no tree, as far as the beginnings of its lines tell.
fn remember_by_lines(text: &str, library: &mut Library) {
    for kind in [Kind::Procedure, Kind::Equipment] {
        let name = text.lines().find_map(|line| line.strip_prefix(kind.key())?.strip_prefix(':'));
        if let Some(name) = name {
            return remember(kind, name.trim().to_owned(), library);
        }
    }
}

trait Named {
    fn name(&self) -> &Name;
}

impl Named for crate::model::Equipment {
    fn name(&self) -> &Name {
        &self.equipment
    }
}

impl Named for crate::model::Procedure {
    fn name(&self) -> &Name {
        &self.procedure
    }
}

/// Which document this means to be, going by what only one of them has.
fn kind(tree: &Node) -> Option<Kind> {
    let has = |key| tree.get(key).is_some();
    if has("procedure") || has("steps") {
        Some(Kind::Procedure)
    } else if has("equipment") || has("conditions") {
        Some(Kind::Equipment)
    } else {
        None
    }
}

fn neither(tree: &Node, id: SourceId) -> Diagnostic {
    const FIRST: [&str; 2] = ["procedure", "equipment"];
    let entries = tree.entries();
    let misspelt = |entry: &&Entry| nearest(&entry.key, FIRST).is_some();
    let entry = entries.iter().find(misspelt).or(entries.first());
    let span = entry.map_or(tree.span, |entry| entry.key_span);
    let finding = Diagnostic::error(
        R10,
        Place { source: id, span },
        match &tree.value {
            Value::Map(_) => "this is neither a procedure nor equipment: it has neither of these keys",
            _ => "a document is a map of keys and values, and this is something else",
        },
    );
    match entry.and_then(|entry| nearest(&entry.key, FIRST)) {
        Some(near) => finding.help(format!("did you mean `{near}`?")),
        None => finding.help("begin with `procedure: its-name` or `equipment: its-name`"),
    }
}
