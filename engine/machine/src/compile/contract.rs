//! The contract of one step.

use super::error::{CompileError, unresolved};
use super::tables::{cube, find};
use crate::cube::Conjunct;
use crate::layout::Layout;
use crate::node::{Need, NeedSource};
use document::model::{Cube as Authored, Equipment, Name, Step};

/// What a step asks for and does.
pub(super) struct Contract {
    pub(super) needs: Vec<Need>,
    pub(super) sets: Vec<Conjunct>,
    /// What it disturbs even where it fails.
    pub(super) disturbed: Vec<Conjunct>,
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
        let (mut sets, mut disturbed) = (Vec::new(), Vec::new());
        if let Some(name) = step.kind.action() {
            let action = equipment.actions.get(name);
            let action = action.ok_or_else(|| unresolved(at, format!("action `{name}`")))?;
            add(&action.requires, NeedSource::Action(name.clone()))?;
            if let Some(work) = &action.work {
                add(&work_of(work)?.requires, NeedSource::Work(work.clone()))?;
            }
            effects(layout, &action.disturbs, &action.leaves, at, &mut sets)?;
        }
        effects(layout, &step.common.disturbs, &step.common.leaves, at, &mut sets)?;
        // Only an act has an action, and an act does not fail: what the step itself disturbs is all.
        effects(layout, &step.common.disturbs, &Authored::default(), at, &mut disturbed)?;
        Ok(Self { needs, sets, disturbed })
    }
}

/// What is disturbed may have any value, unless the step also says what it leaves.
fn effects(
    layout: &Layout,
    disturbs: &[Name],
    leaves: &Authored,
    at: &str,
    sets: &mut Vec<Conjunct>,
) -> Result<(), CompileError> {
    for name in disturbs {
        let var = find(layout, name, at)?;
        overwrite(sets, Conjunct { var, set: layout.all(var) });
    }
    for conjunct in cube(layout, leaves, at)?.0 {
        overwrite(sets, conjunct);
    }
    Ok(())
}

/// A later effect on a variable replaces an earlier one.
fn overwrite(sets: &mut Vec<Conjunct>, new: Conjunct) {
    match sets.iter_mut().find(|set| set.var == new.var) {
        Some(set) => *set = new,
        None => sets.push(new),
    }
}
