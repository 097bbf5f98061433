//! Files to a library: every file is read to its end, and every fault told.

use crate::codes::{R10, R13, R17};
use crate::diagnostic::{Diagnostic, Place};
use crate::jobs::{Jobs, all};
use crate::library::{Document, Library};
use crate::limits::MAX_KEY_BYTES;
use crate::model::{Equipment, Name, Procedure};
use crate::places::{Places, pointer};
use crate::schema::{self, Kind};
use crate::source::{Source, SourceId, Span};
use crate::tree::{self, Entry, Node, Value};
use crate::{names, text};
use calc::nearest;
use indexmap::IndexMap;
use serde::Deserialize;

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
    read_by(files, &|count, job| (0..count).for_each(job))
}

/// The same with the work done by `jobs`. What it gives does not depend on their order.
#[must_use]
pub fn read_by(files: &[InputFile], jobs: Jobs<'_>) -> Reading {
    let mut library = Library::default();
    let mut findings = Vec::new();
    let understood = all(files.len(), jobs, |at| understand(&files[at], source_id(at)));
    for one in understood {
        let id = source_id(library.sources.len());
        library.sources.push(one.source);
        findings.extend(one.faults);
        match one.meaning {
            Meaning::Equipment(model, places, place) => {
                findings.extend(keep(
                    *model,
                    places,
                    place,
                    &mut library.equipment,
                    &library.faulty_equipment,
                    &library.sources,
                ));
            }
            Meaning::Procedure(model, places, place) => {
                findings.extend(keep(
                    *model,
                    places,
                    place,
                    &mut library.procedures,
                    &library.faulty_procedures,
                    &library.sources,
                ));
            }
            Meaning::Named(kind, name) => {
                findings.extend(match kind {
                    Kind::Equipment => beside(&name, id, &library.equipment),
                    Kind::Procedure => beside(&name, id, &library.procedures),
                });
                remember(kind, name, id, &mut library);
            }
            Meaning::Nothing => {}
        }
    }
    findings.extend(names::check(&library, jobs));
    findings.iter_mut().for_each(tidy);
    findings.sort_by(|a, b| (a.place, a.code).cmp(&(b.place, b.code)));
    // Of more than two documents with one name the first is told of once.
    findings.dedup_by(|a, b| a.code == R17 && (a.code, a.place) == (b.code, b.place));
    Reading { library, findings }
}

fn source_id(at: usize) -> SourceId {
    SourceId(u32::try_from(at).unwrap_or(u32::MAX))
}

/// One document, looked at by itself.
struct Understood {
    source: Source,
    faults: Vec<Diagnostic>,
    meaning: Meaning,
}

