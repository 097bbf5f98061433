//! What whoever begins or goes on with a walk has to know of the machine: the same in the terminal and in the browser.

use crate::beginning::out_of_service;
use crate::damage::Damaged;
use crate::register::Register;
use crate::walks::Walked;
use document::{Day, Zone};
use std::fmt;

/// One thing to know of a machine before it is worked on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MachineNotice {
    /// It is out of service: its serial number, since when, why, and who said so.
    OutOfService(String),
    /// The register does not list this serial number.
    Unlisted(String),
    /// A damaged walk may tell that work on it was stopped.
    MayBeOutOfService {
        /// The serial number.
        serial: String,
        /// The walk.
        walk: String,
    },
}

impl fmt::Display for MachineNotice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfService(out) => write!(f, "Out of service: {out}"),
            Self::Unlisted(serial) => {
                write!(f, "{serial} is not in the register: it may have been mistyped.")
            }
            Self::MayBeOutOfService { serial, walk } => {
                write!(f, "{serial} may be out of service: the walk {walk} is damaged.")
            }
        }
    }
}

/// What is to be known of one machine on a day. Without a register no machine is unlisted.
#[must_use]
pub fn machine_notices(
    register: Option<&Register>,
    zone: Zone,
    walks: &[Walked],
    damaged: &[Damaged],
    on: Day,
    equipment: &str,
    serial: &str,
) -> Vec<MachineNotice> {
    let out = out_of_service(register, zone, walks, on, equipment, Some(serial));
    let mut notices: Vec<MachineNotice> = out.into_iter().map(MachineNotice::OutOfService).collect();
    if register.is_some_and(|register| !register.lists(equipment, serial)) {
        notices.push(MachineNotice::Unlisted(serial.to_owned()));
    }
    let of_it = damaged.iter().filter(|one| one.may_be_of(equipment, serial));
    notices.extend(
        of_it.map(|one| MachineNotice::MayBeOutOfService {
            serial: serial.to_owned(),
            walk: one.walk.clone(),
        }),
    );
    notices
}
