//! Proving a machine part by part: conditions of which none decides anything of another are followed one set of them at a time.
//!
//! Every run of the machine is one of each part, with the same record of what the part is about. Where no part violates
//! anything nothing does; where one does, the whole has to be explored.

use crate::explore::{Explored, Explorer};
use crate::live::LiveVars;
use crate::meter::Meter;
use crate::order::Order;
use crate::plan::{Planner, Stood};
use crate::reduce::Reduction;
use crate::report;
use crate::resume::Resume;
use crate::universal::Universal;
use machine::{Machine, NodeId, STOP, VarId, Vars};
use std::collections::BTreeSet;

/// What comes of all parts together; nothing where that decides nothing or the budget ends.
pub(crate) fn explore(
    machine: &Machine,
    order: &Order,
    mut planner: Option<&mut Planner<'_>>,
    resume: &Resume,
    meter: &Meter<'_>,
) -> Option<Explored> {
    let parts = machine.parts()?;
    if let Some(planner) = planner.as_deref_mut() {
        let whole = matches!(planner.universal_within(meter), Ok(Universal::Plan(_)));
        // A plan has to end all that was found broken: what it is in other parts a part does not say.
        let findable = machine.findable();
        let speaks =
            |vars: &Vars, &rule: &usize| machine.rules[rule].when.0.iter().any(|part| vars.has(part.var));
        let may_find = |vars: &&Vars| findable.iter().any(|rule| speaks(vars, rule));
        if !whole || parts.iter().filter(may_find).count() > 1 {
            return None;
        }
    }
    if !machine.unseen.is_empty() || !machine.broken_at_start().is_empty() {
        return None;
    }
    let mut busy = vec![false; machine.nodes.len()];
    let is_planned = planner.is_some();
    for vars in &parts {
        let explored = one(machine, order, planner.as_deref_mut(), (vars, false), meter)?;
        busy.iter_mut().zip(explored.busy).for_each(|(all, one)| *all |= one);
    }
    // What decides the ways is a part too: it says which places are reached.
    let mut ways = one(machine, order, planner, (&machine.variants(), true), meter)?;
    // What is known of all parts at a node is not put together: the plan for whatever is true serves there.
    let stood = |id: &NodeId| *id != STOP && ways.reached[id.0 as usize] && machine.node(*id).is_stood_at();
    let nodes = (0..machine.nodes.len() as u32).map(NodeId).filter(|id| is_planned && stood(id));
    ways.stood = Stood::anything(machine, nodes.map(|id| machine.told_at(id)));
    ways.busy = busy;
    ways.reduction = Reduction::default();
    ways.obligations = report::at_ends(machine);
    for (id, _) in ways.reached.iter().enumerate().filter(|(_, reached)| **reached) {
        let id = NodeId(id as u32);
        ways.obligations += report::obligations_of(machine, machine.node(id));
        ways.obligations.resumes += resume.count(machine, id);
    }
    Some(ways)
}

/// Follows one part; nothing where something is violated in it or the budget ends.
fn one(
    machine: &Machine,
    order: &Order,
    planner: Option<&mut Planner<'_>>,
    (vars, ways): (&Vars, bool),
    meter: &Meter<'_>,
) -> Option<Explored> {
    meter.work(machine.nodes.len()).ok()?;
    let part = machine.part(vars);
    let mut kept: BTreeSet<VarId> = planner.iter().flat_map(|planner| planner.relevant()).copied().collect();
    if ways {
        kept.extend(machine.layout.ids());
    }
    kept.retain(|&var| vars.has(var));
    let live = LiveVars::new(&part, order, &kept, false);
    let resume = Resume::new(&part);
    let explorer = Explorer::new(&part, order, &live, planner, &resume, meter).of_part(vars);
    let explored = explorer.run_from(machine.met_at_start()?);
    (explored.ended.is_none() && explored.violated.is_empty()).then_some(explored)
}
