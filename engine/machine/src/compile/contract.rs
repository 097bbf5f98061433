//! The contract of one step.

use super::error::{CompileError, unresolved};
use super::resolve::{cube, written};
use crate::layout::Layout;
use crate::node::{Effect, Need, NeedSource};
use document::model::{Cube as Authored, Equipment, Name, Step};

/// What a step asks for and does.
pub(super) struct Contract {
    pub(super) needs: Vec<Need>,
    /// What it does, in the order in which that comes about; what it disturbs comes last.
    pub(super) effects: Vec<Effect>,
    /// What it disturbs even where it fails.
    pub(super) disturbed: Vec<Effect>,
    /// Whether a second person verifies it.
    pub(super) verified: bool,
}

impl Contract {
    /// What a step asks for and does, with what its type of work and its reusable step add.
    pub(super) fn new(step: &Step, equipment: &Equipment, layout: &Layout) -> Result<Self, CompileError> {
        let at = &*step.common.id;
        let mut needs = Vec::new();
        let mut add = |authored: &Authored, source: NeedSource| -> Result<(), CompileError> {
            let cube = cube(layout, authored, at)?;
            needs.extend(cube.0.into_iter().map(|conjunct| Need { conjunct, source: source.clone() }));
            Ok(())
        };
        let work_of = |work: &Name| {
            equipment.work.get(work).ok_or_else(|| unresolved(at, format!("type of work `{work}`")))
        };
        add(&step.common.requires, NeedSource::Step)?;
        if let Some(work) = &step.common.work {
            add(&work_of(work)?.requires, NeedSource::Work(work.clone()))?;
        }
        let mut effects = Vec::new();
        if let Some(name) = step.kind.action() {
            let action = equipment.actions.get(name);
            let action = action.ok_or_else(|| unresolved(at, format!("action `{name}`")))?;
            add(&action.requires, NeedSource::Action(name.clone()))?;
            if let Some(work) = &action.work {
                add(&work_of(work)?.requires, NeedSource::Work(work.clone()))?;
            }
            effects.extend(written(layout, &action.leaves, &action.disturbs, at)?);
        }
        effects.extend(written(layout, &step.common.leaves, &step.common.disturbs, at)?);
        let verified = equipment.verifying_role(step).is_some();
        // Only an act has an action, and an act that is not verified has disturbed all: what a look itself disturbs is left.
        let disturbed = written(layout, &Authored::default(), &step.common.disturbs, at)?;
        Ok(Self { needs, effects, disturbed, verified })
    }
}
