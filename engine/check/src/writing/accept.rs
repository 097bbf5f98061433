//! Findings that an author accepts at their place, with a reason.

use super::{Found, Writing};
use crate::registry::explain;
use crate::rules::{accepted_for_nothing, cannot_be_accepted};
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
pub(super) struct Entry<'a> {
    code: &'a str,
    reason: &'a str,
    /// Everything under this pointer.
    holder: String,
    at: String,
    used: bool,
}

/// Families whose findings can be accepted: they judge wording and completeness, and prove nothing.
pub(crate) const FAMILIES: [char; 6] = ['C', 'E', 'H', 'T', 'U', 'W'];

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
pub(super) fn of_procedure<'a>(writing: &Writing<'a>) -> Vec<Entry<'a>> {
    let mut all = Vec::new();
    for one in writing.steps.iter().rev() {
        entries(&one.at, one.step.accept.iter(), &mut all);
    }
    entries("", writing.model().accept.iter(), &mut all);
    all
}

pub(super) fn of_equipment(equipment: &Equipment) -> Vec<Entry<'_>> {
    let mut all = Vec::new();
    entries("", equipment.accept.iter(), &mut all);
    all
}

/// Parts what is told from what is accepted, and tells of entries that accept nothing.
pub(super) fn part<T>(
    found: Vec<Found>,
    mut entries: Vec<Entry<'_>>,
    document: &Document<T>,
) -> (Vec<Diagnostic>, Vec<Accepted>) {
    let mut told = Vec::new();
    let mut accepted = Vec::new();
    for Found { at, finding } in found {
        let under = |holder: &str| {
            at.strip_prefix(holder).is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
        };
        match entries.iter_mut().find(|entry| entry.code == finding.code && under(&entry.holder)) {
            Some(entry) => {
                entry.used = true;
                let place = document.key_place(&entry.at);
                accepted.push(Accepted { place, reason: entry.reason.to_owned(), finding });
            }
            None => told.push(finding),
        }
    }
    for entry in entries.iter().filter(|entry| !entry.used) {
        let place = document.key_place(&entry.at);
        let known = explain(entry.code)
            .is_some_and(|rule| rule.code == entry.code && rule.code.starts_with(FAMILIES));
        told.push(if known {
            accepted_for_nothing::finding(place, entry.code)
        } else {
            cannot_be_accepted::finding(place, entry.code)
        });
    }
    (told, accepted)
}
