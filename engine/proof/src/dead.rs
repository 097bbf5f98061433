//! What nothing reads any more at a node, packed as records are.

use crate::left_out::NOWHERE;
use machine::{AbstractState, Bits, Machine, Marks, VarId};

/// What is projected away at a node.
pub(crate) struct Dead {
    /// Every value of each variable that nothing reads.
    values: Bits,
    /// Every mark that nothing asks for.
    marks: Marks,
    /// For every settling condition, whether nothing reads it.
    clocks: Vec<bool>,
}

impl Dead {
    /// All but what is read: the value of a variable, whether it was opened, whether an act wrote it.
    pub(crate) fn new(
        machine: &Machine,
        is_live: impl Fn(VarId) -> bool,
        is_opened: impl Fn(VarId) -> bool,
        is_wrote: impl Fn(VarId) -> bool,
    ) -> Self {
        let layout = &machine.layout;
        let mut dead = machine.unknown(NOWHERE);
        for var in layout.ids() {
            dead.bits.set_field(layout, var, if is_live(var) { 0 } else { layout.all(var) });
            machine.set_opened(&mut dead, var, !is_opened(var));
            if !is_wrote(var) {
                machine.set_wrote(&mut dead, var);
            }
        }
        let clocks: Vec<bool> = machine.settling.iter().map(|settling| !is_live(settling.var)).collect();
        for (at, _) in clocks.iter().enumerate().filter(|(_, is_dead)| **is_dead) {
            machine.set_look_only(&mut dead, at);
        }
        Self { values: dead.bits, marks: dead.marks, clocks }
    }

    /// Takes it out of a state at the node.
    pub(crate) fn project(&self, state: &mut AbstractState) {
        state.bits.union(&self.values);
        state.marks.take_out(&self.marks);
        let clocks = state.clocks.iter_mut().zip(&self.clocks);
        clocks.filter(|(_, is_dead)| **is_dead).for_each(|(clock, _)| *clock = 0);
    }
}
