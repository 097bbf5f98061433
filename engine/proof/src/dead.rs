//! What nothing reads any more, packed as records are.

use machine::{AbstractState, Bits, Machine, Marks, Place, STOP, VarId};

/// Plans are followed wherever a person is.
pub(crate) const NOWHERE: Place = Place::at(STOP);

/// What is projected away: at a node, or wherever plans are followed.
pub(crate) struct Dead {
    /// Every value of each variable that nothing reads.
    pub(crate) values: Bits,
    /// Every mark that nothing asks for.
    pub(crate) marks: Marks,
    /// For every settling condition, whether nothing reads it.
    pub(crate) clocks: Vec<bool>,
}

impl Dead {
    /// All but what is read: the value of a variable, whether of it only a look counts, whether it was opened, whether an act
    /// wrote it.
    pub(crate) fn new(
        machine: &Machine,
        is_live: impl Fn(VarId) -> bool,
        is_live_later: impl Fn(VarId) -> bool,
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
        for (at, settling) in machine.settling.iter().enumerate() {
            if !is_live_later(settling.var) {
                machine.set_look_only(&mut dead, at);
            }
        }
        Self { values: dead.bits, marks: dead.marks, clocks }
    }

    /// Takes it out of a state.
    pub(crate) fn project(&self, state: &mut AbstractState) {
        state.bits.union(&self.values);
        state.marks.take_out(&self.marks);
        let clocks = state.clocks.iter_mut().zip(&self.clocks);
        clocks.filter(|(_, is_dead)| **is_dead).for_each(|(clock, _)| *clock = 0);
    }
}
