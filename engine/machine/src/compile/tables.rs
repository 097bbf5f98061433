//! Everything of a machine but its nodes: variables, rules, promises.

use super::error::{CompileError, unresolved};
use super::resolve::{bit, cube, find, written};
use crate::cube::{Conjunct, Cube};
use crate::lasting::lost_when;
use crate::layout::{Layout, Origin, Var, VarId};
use crate::machine::{LostWhen, Machine, Restoring, Rule, Settling};
use crate::marks::MarkSets;
use crate::node::{Effect, Node, NodeId};
use crate::owners::Owners;
use crate::promise::{Promise, PromiseSource};
use crate::sight::Sight;
use calc::quantity::Duration;
use document::model::{Action, Equipment, Lapse, Name, Procedure, SeenBy, Stated, While};
use std::sync::Arc;

/// What the steps become.
pub(super) struct Steps {
    pub(super) nodes: Vec<Node>,
    pub(super) entry: NodeId,
    /// For each any-order block, by number, what it itself leaves and disturbs.
    pub(super) beside: Vec<Vec<Effect>>,
}

pub(super) struct Tables {
    pub(super) layout: Layout,
    asked: Vec<Promise>,
    rules: Vec<Rule>,
    released: Vec<Rule>,
    settling: Vec<Settling>,
    lost_when: Vec<LostWhen>,
    promises: Vec<Promise>,
    lapses: Vec<(VarId, u64)>,
    sights: Vec<Sight>,
    restoring: Vec<Restoring>,
    rest: Option<Cube>,
}

impl Tables {
    pub(super) fn new(equipment: &Equipment, procedure: &Procedure) -> Result<Self, CompileError> {
        let layout = layout(equipment);
        let at = &*equipment.equipment;
        let (mut rules, mut released) = (Vec::new(), Vec::new());
        for (name, rule) in &equipment.never {
            // What somebody may release is no prohibition.
            let of = if rule.released_by.is_none() { &mut rules } else { &mut released };
            of.push(Rule { name: name.clone(), when: cube(&layout, &rule.when, name)? });
        }
        let (mut settling, mut causes, mut lapses) = (Vec::new(), Vec::new(), Vec::new());
        let mut normals = Vec::new();
        for (name, condition) in &equipment.conditions {
            let var = find(&layout, name, at)?;
            if let Some(settles) = &condition.settles {
                let holds = settles.holds.as_ref().and_then(While::cube);
                settling.push(Settling {
                    var,
                    from: bit(&layout, var, &settles.from, name)?,
                    to: bit(&layout, var, &settles.to, name)?,
                    after: time(&settles.after, name)?,
                    holds: holds.map(|holds| cube(&layout, holds, name)).transpose()?,
                });
            }
            for cause in &condition.lost_when {
                causes.push((var, cube(&layout, cause, name)?));
            }
            if let Some(lapse) = &condition.lapses {
                let Lapse(after) = lapse;
                lapses.push((var, time(after, name)?));
            }
            if let Some(normal) = &condition.normal {
                normals.push(Conjunct { var, set: bit(&layout, var, normal, name)? });
            }
        }
        let asked = with_normals(cube(&layout, &procedure.requires, &procedure.procedure)?, &normals);
        let promises = with_normals(cube(&layout, &procedure.leaves, &procedure.procedure)?, &normals);
        let mut sights = Vec::new();
        for var in layout.ids() {
            let name = &layout.var(var).name;
            let Some(condition) = equipment.conditions.get(name) else {
                sights.push(Sight { is_asked: true, keeps: true, ..Sight::default() });
                continue;
            };
            let is_hidden = condition.seen_by() == SeenBy::Nobody;
            let when = cube(&layout, &condition.seen_when, name)?;
            let is_asked = condition.ask.is_some() && !is_hidden;
            sights.push(Sight { is_asked, is_hidden, when, keeps: condition.keeps });
        }
        let lost_when = lost_when(&layout, causes, &settling);
        let mut restoring = Vec::new();
        for (name, action) in equipment.actions.iter().filter(|(_, action)| action.restores) {
            restoring.push(restoring_action(&layout, equipment, name, action)?);
        }
        let rest = equipment.safe_state.as_ref().map(|state| cube(&layout, state, at)).transpose()?;
        Ok(Self {
            asked,
            rules,
            released,
            settling,
            lost_when,
            promises,
            lapses,
            sights,
            restoring,
            rest,
            layout,
        })
    }

