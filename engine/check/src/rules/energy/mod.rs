//! Elements of controlling hazardous energy.

pub(super) mod area_not_inspected;
pub(super) mod isolation_not_verified;
pub(super) mod lock_removed_by_other;
pub(super) mod no_magnitude;
pub(super) mod nobody_told_after;
pub(super) mod nobody_told_before;
pub(super) mod not_locked;
mod steps;
pub(super) mod stored_energy_stays;

pub(crate) use steps::Control;
