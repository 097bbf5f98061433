//! What records of plans say nothing of, packed as records are.

use crate::dead::{Dead, NOWHERE};
use machine::{Machine, Marks, VarId};
use std::collections::BTreeSet;

/// Conditions that decide nothing.
pub(crate) struct LeftOut {
    /// Their values, clocks, and that they were opened.
    pub(crate) dead: Dead,
    /// Every mark that plans ask for: what was opened of the others, of what only a look counts, what was found broken.
    pub(crate) asked_for: Marks,
}

impl LeftOut {
    /// All but these, which decide whether there is a plan.
    pub(crate) fn new(machine: &Machine, vars: &BTreeSet<VarId>) -> Self {
        let unknown = machine.unknown(NOWHERE);
        let (mut others, mut asked_for) = (unknown.clone(), unknown);
        for &var in vars {
            others.bits.set_field(&machine.layout, var, 0);
        }
        for var in machine.layout.ids() {
            let marked = if vars.contains(&var) { &mut asked_for } else { &mut others };
            machine.set_opened(marked, var, true);
        }
        (0..machine.settling.len()).for_each(|at| machine.set_look_only(&mut asked_for, at));
        (0..machine.rules.len()).for_each(|rule| machine.set_found(&mut asked_for, rule, true));
        let clocks = machine.settling.iter().map(|settling| !vars.contains(&settling.var)).collect();
        let dead = Dead { values: others.bits, marks: others.marks, clocks };
        Self { dead, asked_for: asked_for.marks }
    }
}
