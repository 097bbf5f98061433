//! What is compared as a whole: instruments, groups of fasteners, passes over them, amounts.
//!
//! A new key does not compile until somebody says whether it counts.

use document::model::{Amount, Fasten, FastenerPlace, Fasteners, Instrument, Name};
use indexmap::IndexMap;

pub(super) fn instruments_differ(old: &Instrument, new: &Instrument) -> bool {
    let Instrument { label, unit, resolution, uncertainty } = old;
    *label != new.label
        || *unit != new.unit
        || *resolution != new.resolution
        || *uncertainty != new.uncertainty
}

pub(super) fn groups_differ(old: &Fasteners, new: &Fasteners) -> bool {
    let Fasteners {
        layout,
        count,
        rows,
        columns,
        pitch,
        row_pitch,
        diameter,
        positions,
        order,
        sequence,
        seat,
        torque,
        stages,
        final_pass,
        note,
    } = old;
    *layout != new.layout
        || *count != new.count
        || *rows != new.rows
        || *columns != new.columns
        || *pitch != new.pitch
        || *row_pitch != new.row_pitch
        || *diameter != new.diameter
        || all_places_differ(positions.as_deref(), new.positions.as_deref())
        || *order != new.order
        || *sequence != new.sequence
        || *seat != new.seat
        || *torque != new.torque
        || *stages != new.stages
        || *final_pass != new.final_pass
        || *note != new.note
}

fn all_places_differ(old: Option<&[FastenerPlace]>, new: Option<&[FastenerPlace]>) -> bool {
    match (old, new) {
        (None, None) => false,
        (Some(old), Some(new)) => {
            old.len() != new.len() || old.iter().zip(new).any(|(old, new)| places_differ(old, new))
        }
        (Some(_), None) | (None, Some(_)) => true,
    }
}

fn places_differ(old: &FastenerPlace, new: &FastenerPlace) -> bool {
    let FastenerPlace { x, y } = old;
    *x != new.x || *y != new.y
}

pub(super) fn passes_differ(old: &Fasten, new: &Fasten) -> bool {
    let Fasten { fasteners, pass } = old;
    *fasteners != new.fasteners || *pass != new.pass
}

/// In which order inputs are written does not count.
pub(super) fn amounts_differ(old: &Amount, new: &Amount) -> bool {
    let Amount { method, inputs } = old;
    *method != new.method || *inputs != new.inputs
}

/// Whether an amount is gone, is new, or is another; their order does not count.
pub(super) fn any_amount_differs(old: &IndexMap<Name, Amount>, new: &IndexMap<Name, Amount>) -> bool {
    old.len() != new.len()
        || old.iter().any(|(name, old)| new.get(name).is_none_or(|new| amounts_differ(old, new)))
}
