//! From boxes back to values: a run that a person can act out.

use crate::boxes::permitted;
use crate::live::LiveVars;
use machine::{AbstractState, Bits, Cube, Machine, Move, ReplayError, Trace, VarId, Violation};
use std::collections::BTreeSet;

/// A box explored by the search, with every way it was reached.
pub(crate) struct SearchNode {
    pub(crate) state: AbstractState,
    pub(crate) from: Vec<SearchEdge>,
}

/// One way a box was reached.
pub(crate) struct SearchEdge {
    /// The here before.
    pub(crate) parent: usize,
    /// The outcome taken there.
    pub(crate) outcome: usize,
    /// The part of the here before that leads here.
    pub(crate) origin: Bits,
    /// What that part became.
    pub(crate) own: Bits,
    /// What the step wrote.
    pub(crate) changed: Vec<VarId>,
}

/// A run that ends in `end` with values inside `bad`, replayed.
///
/// Backwards: a value that a step did not write is the same before it; a written one may have been anything that leads
/// there. Where a projected away box no longer says what a value was, any will do: it decides nothing from there on. Forwards
/// again, each value is then what the steps make it.
pub(crate) fn trace(
    machine: &Machine,
    live: &LiveVars,
    tree: &[SearchNode],
    end: &SearchNode,
    bad: &Cube,
    violation: Violation,
) -> Result<Trace, ReplayError> {
    let layout = &machine.layout;
    let inside = bad.inside(layout, &end.state.bits);
    let mut values = pick(machine, &inside.ok_or(ReplayError { at: 0, what: "nothing is wrong there" })?);
    let mut path: Vec<(&SearchEdge, Bits)> = Vec::new();
    let mut here = end;
    while !here.from.is_empty() {
        let leads_here = |link: &&SearchEdge| {
            let stay = layout.ids().filter(|&var| live.stays(here.state.place.node, var));
            stay.into_iter().all(|var| values.field(layout, var) & link.own.field(layout, var) != 0)
        };
        let link = here.from.iter().find(leads_here);
        let link = link.ok_or(ReplayError { at: path.len(), what: "no way leads there" })?;
        within(machine, link, &mut values);
        let before = before(machine, link, &values);
        path.push((link, std::mem::replace(&mut values, before)));
        here = &tree[link.parent];
    }
    path.reverse();
    let trace = forwards(machine, live, values, &path, bad, violation)?;
    machine.replay(&trace)?;
    Ok(trace)
}

fn pick(machine: &Machine, bits: &Bits) -> Bits {
    let mut values = bits.clone();
    for var in machine.layout.ids() {
        let field = bits.field(&machine.layout, var);
        values.set_field(&machine.layout, var, field & field.wrapping_neg());
    }
    values
}

/// What no longer mattered once the step was done has a value with which the step was permitted: another may break a rule.
fn within(machine: &Machine, link: &SearchEdge, values: &mut Bits) {
    for var in machine.layout.ids() {
        let own = link.own.field(&machine.layout, var);
        if values.field(&machine.layout, var) & own == 0 {
            values.set_field(&machine.layout, var, own & own.wrapping_neg());
        }
    }
}

fn before(machine: &Machine, link: &SearchEdge, after: &Bits) -> Bits {
    let layout = &machine.layout;
    let mut values = pick(machine, &link.origin);
    for var in layout.ids().filter(|var| link.changed.binary_search(var).is_err()) {
        let (value, origin) = (after.field(layout, var), link.origin.field(layout, var));
        let settling =
            machine.settling.iter().find(|s| (s.var, s.to) == (var, value) && s.from & origin != 0);
        // It fell during the step, or only once the step was done: with the fallen value the step may break a rule.
        let unfallen = settling.filter(|s| value & origin == 0 || s.from & link.own.field(layout, var) != 0);
        if let Some(settling) = unfallen {
            values.set_field(layout, var, settling.from);
        } else if value & origin != 0 {
            values.set_field(layout, var, value);
        }
    }
    values
}

fn forwards(
    machine: &Machine,
    live: &LiveVars,
    start: Bits,
    path: &[(&SearchEdge, Bits)],
    bad: &Cube,
    violation: Violation,
) -> Result<Trace, ReplayError> {
    let layout = &machine.layout;
    let impossible = |at| ReplayError { at, what: "the way found is not open to these values" };
    let mut states = vec![machine.pinned(&machine.start(), &start).ok_or(impossible(0))?];
    let mut values = start.clone();
    let mut moves = Vec::with_capacity(path.len());
    for (at, (link, wish)) in path.iter().enumerate() {
        let place = states.first().ok_or(impossible(at))?.place;
        let mut best: Option<((usize, bool), Bits)> = None;
        for next in states.iter().flat_map(|state| machine.step(state, link.outcome)) {
            // Only the last move may break a rule.
            let parts = match violation {
                Violation::Rule(_) if at + 1 == path.len() => vec![next.state.clone()],
                Violation::Rule(_)
                | Violation::Need { .. }
                | Violation::Promise(_)
                | Violation::Unanswered(_)
                | Violation::Lapsed { .. }
                | Violation::Stuck(_) => {
                    permitted(machine, &next.state, &next.changed, None, &mut BTreeSet::new())
                }
            };
            for part in parts {
                let mut after = values.clone();
                let (mut agree, mut fits) = (0, true);
                for var in layout.ids() {
                    let field = part.bits.field(layout, var);
                    let (old, wished) = (values.field(layout, var), wish.field(layout, var));
                    let settling = machine.settling.iter().find(|s| s.var == var && s.from == old);
                    let written = next.changed.binary_search(&var).is_ok();
                    let falls = settling.filter(|s| s.to == wished || field & old == 0);
                    let value = match falls {
                        _ if written && field & wished != 0 => wished,
                        _ if written => field & field.wrapping_neg(),
                        Some(settling) => settling.to,
                        None => old,
                    };
                    fits &= value & field != 0;
                    let counts =
                        live.stays(part.place.node, var) || at + 1 == path.len() && bad.mentions(var);
                    agree += usize::from(value == wished && counts);
                    after.set_field(layout, var, value);
                }
                // The same values may come about without what the step wrote, which may be to blame for a broken rule.
                let agree = (agree, next.changed == link.changed);
                if fits && best.as_ref().is_none_or(|(most, _)| agree > *most) {
                    best = Some((agree, after));
                }
            }
        }
        let (_, after) = best.ok_or(impossible(at))?;
        states = machine
            .follow(&states, &values, link.outcome, &after)
            .into_iter()
            .map(|(state, _)| state)
            .collect();
        values = after;
        moves.push(Move { place, outcome: link.outcome, after: values.clone() });
    }
    let end = states.first().ok_or(impossible(path.len()))?.place;
    Ok(Trace { start, moves, end, violation })
}
