//! Two revisions side by side, and where something stands in one of them.

use super::side::Side;
use document::Place;

/// Two revisions of one procedure.
pub(crate) struct Pair<'a> {
    pub(crate) old: &'a Side<'a>,
    pub(crate) new: &'a Side<'a>,
}

/// The place of a key of a value in a procedure; of the value itself where it has no such key.
pub(crate) fn place(side: &Side<'_>, pointer: &str, key: &str) -> Option<Place> {
    let document = side.procedure;
    let whole = if key.is_empty() { pointer.to_owned() } else { format!("{pointer}/{key}") };
    let span = document.places.key(&whole).or_else(|| document.places.value(pointer));
    Some(Place { source: document.source, span: span? })
}

/// The place of a name in a map of the equipment.
pub(crate) fn equipment_place(side: &Side<'_>, map: &str, name: &str) -> Option<Place> {
    let document = side.equipment;
    let pointer =
        if name.is_empty() { format!("/{map}") } else { document::pointer(&format!("/{map}"), name) };
    Some(Place { source: document.source, span: document.places.key(&pointer)? })
}
