//! The ways to leave a machine that may be in one of several states, as in the middle of an act.

use crate::plan::{Leaving, Planner};
use machine::{AbstractState, VarId};

impl Planner<'_> {
    /// The way from each of several states, ways that are the same once. Where a look at one condition tells which of them
    /// it is, that look comes first and there is one way: nobody is left to choose between doing something and nothing.
    #[must_use]
    pub fn ways(&mut self, states: &[AbstractState]) -> Vec<Leaving> {
        let mut ways: Vec<(Leaving, Vec<&AbstractState>)> = Vec::new();
        for state in states {
            let way = self.leave(state);
            match ways.iter_mut().find(|(known, _)| *known == way) {
                Some((_, from)) => from.push(state),
                None => ways.push((way, vec![state])),
            }
        }
        if ways.len() > 1 {
            let told = self.relevant().to_vec().into_iter().find_map(|var| self.told_by(var, &ways));
            if let Some((var, branches)) = told {
                return vec![Leaving::Look(var, branches)];
            }
        }
        ways.into_iter().map(|(way, _)| way).collect()
    }

    /// Whether a look at a condition tells the ways apart: each is for values that no other is for, and none may turn into
    /// another by itself.
    fn told_by(
        &self,
        var: VarId,
        ways: &[(Leaving, Vec<&AbstractState>)],
    ) -> Option<(VarId, Vec<(u64, Leaving)>)> {
        if self.machine().settling.iter().any(|settling| settling.var == var) {
            return None;
        }
        let layout = &self.machine().layout;
        let mut seen = 0;
        let mut branches = Vec::new();
        for (way, from) in ways {
            let values = from.iter().fold(0, |all, state| all | state.bits.field(layout, var));
            if values & seen != 0 {
                return None;
            }
            seen |= values;
            branches.push((values, way.clone()));
        }
        Some((var, branches))
    }
}
