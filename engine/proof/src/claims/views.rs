//! What views speak of: all of it at once, or, where that is too much, each time what bears on one thing.

use super::items;
use crate::live::Hard;
use crate::meter::{BudgetExhausted, Meter};
use crate::plan::Planner;
use machine::{Cube, Machine, NodeKind, VarId, Vars};
use std::borrow::Cow;
use std::collections::BTreeSet;

/// What a view speaks of.
#[derive(Clone)]
pub(super) struct Focus {
    pub(super) vars: Vars,
    /// Blocks of which some items only are followed, with those.
    pub(super) items: Vec<(u32, u32)>,
    /// What plans hang on that end what was found broken, and for which rules that has to be known before.
    pub(super) hard: Hard,
}

/// What plans of a machine hang on that end what was found broken.
pub(super) fn hard(
    machine: &Machine,
    planner: Option<&mut Planner<'_>>,
    meter: &Meter<'_>,
) -> Result<Hard, BudgetExhausted> {
    let mut planned = Vars::none(Vars::words(&machine.layout));
    let Some(planner) = planner else { return Ok(Hard::new(machine, Vec::new(), planned)) };
    // What nobody sees and time decides is waited for.
    let is_waited_for =
        |var: VarId| machine.sight(var).is_hidden && machine.settling.iter().any(|one| one.var == var);
    let relevant = planner.relevant().iter().filter(|&&var| !is_waited_for(var));
    relevant.for_each(|&var| planned.add(var));
    Ok(Hard::new(machine, planner.hard_to_end(meter)?, planned))
}

impl Focus {
    /// Everything.
    pub(super) fn whole(machine: &Machine, hard: &Hard) -> Self {
        let mut vars = Vars::none(Vars::words(&machine.layout));
        machine.layout.ids().for_each(|var| vars.add(var));
        Self { hard: hard.within(&vars), vars, items: Vec::new() }
    }

    /// What bears on these; of blocks only those items are followed that do, and the one that is asked for.
    fn on(machine: &Machine, wanted: &Wanted, hard: &Hard) -> Self {
        let mut wanted_vars = wanted.vars.clone();
        loop {
            let vars = machine.bearing_on(wanted_vars.iter().copied());
            let items = items::followed(machine, &vars, wanted.item);
            // Whether an item that is followed is offered again decides a way.
            let deciding = items::deciding(machine, &items);
            if deciding.iter().all(|&var| vars.has(var)) {
                let hard = hard.within(&vars);
                return Self { vars, items, hard };
            }
            wanted_vars.extend(deciding);
        }
    }

    /// The same with every item followed.
    pub(super) fn with_all_items(&self, machine: &Machine) -> Self {
        let mut wanted: BTreeSet<VarId> = machine.layout.ids().filter(|&var| self.vars.has(var)).collect();
        wanted.extend(items::deciding(machine, &[]));
        let vars = machine.bearing_on(wanted);
        let hard = self.hard.within(&vars);
        Self { vars, items: Vec::new(), hard }
    }

    /// The machine as far as it is spoken of.
    pub(super) fn part<'m>(&self, machine: &'m Machine) -> Cow<'m, Machine> {
        if machine.layout.ids().all(|var| self.vars.has(var)) && self.items.is_empty() {
            Cow::Borrowed(machine)
        } else {
            Cow::Owned(machine.part_with(&self.vars, &self.items))
        }
    }

    /// Whether it speaks of all that a rule names.
    pub(super) fn speaks_of(&self, machine: &Machine, rule: usize) -> bool {
        machine.rules[rule].when.0.iter().all(|part| self.vars.has(part.var))
    }
}

/// What a view is to speak of, and an item that it is to follow.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Wanted {
    vars: BTreeSet<VarId>,
    item: Option<(u32, u8)>,
}

/// Views that speak of everything together: the first of all that plans have to end and may wait for in vain, the others each of what
/// one thing hangs on.
pub(super) fn foci(machine: &Machine, hard: &Hard) -> Vec<Focus> {
    let of = |cube: &Cube| cube.0.iter().map(|part| part.var).collect::<BTreeSet<VarId>>();
    let mut vars: BTreeSet<VarId> =
        machine.findable().into_iter().flat_map(|rule| of(&machine.rules[rule].when)).collect();
    let settling = machine.settling.iter().map(|settling| settling.var);
    vars.extend(settling.filter(|&var| hard.planned.has(var) && !machine.sight(var).is_hidden));
    let first = Focus::on(machine, &Wanted { vars, item: None }, hard);
    let mut others: Vec<Focus> =
        wanted(machine).iter().map(|wanted| Focus::on(machine, wanted, hard)).collect();
    others.sort_by_key(|focus| std::cmp::Reverse(focus.vars.count()));
    let mut all = vec![first];
    for focus in others {
        // What another view says, of the same items or more, need not be said again.
        let is_said = all.iter().any(|known: &Focus| {
            focus.vars.is_within(&known.vars) && items::are_within(&focus.items, &known.items)
        });
        if !is_said {
            all.push(focus);
        }
    }
    all
}

/// Everything of which some view has to speak.
fn wanted(machine: &Machine) -> BTreeSet<Wanted> {
    let of = |cube: &Cube| Wanted { vars: cube.0.iter().map(|part| part.var).collect(), item: None };
    let one = |var: VarId, item| Wanted { vars: BTreeSet::from([var]), item };
    let mut all: BTreeSet<Wanted> = machine.rules.iter().map(|rule| of(&rule.when)).collect();
    all.extend(machine.promises.iter().map(|promise| one(promise.conjunct.var, None)));
    all.extend(machine.unseen.iter().map(|part| one(part.var, None)));
    for node in &machine.nodes {
        let item = node.block.zip(node.item);
        all.insert(Wanted { vars: BTreeSet::new(), item });
        all.extend(node.needs.iter().map(|need| one(need.conjunct.var, item)));
        if node.kind == NodeKind::Ask {
            let effects = node.outcomes.iter().flat_map(|outcome| &outcome.effects);
            all.insert(Wanted { vars: effects.map(|effect| effect.var()).collect(), item });
        }
    }
    all
}
