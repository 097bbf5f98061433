//! What a walk goes by, read and compiled from the documents it began with. Walks that began with the same documents share it.

use crate::carried::Carried;
use crate::entry::kept;
use crate::error::Error;
use crate::event::{Begin, DocumentText};
use document::model::Name;
use document::{InputFile, Library, Severity};
use journal::Storage;
use machine::Machine;
use std::sync::{Arc, Weak};

/// The documents of a walk, and one of its procedures as a machine.
#[derive(Clone, Debug)]
pub(crate) struct Compiled {
    /// A figure of a label that is given in a walk stands in that walk's own library.
    pub(crate) library: Arc<Library>,
    pub(crate) machine: Arc<Machine>,
    /// None where the walk carries no certificate, or is only read.
    pub(crate) carried: Option<Arc<Carried>>,
}

/// What the walks that are kept go by, so that the next one with the same documents goes by the same. It keeps nothing
/// itself: what no walk goes by any more is gone.
#[derive(Debug, Default)]
pub struct CompiledCache(Vec<Known>);

/// The hash of a certificate, and of the content that the walk says it goes by.
type Named = (String, String);

#[derive(Debug)]
struct Known {
    procedure: String,
    /// Compared whole, so that no two that differ are ever taken for each other.
    documents: Vec<DocumentText>,
    library: Weak<Library>,
    machine: Weak<Machine>,
    /// A certificate, and what it claims.
    carried: Option<(Named, Weak<Carried>)>,
}

impl CompiledCache {
    /// What a walk that begins so goes by. The certificate that it carries is read from the journal where one is given: who only reads
    /// a walk needs none.
    pub(crate) fn get(&mut self, begin: &Begin, journal: Option<&dyn Storage>) -> Result<Compiled, Error> {
        let is_alive = |known: &Known| {
            let is_carried = known.carried.as_ref().is_none_or(|(_, carried)| carried.strong_count() > 0);
            known.library.strong_count() > 0 && known.machine.strong_count() > 0 && is_carried
        };
        self.0.retain(is_alive);
        let named = |hash: &String| (hash.clone(), begin.content.clone());
        let wanted = begin.certificate.as_ref().filter(|_| journal.is_some()).map(named);
        let is_same = |known: &&Known| {
            known.procedure == begin.procedure
                && known.documents == begin.documents
                && known.carried.as_ref().map(|(named, _)| named) == wanted.as_ref()
        };
        if let Some(known) = self.0.iter().find(is_same)
            && let (Some(library), Some(machine)) = (known.library.upgrade(), known.machine.upgrade())
        {
            let carried = known.carried.as_ref().and_then(|(_, carried)| carried.upgrade());
            return Ok(Compiled { library, machine, carried });
        }
        let mut compiled = read(begin)?;
        if let (Some((hash, _)), Some(journal)) = (&wanted, journal) {
            let kept = kept(journal, hash)?;
            let content = compiled.library.content_hash(&begin.procedure);
            let contents = [Some(&*begin.content), content.as_deref()];
            compiled.carried = Some(Arc::new(Carried::new(kept.as_deref(), &compiled.machine, contents)));
        }
        let carried = wanted.zip(compiled.carried.as_ref().map(Arc::downgrade));
        self.0.push(Known {
            procedure: begin.procedure.clone(),
            documents: begin.documents.clone(),
            library: Arc::downgrade(&compiled.library),
            machine: Arc::downgrade(&compiled.machine),
            carried,
        });
        Ok(compiled)
    }
}

fn read(begin: &Begin) -> Result<Compiled, Error> {
    let files: Vec<InputFile> = begin
        .documents
        .iter()
        .map(|document| InputFile { name: document.name.clone(), bytes: document.text.clone().into_bytes() })
        .collect();
    let reading = document::read(&files);
    if let Some(fault) = reading.findings.iter().find(|finding| finding.severity == Severity::Error) {
        return Err(Error::Unsound(fault.message.clone()));
    }
    let procedure = Name::from(begin.procedure.as_str());
    let machine =
        machine::compile(&reading.library, &procedure).map_err(|error| Error::Unsound(error.to_string()))?;
    Ok(Compiled { library: Arc::new(reading.library), machine: Arc::new(machine), carried: None })
}
