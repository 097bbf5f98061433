//! Findings that an author accepts at their place, with a reason.

use crate::rule::{Pointer, UnusedEntry};
use crate::rules;
use crate::written::WrittenProcedure;
use document::model::Equipment;
use document::{Diagnostic, Document, Place, pointer};

/// A finding that is not told, because the author accepts it and says why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accepted {
    /// Where it is accepted.
    pub place: Place,
    /// Why, in the author's words.
    pub reason: String,
    /// What was found.
    pub finding: Diagnostic,
}

/// One entry of an `accept` map.
pub(crate) struct Entry<'a> {
    code: &'a str,
    reason: &'a str,
    /// Everything under this pointer.
    holder: String,
    at: String,
    used: bool,
}

impl Entry<'_> {
    /// The finding as it is accepted here.
    pub(crate) fn accept<T>(&mut self, finding: Diagnostic, document: &Document<T>) -> Accepted {
        self.used = true;
        Accepted { place: document.key_place(&self.at), reason: self.reason.to_owned(), finding }
    }

    fn covers(&self, code: &str, at: &Pointer) -> bool {
        let under = |rest: &str| rest.is_empty() || rest.starts_with('/');
        self.code == code && at.0.strip_prefix(&self.holder).is_some_and(under)
    }
}

fn entries<'a>(
    holder: &str,
    accept: impl Iterator<Item = (&'a String, &'a String)>,
    into: &mut Vec<Entry<'a>>,
) {
    into.extend(accept.map(|(code, reason)| Entry {
        code,
        reason,
        holder: holder.to_owned(),
        at: pointer(&format!("{holder}/accept"), code),
        used: false,
    }));
}

/// Those of the steps first: the nearest entry counts.
pub(crate) fn entries_of_procedure<'a>(written: &WrittenProcedure<'a>) -> Vec<Entry<'a>> {
    let mut all = Vec::new();
    for one in written.steps.iter().rev() {
        entries(&one.at, one.step.common.accept.iter(), &mut all);
    }
    entries("", written.procedure.accept.iter(), &mut all);
    all
}

pub(crate) fn entries_of_equipment(equipment: &Equipment) -> Vec<Entry<'_>> {
    let mut all = Vec::new();
    entries("", equipment.accept.iter(), &mut all);
    all
}

/// The nearest entry that accepts a finding of this code here.
pub(crate) fn nearest<'e, 'a>(
    entries: &'e mut [Entry<'a>],
    code: &str,
    at: &Pointer,
) -> Option<&'e mut Entry<'a>> {
    entries.iter_mut().find(|entry| entry.covers(code, at) && rules::is_acceptable(code))
}

/// The entries that accepted nothing, each with its pointer.
pub(crate) fn unused<'e>(entries: &'e [Entry<'_>]) -> impl Iterator<Item = (UnusedEntry<'e>, &'e str)> {
    let unused = entries.iter().filter(|entry| !entry.used);
    unused.map(|entry| {
        let entry_of = UnusedEntry { code: entry.code, acceptable: rules::is_acceptable(entry.code) };
        (entry_of, entry.at.as_str())
    })
}
