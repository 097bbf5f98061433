//! From names to conditions, values and effects.

use super::error::{CompileError, unresolved};
use crate::cube::{Conjunct, Cube};
use crate::layout::{Layout, VarId};
use crate::node::Effect;
use document::model::{Cube as Authored, Name};

pub(super) fn cube(layout: &Layout, authored: &Authored, at: &str) -> Result<Cube, CompileError> {
    let mut conjuncts = Vec::with_capacity(authored.len());
    for (name, values) in authored {
        let var = find(layout, name, at)?;
        let mut set = 0;
        for value in &values.0 {
            set |= bit(layout, var, value, at)?;
        }
        conjuncts.push(Conjunct { var, set });
    }
    Ok(Cube(conjuncts))
}

pub(super) fn find(layout: &Layout, name: &str, at: &str) -> Result<VarId, CompileError> {
    layout.find(name).ok_or_else(|| unresolved(at, format!("condition `{name}`")))
}

pub(super) fn bit(layout: &Layout, var: VarId, value: &str, at: &str) -> Result<u64, CompileError> {
    layout.bit(var, value).ok_or_else(|| unresolved(at, format!("value `{value}`")))
}

/// What is left, in the order written, and then what is disturbed, be it left too.
pub(super) fn written(
    layout: &Layout,
    leaves: &Authored,
    disturbs: &[Name],
    at: &str,
) -> Result<Vec<Effect>, CompileError> {
    let mut effects: Vec<Effect> = cube(layout, leaves, at)?.0.into_iter().map(Effect::Write).collect();
    for name in disturbs {
        effects.push(Effect::Open(find(layout, name, at)?));
    }
    Ok(effects)
}
