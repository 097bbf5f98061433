//! Methods that work a figure out: each one a file, with its formula, validity ranges, rounding and source.
//!
//! To add one, write its file with a `pub(crate) static METHOD` and list it in `METHODS` below.

mod application_rate;
mod bolt;
mod charge_time;
mod clamp_force;
mod coverage;
mod dilution_dose;
mod dilution_liquid;
mod dilution_powder;
mod dilution_ratio;
mod dilution_tablets;
mod error;
mod given;
mod guard_band;
mod input;
mod lifting;
mod line_purge;
mod method;
mod mix_strength;
mod orifice_flow;
mod purge_mixed;
mod rest_voltage;
mod rounded;
mod source;
mod static_discharge;
mod stored_energy;
mod strength;
mod tightening_torque;
mod torque_stage;
mod torque_unit;
mod value;
mod walking_speed;

pub use error::MethodError;
pub use input::{Input, Kind, Lowest, Presence};
pub use method::{Method, Worked};
pub use source::{Basis, Mark, Source, SourceKind};
pub use value::Value;

use crate::nearest;

static METHODS: [&Method; 22] = [
    &line_purge::METHOD,
    &purge_mixed::METHOD,
    &dilution_liquid::METHOD,
    &dilution_tablets::METHOD,
    &dilution_powder::METHOD,
    &dilution_ratio::METHOD,
    &dilution_dose::METHOD,
    &mix_strength::METHOD,
    &coverage::METHOD,
    &application_rate::METHOD,
    &walking_speed::METHOD,
    &charge_time::METHOD,
    &rest_voltage::METHOD,
    &lifting::METHOD,
    &static_discharge::METHOD,
    &stored_energy::METHOD,
    &torque_unit::METHOD,
    &torque_stage::METHOD,
    &tightening_torque::METHOD,
    &clamp_force::METHOD,
    &guard_band::METHOD,
    &orifice_flow::METHOD,
];

/// All methods, in a fixed order.
pub fn methods() -> &'static [&'static Method] {
    &METHODS
}

/// Finds a method by name.
///
/// # Errors
/// [`MethodError::UnknownMethod`] with the nearest name.
pub fn method(name: &str) -> Result<&'static Method, MethodError> {
    METHODS.iter().copied().find(|method| method.name == name).ok_or_else(|| MethodError::UnknownMethod {
        name: name.into(),
        nearest: nearest(name, METHODS.iter().map(|method| method.name)),
    })
}

#[cfg(test)]
mod cautious;
#[cfg(test)]
mod published;
#[cfg(test)]
mod refusals;
#[cfg(test)]
mod tests;