    pub(super) fn into_machine(self, procedure: Name, steps: Steps) -> Machine {
        let Steps { nodes, entry, beside } = steps;
        let mut rules_of = vec![Vec::new(); self.layout.ids().count()];
        for (at, rule) in self.rules.iter().enumerate() {
            for conjunct in &rule.when.0 {
                rules_of[conjunct.var.0 as usize].push(at);
            }
        }
        let mut usual = vec![false; rules_of.len()];
        let owed = self.promises.iter().filter(|promise| promise.source == PromiseSource::Normal);
        owed.for_each(|promise| usual[promise.conjunct.var.0 as usize] = true);
        let unseen = self.asked.iter().filter(|asked| asked.source == PromiseSource::Leaves);
        let unseen =
            unseen.map(|asked| asked.conjunct).filter(|part| self.sights[part.var.0 as usize].is_hidden);
        let mut machine = Machine {
            unseen: unseen.collect(),
            mark_sets: MarkSets::new(rules_of.len(), self.settling.len(), self.rules.len()),
            usual,
            owners: Owners::new(&nodes, &beside),
            reliance: Arc::default(),
            sought: None,
            asked: Vec::new(),
            procedure,
            layout: self.layout,
            nodes,
            entry,
            rules: self.rules,
            released: self.released,
            settling: self.settling,
            lost_when: self.lost_when,
            promises: self.promises,
            lapses: self.lapses,
            sights: self.sights,
            restoring: self.restoring,
            rest: self.rest,
            rules_of,
        };
        machine.asked = machine.asked_of(&self.asked);
        machine
    }
}

fn restoring_action(
    layout: &Layout,
    equipment: &Equipment,
    name: &Name,
    action: &Action,
) -> Result<Restoring, CompileError> {
    let mut needs = cube(layout, &action.requires, name)?;
    if let Some(work) = action.work.as_ref().and_then(|work| equipment.work.get(work)) {
        needs.0.extend(cube(layout, &work.requires, name)?.0);
    }
    let effects = written(layout, &action.leaves, &action.disturbs, name)?;
    Ok(Restoring { name: name.clone(), needs, effects })
}

/// What is stated first, then the normal values of what it leaves out.
fn with_normals(stated: Cube, normals: &[Conjunct]) -> Vec<Promise> {
    let left_out = normals.iter().filter(|normal| !stated.mentions(normal.var)).copied();
    let normals =
        left_out.map(|conjunct| Promise { conjunct, source: PromiseSource::Normal }).collect::<Vec<_>>();
    let stated = stated.0.into_iter().map(|conjunct| Promise { conjunct, source: PromiseSource::Leaves });
    stated.chain(normals).collect()
}

fn layout(equipment: &Equipment) -> Layout {
    let variants = equipment.variants.iter().map(|(name, values)| Var {
        name: name.clone(),
        label: name.words(),
        values: values.clone(),
        origin: Origin::Variant,
    });
    let conditions = equipment.conditions.iter().map(|(name, condition)| Var {
        name: name.clone(),
        label: condition.label.clone().unwrap_or_else(|| name.words()),
        values: condition.values.clone(),
        origin: Origin::Condition,
    });
    Layout::new(variants.chain(conditions).collect())
}

fn time(stated: &Stated<Duration>, at: &str) -> Result<u64, CompileError> {
    let time = stated.read().map_err(|error| unresolved(at, format!("a time ({error})")))?;
    Ok(time.as_millis())
}