/// What a document is.
enum Meaning {
    /// Equipment, with its places and that of its name.
    Equipment(Box<Equipment>, Places, Place),
    /// A procedure, with its places and that of its name.
    Procedure(Box<Procedure>, Places, Place),
    /// A document that cannot be used, but has a name: what refers to it refers to something.
    Named(Kind, String),
    /// Nothing that anybody could refer to.
    Nothing,
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

/// Reads one document: its bytes, its YAML and its shape.
fn understand(file: &InputFile, id: SourceId) -> Understood {
    let (source, mut faults) = text::decode(&file.name, &file.bytes, id);
    if !faults.is_empty() {
        let meaning = by_lines(&source.text);
        return Understood { source, faults, meaning };
    }
    let tree = match tree::parse(&source, id) {
        Ok(tree) => tree,
        Err(faults) => {
            let meaning = by_lines(&source.text);
            return Understood { source, faults, meaning };
        }
    };
    let Some(kind) = kind(&tree) else {
        let faults = vec![neither(&tree, id)];
        return Understood { source, faults, meaning: Meaning::Nothing };
    };
    let named = tree.get(kind.key()).map(|entry| &entry.node);
    let name = named.and_then(Node::text).filter(|name| may_be_a_name(name)).map(str::to_owned);
    let place = Place { source: id, span: named.unwrap_or(&tree).span };
    faults.extend(schema::check(kind, &tree, &source, id));
    let mut meaning = name.map_or(Meaning::Nothing, |name| Meaning::Named(kind, name));
    if faults.is_empty() {
        // The schema is generated from the type, so what it accepts can be read; a test holds them to it.
        let typed = match kind {
            Kind::Equipment => Box::<Equipment>::deserialize(&tree)
                .map(|model| Meaning::Equipment(model, Places::new(&tree, &source.text), place)),
            Kind::Procedure => Box::<Procedure>::deserialize(&tree)
                .map(|model| Meaning::Procedure(model, Places::new(&tree, &source.text), place)),
        };
        match typed {
            Ok(typed) => meaning = typed,
            Err(error) => {
                let message = format!("the document does not fit its kind: {error}");
                faults.push(Diagnostic::error(R13, place, message));
            }
        }
    }
    Understood { source, faults, meaning }
}

/// Puts a document into the library under its name, or says why not.
///
/// Of two of one name that differ nobody can say which is meant: both are faulty. A folder that is linked into itself holds the same
/// document many times.
fn keep<T: Named>(
    model: T,
    places: Places,
    place: Place,
    documents: &mut IndexMap<Name, Document<T>>,
    faulty: &IndexMap<String, SourceId>,
    sources: &[Source],
) -> Vec<Diagnostic> {
    let name = model.name().clone();
    let twice = |place| twice(&name, place);
    if let Some(first) = documents.get(&name) {
        let other = named_at(first);
        let text = |place: Place| sources.get(place.source.0 as usize).map(|source| &source.text);
        let differ = text(place) != text(other);
        let of_first = differ.then(|| twice(other).note(place, "the other document"));
        return of_first.into_iter().chain([twice(place).note(other, "the other document")]).collect();
    }
    if faulty.contains_key(&*name) {
        return vec![twice(place)];
    }
    documents.insert(name, Document { source: place.source, model, places });
    Vec::new()
}

/// That a document with faults has the name of one without: it may be the one that is meant.
fn beside<T: Named>(name: &str, id: SourceId, documents: &IndexMap<Name, Document<T>>) -> Option<Diagnostic> {
    let other = Place { source: id, span: Span::default() };
    Some(twice(name, named_at(documents.get(name)?)).note(other, "the other document"))
}

fn twice(name: &str, place: Place) -> Diagnostic {
    Diagnostic::error(R17, place, format!("another document is named `{name}` as well"))
        .help("give each document a name of its own")
}

/// Keeps the name of a document that is left out: what refers to it refers to something.
fn remember(kind: Kind, name: String, id: SourceId, library: &mut Library) {
    let faulty = match kind {
        Kind::Equipment => &mut library.faulty_equipment,
        Kind::Procedure => &mut library.faulty_procedures,
    };
    faulty.entry(name).or_insert(id);
}

/// The name of a document that is no tree, as far as the beginnings of its lines tell.
fn by_lines(text: &str) -> Meaning {
    let name = |kind: Kind| text.lines().find_map(|line| line.strip_prefix(kind.key())?.strip_prefix(':'));
    let mut named =
        [Kind::Procedure, Kind::Equipment].into_iter().filter_map(|kind| Some((kind, name(kind)?)));
    let named = named.next().map(|(kind, name)| (kind, name.trim()));
    let named = named.filter(|(_, name)| may_be_a_name(name));
    named.map_or(Meaning::Nothing, |(kind, name)| Meaning::Named(kind, name.to_owned()))
}

/// Whether somebody may have meant it as a name: what is as long as a text is none.
fn may_be_a_name(text: &str) -> bool {
    text.len() <= MAX_KEY_BYTES
}

trait Named {
    const KIND: Kind;
    fn name(&self) -> &Name;
}

impl Named for Equipment {
    const KIND: Kind = Kind::Equipment;
    fn name(&self) -> &Name {
        &self.equipment
    }
}

impl Named for Procedure {
    const KIND: Kind = Kind::Procedure;
    fn name(&self) -> &Name {
        &self.procedure
    }
}

/// Where a document says its name.
fn named_at<T: Named>(document: &Document<T>) -> Place {
    document.place(&pointer("", T::KIND.key()))
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
            Value::Null
            | Value::Bool(_)
            | Value::Integer(_)
            | Value::Number(_)
            | Value::Text(_)
            | Value::List(_) => "a document is a map of keys and values, and this is something else",
        },
    );
    match entry.and_then(|entry| nearest(&entry.key, FIRST)) {
        Some(near) => finding.help(format!("did you mean `{near}`?")),
        None => finding.help("begin with `procedure: its-name` or `equipment: its-name`"),
    }
}
