//! From boxes back to values: a run that a person can act out.

use machine::{Bits, Cube, Machine, Move, ReplayError, State, Trace, VarId, Violation};

/// A box explored by the search, with every way it was reached.
pub(crate) struct Knot {
    pub(crate) state: State,
    pub(crate) from: Vec<Link>,
}

/// One way a box was reached.
pub(crate) struct Link {
    /// The knot before.
    pub(crate) parent: usize,
    /// The outcome taken there.
    pub(crate) outcome: usize,
    /// The part of the knot before that leads here.
    pub(crate) origin: Bits,
    /// What that part became.
    pub(crate) own: Bits,
    /// What the step wrote.
    pub(crate) changed: Vec<VarId>,
}

/// A run that ends in `end` with values inside `bad`, replayed.
///
/// Backwards: a value that a step did not write is the same before it; a written one may have been anything that leads
/// there. Where a widened box no longer says what a value was, any will do: it decides nothing from there on. Forwards
/// again, each value is then what the steps make it.
pub(crate) fn trace(
    machine: &Machine,
    knots: &[Knot],
    end: &Knot,
    bad: &Cube,
    violation: Violation,
) -> Result<Trace, ReplayError> {
    let layout = &machine.layout;
    let inside = bad.inside(layout, &end.state.bits);
    let mut values = pick(machine, &inside.ok_or(ReplayError { at: 0, what: "nothing is wrong there" })?);
    let mut path: Vec<(&Link, Bits)> = Vec::new();
    let mut knot = end;
    while !knot.from.is_empty() {
        let link = knot
            .from
            .iter()
            .find(|link| values.is_subset(&link.own))
            .or_else(|| knot.from.iter().max_by_key(|link| agreement(machine, &values, &link.own)))
            .ok_or(ReplayError { at: 0, what: "no way leads there" })?;
        let before = before(machine, link, &values);
        path.push((link, std::mem::replace(&mut values, before)));
        knot = &knots[link.parent];
    }
    path.reverse();
    let trace = forwards(machine, values, &path, violation)?;
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

fn agreement(machine: &Machine, values: &Bits, own: &Bits) -> usize {
    let layout = &machine.layout;
    layout.ids().filter(|&var| values.field(layout, var) & own.field(layout, var) != 0).count()
}

fn before(machine: &Machine, link: &Link, after: &Bits) -> Bits {
    let layout = &machine.layout;
    let mut values = pick(machine, &link.origin);
    for var in layout.ids().filter(|var| link.changed.binary_search(var).is_err()) {
        let value = after.field(layout, var);
        if value & link.origin.field(layout, var) != 0 {
            values.set_field(layout, var, value);
        } else if let Some(settling) = machine.settling.iter().find(|settling| settling.var == var) {
            // It fell during the step.
            if settling.from & link.origin.field(layout, var) != 0 {
                values.set_field(layout, var, settling.from);
            }
        }
    }
    values
}

fn forwards(
    machine: &Machine,
    start: Bits,
    path: &[(&Link, Bits)],
    violation: Violation,
) -> Result<Trace, ReplayError> {
    let layout = &machine.layout;
    let mut state = machine.start();
    let mut values = start.clone();
    pin(machine, &mut state, &values);
    let mut moves = Vec::with_capacity(path.len());
    for (at, (link, wish)) in path.iter().enumerate() {
        let place = state.place;
        let mut best: Option<(usize, State, Bits)> = None;
        for next in machine.step(&state, link.outcome) {
            let mut after = values.clone();
            let mut agree = 0;
            for var in layout.ids() {
                let field = next.state.bits.field(layout, var);
                let (old, wished) = (values.field(layout, var), wish.field(layout, var));
                let falls = machine.settling.iter().any(|s| s.var == var && old == s.from && wished == s.to);
                let written = next.changed.binary_search(&var).is_ok();
                let value = if (written || falls || field & old == 0) && field & wished != 0 {
                    wished
                } else if !written && field & old != 0 {
                    old
                } else {
                    field & field.wrapping_neg()
                };
                agree += usize::from(value == wished);
                after.set_field(layout, var, value);
            }
            if best.as_ref().is_none_or(|(most, _, _)| agree > *most) {
                best = Some((agree, next.state, after));
            }
        }
        let Some((_, next, after)) = best else {
            return Err(ReplayError { at, what: "the way found is not open to these values" });
        };
        state = next;
        values = after;
        pin(machine, &mut state, &values);
        moves.push(Move { place, outcome: link.outcome, after: values.clone() });
    }
    Ok(Trace { start, moves, end: state.place, violation })
}

/// Keeps only these values, and of what settles whatever it may still become by itself.
fn pin(machine: &Machine, state: &mut State, values: &Bits) {
    for var in machine.layout.ids().filter(|var| machine.settling.iter().all(|settling| settling.var != *var))
    {
        state.bits.set_field(&machine.layout, var, values.field(&machine.layout, var));
    }
}
