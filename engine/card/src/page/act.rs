//! An act of the equipment outside the steps of a procedure: in a plan for leaving, or to put right what keeps a gate shut.

use super::hazards::warning;
use super::pieces::Warning;
use super::scope::{Scope, named, people_of};
use crate::prose::Prose;
use document::model::Name;
use document::pointer;
use serde::Serialize;

/// An act of the equipment with all that a step would show of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ActBox {
    /// The warnings, gravest first: they stand before what is done.
    pub warnings: Vec<Warning>,
    /// The type of work.
    pub work: Option<String>,
    /// Protective equipment of the type of work.
    pub wear: Vec<String>,
    /// Tools it takes.
    pub takes: Vec<String>,
    /// The people that the type of work asks for: who does it, how many together, who verifies it.
    pub people: Vec<String>,
    /// What to do.
    pub text: Prose,
}

impl Scope<'_> {
    /// An act by its name; none if the equipment has no such.
    pub(super) fn act_box(&mut self, name: &Name) -> Option<ActBox> {
        let equipment = self.machine();
        let action = equipment.actions.get(name)?;
        let work = action.work.as_ref().and_then(|work| equipment.work.get_key_value(work));
        let of_work = work.map(|(_, work)| work);
        let hazard = of_work.and_then(|work| equipment.hazards.get(work.hazard.as_ref()?));
        let text = self.machine_text(&format!("{}/do", pointer("/actions", name)), &action.act);
        Some(ActBox {
            warnings: hazard.map(warning).into_iter().collect(),
            work: work.map(|(name, _)| name.words()),
            wear: named(of_work.iter().flat_map(|work| &work.wear), |name| equipment.wear.get(name)),
            takes: named(&action.tools, |name| equipment.tools.get(name)),
            people: of_work.map(people_of).unwrap_or_default(),
            text,
        })
    }
}
