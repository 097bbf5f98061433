//! What is owed before a walk goes on: what is believed has to lie inside the record that was proved, in all that the rest relies on.

use crate::belief::Belief;
use crate::event::Because;
use crate::gate::{Gate, GateLook};
use crate::state::Walk;
use machine::{Conjunct, Effect, TakingUp, VarId, VarOrigin};
use std::collections::BTreeSet;

impl Walk {
    /// What is looked at, what is waited for, and what nobody can tell any more, before what is believed lies inside the proved
    /// record.
    fn owed(&self) -> TakingUp {
        let mut owed = self.machine.doubting(&self.state, self.belief.doubted());
        for var in self.relied_on() {
            self.owe(var, &mut owed);
        }
        let layout = &self.machine.layout;
        owed.looked_at.retain(|var| self.field(*var) != layout.all(*var));
        let under = owed.waited.iter().flat_map(|(var, _)| self.machine.rests_on(*var));
        let under: Vec<VarId> = under.filter(|var| self.is_off(*var) && self.sees(*var)).collect();
        owed.looked_at.extend(under);
        owed
    }

    /// What was seen or done otherwise than it was proved, and clocks that began anew.
    fn owe(&self, var: VarId, owed: &mut TakingUp) {
        let is_hidden = self.machine.sight(var).is_hidden;
        let is_otherwise = self.is_otherwise(var);
        let mut is_waited = owed.waited.iter().any(|(of, _)| *of == var);
        let mut settling = self.machine.settling.iter().enumerate();
        if let Some((at, settling)) = settling.find(|(_, settling)| settling.var == var) {
            // Waiting brings what gives way, and nothing else.
            let told = self.belief.told().bits.field(&self.machine.layout, var);
            if is_hidden && told & !settling.from & !self.field(var) != 0 {
                owed.waited.retain(|(of, _)| *of != var);
                owed.lost.insert(var);
                return;
            }
            let (proved, told) = (self.state.clocks[at], self.belief.told().clocks[at]);
            let is_half_run = proved > 0 && proved < settling.after && self.belief.doubted().contains(&var);
            let is_short = told < proved || is_half_run || is_hidden && is_otherwise;
            if is_short && !is_waited && (is_hidden || !is_otherwise) {
                owed.waited.push((var, settling.after));
                is_waited = true;
            }
        }
        if !is_otherwise || is_waited {
            return;
        }
        if self.sees(var) {
            owed.looked_at.insert(var);
        } else {
            owed.lost.insert(var);
        }
    }

    /// Whether somebody can look at it by what was proved, or by what is known.
    fn sees(&self, var: VarId) -> bool {
        self.can_see(&self.state, var) || self.can_see(&self.surely(), var)
    }

    /// Whether it may have values that the proved record rules out, doubt apart.
    fn is_otherwise(&self, var: VarId) -> bool {
        self.belief.told().bits.field(&self.machine.layout, var) & !self.field(var) != 0
    }

    /// Whether it is in doubt, or otherwise than it was proved.
    pub(crate) fn is_off(&self, var: VarId) -> bool {
        self.belief.doubted().contains(&var) || self.is_otherwise(var)
    }

    /// Shuts the gate for what is owed. Whether it is shut; where nothing is owed, what the rest relies on is vouched for.
    pub(crate) fn shut_for_what_is_owed(&mut self) -> bool {
        if self.belief.doubted().is_empty() && *self.belief.told() == self.state {
            return false;
        }
        let owed = self.owed();
        if owed.looked_at.is_empty() && owed.waited.is_empty() && owed.lost.is_empty() {
            self.vouch();
            return false;
        }
        // What a timer waited for here may have come again.
        self.timer = None;
        self.gate = Some(Gate::new(Vec::new()));
        self.ask_for(owed);
        true
    }

    /// What the gate asks for, by what is known now.
    pub(crate) fn ask_on(&mut self) {
        if self.gate.is_some() {
            let owed = self.owed();
            self.ask_for(owed);
        }
    }

