//! What a state holds beside values and clocks.

use crate::layout::VarId;
use crate::machine::Machine;
use crate::state::AbstractState;
use crate::vars::Vars;
use std::collections::BTreeSet;

impl Machine {
    /// Whether the variable was opened since it was last looked at or written.
    #[must_use]
    pub fn is_opened(&self, state: &AbstractState, var: VarId) -> bool {
        state.marks.has(var.0 as usize)
    }

    /// Puts a variable among those opened, or takes it out: what nothing looks at any more counts as not opened.
    pub fn set_opened(&self, state: &mut AbstractState, var: VarId, is_in: bool) {
        state.marks.put(var.0 as usize, is_in);
    }

    /// Whether an act of the run wrote the variable, so that it must be as usual at done.
    #[must_use]
    pub fn wrote(&self, state: &AbstractState, var: VarId) -> bool {
        state.marks.has(self.mark_sets.wrote(var))
    }

    /// All variables that an act of the run wrote and that must be as usual at done.
    #[must_use]
    pub fn all_wrote(&self, state: &AbstractState) -> BTreeSet<VarId> {
        self.layout.ids().filter(|&var| self.wrote(state, var)).collect()
    }

    /// Puts a variable among those that an act of the run wrote.
    pub fn set_wrote(&self, state: &mut AbstractState, var: VarId) {
        state.marks.put(self.mark_sets.wrote(var), true);
    }

    /// Takes the variable from those that an act wrote: where each way writes it again, nothing hangs on that.
    pub fn forget_wrote(&self, state: &mut AbstractState, var: VarId) {
        state.marks.put(self.mark_sets.wrote(var), false);
    }

    /// Whether of a settling condition (an index into the machine's) only a look counts.
    #[must_use]
    pub fn is_look_only(&self, state: &AbstractState, settling: usize) -> bool {
        state.marks.has(self.mark_sets.look_only(settling))
    }

    /// From now on only a look counts of a settling condition (an index into the machine's).
    pub fn set_look_only(&self, state: &mut AbstractState, settling: usize) {
        state.marks.put(self.mark_sets.look_only(settling), true);
    }

    /// Takes the settling condition from those of which only a look counts: where nothing reads it, nothing hangs on that.
    pub fn forget_look_only(&self, state: &mut AbstractState, settling: usize) {
        state.marks.put(self.mark_sets.look_only(settling), false);
    }

    /// Whether something was opened, contradicted by a look, or found broken.
    #[must_use]
    pub fn is_marked(&self, state: &AbstractState) -> bool {
        let opened = state.marks.members(0, self.mark_sets.wrote(VarId(0))).next();
        let last = self.mark_sets.found(self.rules.len());
        opened.or_else(|| state.marks.members(self.mark_sets.look_only(0), last).next()).is_some()
    }

    /// Whether a rule was found broken and not ended.
    #[must_use]
    pub fn is_found(&self, state: &AbstractState, rule: usize) -> bool {
        state.marks.has(self.mark_sets.found(rule))
    }

    /// The rules that were found broken and not ended.
    #[must_use]
    pub fn found(&self, state: &AbstractState) -> Vec<usize> {
        let first = self.mark_sets.found(0);
        state.marks.members(first, first + self.rules.len()).collect()
    }

    /// Puts a rule among those found broken, or takes it out.
    pub fn set_found(&self, state: &mut AbstractState, rule: usize, is_in: bool) {
        state.marks.put(self.mark_sets.found(rule), is_in);
    }

    /// Puts what another record says of some variables in the place of what this one says: values, clocks and marks, but for rules
    /// found broken.
    pub fn put_over(&self, state: &mut AbstractState, from: &AbstractState, vars: &Vars) {
        for var in self.layout.ids().filter(|&var| vars.has(var)) {
            let field = from.bits.field(&self.layout, var);
            state.bits.set_field(&self.layout, var, field);
            self.set_opened(state, var, self.is_opened(from, var));
            state.marks.put(self.mark_sets.wrote(var), self.wrote(from, var));
        }
        for (at, _) in self.settling.iter().enumerate().filter(|(_, one)| vars.has(one.var)) {
            state.clocks[at] = from.clocks[at];
            state.marks.put(self.mark_sets.look_only(at), self.is_look_only(from, at));
        }
    }
}
