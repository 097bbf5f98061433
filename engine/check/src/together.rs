//! One cause is told once: findings that one mend serves are one, with the other places counted.

use document::{Diagnostic, Place};
use std::collections::BTreeMap;

/// The findings, those of one code and one cause as one. It stands where the first of them stood; what it says is said by
/// the one with the shortest run, and where runs are as long, by the first.
pub(crate) fn together(findings: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let mut told: Vec<Diagnostic> = Vec::new();
    let mut first: BTreeMap<(&'static str, String), usize> = BTreeMap::new();
    for finding in findings {
        let Some(cause) = &finding.cause else {
            told.push(finding);
            continue;
        };
        let key = (finding.code, cause.clone());
        match first.get(&key).and_then(|at| told.get_mut(*at)) {
            Some(known) => join(known, finding),
            None => {
                first.insert(key, told.len());
                told.push(finding);
            }
        }
    }
    told
}

/// How many remarks about other places one finding has: further ones are only counted.
const NOTES_MAX: usize = 8;

fn join(known: &mut Diagnostic, mut other: Diagnostic) {
    if other.trace.len() < known.trace.len() {
        std::mem::swap(known, &mut other);
    }
    let Diagnostic { place, also, notes, .. } = other;
    for note in notes {
        if known.notes.len() < NOTES_MAX && !known.notes.contains(&note) {
            known.notes.push(note);
        }
    }
    let mut all: Vec<Place> = known.also.drain(..).chain(also).chain([place]).collect();
    all.sort_unstable();
    all.dedup();
    all.retain(|place| *place != known.place);
    known.also = all;
}
