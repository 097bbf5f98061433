//! Where a person can find a condition out by looking.

use crate::record::Record;
use machine::{Machine, VarId};

/// Whether a person can look at it there.
pub(crate) fn is_seen_at(machine: &Machine, var: VarId, record: &Record) -> bool {
    machine.sight(var).reaches(&machine.layout, &record.bits)
}
