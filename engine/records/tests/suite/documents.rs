//! A procedure and its equipment, as small as they can be.

use document::{InputFile, Library};

pub(crate) const PROCEDURE: &str = "procedure: wash\ntitle: Wash\nequipment: pump\nrevision: 3\npurpose: Wash.\nscope: The pump.\n\
    performers: { technician: 1 }\ntime: 5 min\nlevel_of_use: continuous\ntools: none\nsupplies: none\nspares: none\n\
    wear: none\nsteps:\n  - { id: act, do: Act. }\n";

const PUMP: &str = "equipment: pump\ntitle: A pump\nrevision: 1\nroles: { technician: Works on it. }\nconditions: {}\n\
    hazards: {}\n";

/// The library of that procedure and the pump.
pub(crate) fn library(procedure: &str) -> Library {
    let file = |name: &str, text: &str| InputFile { name: name.to_owned(), bytes: text.as_bytes().to_vec() };
    document::read(&[file("pump.yaml", PUMP), file("wash.yaml", procedure)]).library
}