    fn ask_for(&mut self, owed: TakingUp) {
        let Some(mut gate) = self.gate.take() else { return };
        let is_asked = |gate: &Gate, var: VarId| gate.looks.iter().any(|look| look.due.var == var);
        for var in owed.looked_at {
            if !is_asked(&gate, var) {
                let due = Conjunct { var, set: self.field(var) };
                gate.looks.push(GateLook::new(due, Because::TakenUp));
            }
        }
        gate.waits = owed.waited;
        gate.lost = owed.lost.into_iter().filter(|var| !is_asked(&gate, *var)).collect();
        self.gate = Some(gate);
    }

    /// Where each look before step 1 was yes at once all hold together, in whatever order they were asked; but not what the first act may
    /// have changed, from which somebody went back.
    fn begin_as_asked(&mut self) {
        let is_yes_at_once = |look: &GateLook| look.is_yes() && look.failed == 0 && !look.is_restored;
        let is_as_asked = self.gate.as_ref().is_some_and(|gate| gate.looks.iter().all(is_yes_at_once));
        if !self.has_started && is_as_asked && self.belief.doubted().is_empty() {
            self.belief = Belief::new(self.state.clone());
        }
    }

    /// Where each look was yes at once all hold together, but what was seen or put right since may have ended what was said before
    /// it. That is looked at once more; where nobody can, or it does not hold even then, nobody can tell any more.
    fn ask_once_more(&mut self) {
        let Some(mut gate) = self.gate.take() else { return };
        if gate.looks.iter().all(GateLook::is_yes) {
            for look in gate.looks.iter_mut().filter(|look| self.is_off(look.due.var)) {
                if look.is_repeated || !self.can_see(&self.surely(), look.due.var) {
                    gate.given_up.insert(look.due.var);
                    continue;
                }
                (look.answer, look.is_repeated) = (None, true);
                if look.because == Because::ByRecord {
                    look.because = Because::BeforeStart;
                }
            }
        }
        self.gate = Some(gate);
    }

    /// All that the rest relies on is vouched for: what is in doubt beside that stays so.
    fn vouch(&mut self) {
        let relied_on = self.relied_on();
        self.belief.vouch(&relied_on);
    }

    /// The conditions that the rest of the procedure relies on.
    pub(crate) fn relied_on(&self) -> BTreeSet<VarId> {
        let (layout, wrote) = (&self.machine.layout, self.machine.all_wrote(&self.state));
        let conditions = layout.ids().filter(|&var| layout.var(var).origin == VarOrigin::Condition);
        conditions.filter(|&var| self.machine.reliance().relies(self.state.place, var, &wrote)).collect()
    }

    /// Opens the gate if nothing is asked there any more.
    pub(crate) fn open_gate(&mut self) {
        self.begin_as_asked();
        self.ask_on();
        self.ask_once_more();
        if self.gate.is_none() || self.gate_asks().is_some() {
            return;
        }
        self.vouch();
        let Some(gate) = self.gate.take() else { return };
        // Looks of one page count from the last of them, and not from the end of a wait.
        let since = |look: &GateLook| self.known.get(look.due.var.0 as usize)?.since_ms;
        let last_ms = gate.looks.iter().filter_map(since).max();
        for look in &gate.looks {
            if let Some(known) = self.known.get_mut(look.due.var.0 as usize) {
                known.since_ms = known.since_ms.and(last_ms);
            }
        }
        self.timer = None;
        if self.node_id() == machine::DONE {
            self.done_seen = true;
        }
        if !self.has_started {
            self.has_started = true;
            self.hands.begins(&self.person);
        }
    }

    /// Something was seen, or put right, in a gate. What a cover hides stands as recorded while that was shut all the time.
    pub(crate) fn learned_in_gate(&mut self, effect: Effect) -> Vec<VarId> {
        let var = effect.var();
        let before = self.belief.told().bits.clone();
        let changed = self.belief.apply(&self.machine, effect);
        let layout = &self.machine.layout;
        let is_uncovered = |of: &VarId| {
            let sight = self.machine.sight(*of);
            !sight.keeps
                && *of != var
                && sight.when.mentions(var)
                && !sight.when.meets(layout, &before)
                && sight.when.meets(layout, &self.belief.told().bits)
        };
        let uncovered: BTreeSet<VarId> = layout.ids().filter(is_uncovered).collect();
        for of in uncovered {
            self.belief.apply(&self.machine, Effect::Lose(of));
        }
        changed
    }
}
