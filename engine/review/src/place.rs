//! From a place in a procedure's text to the step that stands there.

use document::Document;
use document::model::{Name, Procedure, Step};

/// Keys that may follow the steps; what stands at or after one of them belongs to no step.
const OTHERS: [&str; 18] = [
    "procedure",
    "title",
    "equipment",
    "revision",
    "effective",
    "author",
    "purpose",
    "scope",
    "performers",
    "time",
    "level_of_use",
    "tools",
    "supplies",
    "spares",
    "wear",
    "requires",
    "leaves",
    "emergency",
];

/// The innermost step whose text holds an offset, if a step's text does.
#[must_use]
pub fn step_at(document: &Document<Procedure>, offset: usize) -> Option<&Name> {
    let mut found: Option<(usize, &Name)> = None;
    look(document, &document.model.steps, "/steps", offset, &mut found);
    let (start, name) = found?;
    let after = |key: &str| {
        let span = document.places.key(&format!("/{key}"));
        span.is_some_and(|span| start < span.start && span.start <= offset)
    };
    if OTHERS.iter().any(|key| after(key)) { None } else { Some(name) }
}

fn look<'a>(
    document: &'a Document<Procedure>,
    steps: &'a [Step],
    at: &str,
    offset: usize,
    found: &mut Option<(usize, &'a Name)>,
) {
    for (index, step) in steps.iter().enumerate() {
        let pointer = format!("{at}/{index}");
        let start = document.places.nearest(&pointer).start;
        if start <= offset && found.is_none_or(|(last, _)| last <= start) {
            *found = Some((start, &step.common.id));
        }
        if let Some((segment, inner)) = step.inner() {
            look(document, inner, &format!("{pointer}{segment}"), offset, found);
        }
    }
}

/// The names of all steps, in written order.
#[must_use]
pub fn step_names(procedure: &Procedure) -> Vec<&str> {
    fn collect<'a>(steps: &'a [Step], names: &mut Vec<&'a str>) {
        for step in steps {
            names.push(&step.common.id);
            if let Some((_, inner)) = step.inner() {
                collect(inner, names);
            }
        }
    }
    let mut names = Vec::new();
    collect(&procedure.steps, &mut names);
    names
}
