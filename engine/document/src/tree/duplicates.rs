//! No key stands twice in one map: of two values nobody can tell which was meant.

use super::Entry;
use crate::codes::R05;
use crate::diagnostic::{Diagnostic, Place};
use crate::limits::MAX_FINDINGS;
use crate::source::{SourceId, Span};
use std::collections::BTreeMap;

/// Up to so many keys are compared pair by pair.
const SHORT: usize = 24;

/// Keeps the first entry of every key and notes the others.
pub(super) fn refuse(entries: Vec<Entry>, id: SourceId, found: &mut Vec<Diagnostic>) -> Vec<Entry> {
    // Most maps are short: looking through them costs less than setting anything up.
    let twice = |(at, entry): (usize, &Entry)| entries[..at].iter().any(|other| other.key == entry.key);
    if entries.len() <= SHORT && !entries.iter().enumerate().any(twice) {
        return entries;
    }
    let mut seen: BTreeMap<String, Span> = BTreeMap::new();
    let mut kept = Vec::with_capacity(entries.len());
    for entry in entries {
        match seen.get(&entry.key) {
            // Keys that could not be read are empty, and told already.
            Some(_) if entry.key.is_empty() || found.len() > MAX_FINDINGS => {}
            Some(&first) => found.push(
                Diagnostic::error(
                    R05,
                    Place { source: id, span: entry.key_span },
                    format!("the key `{}` stands twice in this map", entry.key),
                )
                .note(Place { source: id, span: first }, "first given here")
                .help("keep one of the two"),
            ),
            None => {
                seen.insert(entry.key.clone(), entry.key_span);
                kept.push(entry);
            }
        }
    }
    kept
}
