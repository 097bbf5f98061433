//! What is looked at before anything else: before step 1, where work is taken up again, where a look is too old, after a
//! deviation, before done. With every answer yes the record is the one that was proved; else the gate stays shut, and what
//! was seen decides how the machine is left.

use crate::belief::{Belief, lost};
use crate::event::{Because, Look};
use crate::gate::{Gate, GateLook, Next};
use crate::state::{Since, Walk};
use machine::{AbstractState, Conjunct, Effect, Restoring, VarId, VarOrigin};
use std::collections::BTreeSet;

impl Walk {
    /// What is known of the machine for sure. In the middle of an act nobody knows how far its conditions have changed.
    pub(crate) fn surely(&self) -> AbstractState {
        let Some(gate) = self.gate.as_ref().filter(|_| self.may_be_in_act()) else {
            return self.belief.may_be(&self.machine, []);
        };
        let is_seen =
            |var: &VarId| gate.looks.iter().any(|look| look.due.var == *var && look.answer.is_some());
        let mut under_way = self.under_way();
        under_way.retain(|var| !is_seen(var));
        self.belief.may_be(&self.machine, &under_way)
    }

    /// Whether somebody who stands at the machine can look at the condition, as far as is known.
    pub(crate) fn can_see(&self, state: &AbstractState, var: VarId) -> bool {
        self.machine.sight(var).reaches(&self.machine.layout, &state.bits)
    }

    /// Whether something is looked at or waited for before anything else.
    #[must_use]
    pub fn is_gated(&self) -> bool {
        self.gate.is_some()
    }

    /// What the gate asks for now; none where there is no gate or it is open.
    pub(crate) fn gate_asks(&self) -> Option<Next> {
        let gate = self.gate.as_ref()?;
        let surely = self.surely();
        let can_be_answered = |look: &GateLook| {
            look.answer.is_none()
                && (look.because == Because::ByRecord || self.can_see(&surely, look.due.var))
        };
        if let Some(at) = gate.looks.iter().position(can_be_answered) {
            return Some(Next::Look(at));
        }
        if let Some(at) = gate.looks.iter().position(GateLook::is_no) {
            return Some(Next::Shut(at));
        }
        let is_open = |look: &GateLook| look.is_yes() && !self.is_off(look.due.var);
        let unseen = gate.looks.iter().find(|look| !is_open(look)).map(|look| look.due.var);
        if let Some(&var) = gate.given_up.first().or(gate.lost.first()).or(unseen.as_ref()) {
            return Some(Next::Lost(var));
        }
        let &(var, millis) = gate.waits.iter().max_by_key(|(_, millis)| *millis)?;
        Some(if self.time_counts(var, &surely) { Next::Wait(var, millis) } else { Next::Lost(var) })
    }

    fn time_counts(&self, var: VarId, known: &AbstractState) -> bool {
        let of = self.machine.settling.iter().find(|settling| settling.var == var);
        of.is_some_and(|settling| {
            let holds = settling.holds.as_ref();
            holds.is_none_or(|cube| cube.holds(&self.machine.layout, &known.bits))
        })
    }

    /// The look that is asked, or that a shut gate lets be done once more, if it is about that condition.
    pub(crate) fn gate_look(&self, condition: Option<VarId>) -> Option<usize> {
        let at = match self.gate_asks()? {
            Next::Look(at) | Next::Shut(at) => at,
            Next::Wait(..) | Next::Lost(_) => return None,
        };
        let look = self.gate.as_ref()?.looks.get(at)?;
        (condition.is_none_or(|var| var == look.due.var) && look.failed < 2).then_some(at)
    }

    /// What is told of an answer that the record ruled out: the values it had by the record.
    pub(crate) fn ruled_out(&self, at: usize, seen: u64) -> Vec<String> {
        let Some(look) = self.gate.as_ref().and_then(|gate| gate.looks.get(at)) else { return Vec::new() };
        let believed = match look.because {
            Because::BeforeStart | Because::ByRecord if look.failed == 0 => return Vec::new(),
            // Half done it may be neither as before nor as after: nothing is contradicted.
            _ if self.may_be_in_act() && self.under_way().contains(&look.due.var) => return Vec::new(),
            _ if look.failed == 0 => &self.state,
            _ => &self.surely(),
        };
        let field = believed.bits.field(&self.machine.layout, look.due.var);
        if field & seen == 0 { self.values(Conjunct { set: field, ..look.due }) } else { Vec::new() }
    }

    /// A look of the gate was answered.
    pub(crate) fn gate_answered(&mut self, at: usize, answer: Look, found: Option<&str>, at_ms: i64) {
        let Some(due) = self.gate.as_ref().and_then(|gate| Some(gate.looks.get(at)?.due)) else { return };
        let seen = self.seen_set(due, answer, found);
        let effect = seen.map_or(Effect::Lose(due.var), |set| Effect::Look(Conjunct { set, ..due }));
        // Whoever looks once more may have begun what was offered.
        let offered = self.offered();
        self.belief.doubt(offered.into_iter().filter(|var| *var != due.var));
        let Some(gate) = &mut self.gate else { return };
        let Some(look) = gate.looks.get_mut(at) else { return };
        look.answer = Some(answer);
        if answer != Look::Yes {
            look.failed += 1;
        }
        let by_record = look.because == Because::ByRecord;
        self.learned_in_gate(effect);
        if let Some(known) = self.known.get_mut(due.var.0 as usize) {
            known.since_ms = Some(at_ms);
            known.since = if by_record { Since::ByRecord } else { Since::Seen };
        }
    }

    /// Shuts the gate before step 1: of what is not yet seen nothing is believed.
    pub(crate) fn shut_before_start(&mut self) {
        let all = |due: &Conjunct| due.set == self.machine.layout.all(due.var);
        let looks = self.machine.asked.iter().filter(|asked| !all(&asked.conjunct)).map(|asked| {
            let because = if asked.by_record { Because::ByRecord } else { Because::BeforeStart };
            GateLook::new(asked.conjunct, because)
        });
        let looks = looks.collect();
        self.belief = self.nothing_known();
        self.gate = Some(Gate::new(looks));
    }

    /// Of what is known nothing but the variants.
    pub(crate) fn nothing_known(&self) -> Belief {
        let layout = &self.machine.layout;
        let is_condition = |var: &VarId| layout.var(*var).origin == VarOrigin::Condition;
        let all: Vec<VarId> = layout.ids().filter(is_condition).collect();
        Belief::new(lost(&self.machine, &self.state, &all))
    }

    /// The conditions that an interruption leaves nobody sure of.
    pub(crate) fn not_kept(&self) -> BTreeSet<VarId> {
        let layout = &self.machine.layout;
        let is_lost =
            |var: &VarId| layout.var(*var).origin == VarOrigin::Condition && !self.machine.sight(*var).keeps;
        layout.ids().filter(is_lost).collect()
    }

    /// Shuts the gate before done: what is promised or was written by an act, can be seen, and was not looked at since, or too long ago.
    pub(crate) fn shut_before_done(&mut self) {
        let since = |var: VarId| self.known.get(var.0 as usize).map_or(Since::Seen, |known| known.since);
        let lapsed = self.lapsed(self.last_ms);
        let is_due = |due: &Conjunct| {
            (since(due.var) != Since::Seen || lapsed.contains(&due.var) || self.is_off(due.var))
                && due.set != self.machine.layout.all(due.var)
                // What is surely not as promised no look makes so.
                && due.set & self.field(due.var) != 0
                && !self.machine.is_evidence(due.var)
                && self.can_see(&self.state, due.var)
        };
        let mut dues: Vec<Conjunct> = self.owed_at_done().collect();
        let outcomes = self.machine.nodes.iter().flat_map(|node| &node.outcomes);
        let acts: BTreeSet<VarId> = outcomes
            .flat_map(|outcome| &outcome.effects)
            .filter(|effect| effect.is_act())
            .map(|effect| effect.var())
            .collect();
        // An act that somebody went back from may have written what is in doubt.
        let is_written =
            |var: &VarId| since(*var) == Since::Written || acts.contains(var) && self.is_off(*var);
        for var in self.machine.layout.ids().filter(is_written) {
            if !dues.iter().any(|due| due.var == var) {
                dues.push(Conjunct { var, set: self.field(var) });
            }
        }
        let dues: Vec<Conjunct> = dues.into_iter().filter(is_due).collect();
        // Whether they can still be seen is looked at first.
        let covers = dues.iter().flat_map(|due| &self.machine.sight(due.var).when.0);
        let mut first: Vec<Conjunct> = covers
            .filter(|part| lapsed.contains(&part.var) && self.can_see(&self.state, part.var))
            .filter(|part| !dues.iter().any(|due| due.var == part.var))
            .map(|part| Conjunct { set: self.field(part.var), ..*part })
            .collect();
        first.sort_unstable_by_key(|part| part.var);
        first.dedup();
        let first = first.into_iter().map(|due| GateLook::new(due, Because::Lapsed));
        let looks = dues.into_iter().map(|due| GateLook::new(due, Because::BeforeDone));
        self.gate = Some(Gate::new(first.chain(looks).collect()));
    }

    /// What is promised of this run: what the procedure leaves, and what is usual of what an act wrote.
    pub(crate) fn owed_at_done(&self) -> impl Iterator<Item = Conjunct> + '_ {
        let is_owed = |promise: &&machine::Promise| match promise.source {
            machine::PromiseSource::Leaves => true,
            machine::PromiseSource::Normal => self.machine.wrote(&self.state, promise.conjunct.var),
        };
        self.machine.promises.iter().filter(is_owed).map(|promise| promise.conjunct)
    }

    /// The restoring actions that a shut gate offers for one of its looks: what each needs is surely so, it makes what is
    /// asked for, breaks no rule, touches nothing else that the gate asks for or the rest relies on, and leaves nothing
    /// otherwise than is usual that was untouched: the rest of the procedure does not know that it has to put that back. What was
    /// looked at too long ago by now does not count, and what somebody else verifies is not done in passing.
    pub(crate) fn offers(&self, at: usize, now_ms: i64) -> Vec<&Restoring> {
        let Some(gate) = &self.gate else { return Vec::new() };
        let Some(look) = gate.looks.get(at).filter(|look| !look.is_restored && look.failed < 2) else {
            return Vec::new();
        };
        let due = look.due;
        let relied_on = self.relied_on();
        let is_touched = |var: VarId| {
            var != due.var
                && (gate.looks.iter().any(|look| look.due.var == var)
                    || gate.waits.iter().any(|(waited, _)| *waited == var)
                    || relied_on.contains(&var))
        };
        let known = lost(&self.machine, &self.surely(), &self.lapsed(now_ms));
        let makes_it_so = |action: &Restoring| {
            let mut state = known.clone();
            let steps_well = action.effects.iter().all(|effect| {
                let before = state.bits.clone();
                let changed = self.machine.apply(&mut state, *effect).changed;
                self.machine.broken(&state, &changed).is_empty()
                    && self.machine.unreleased(&before, &state.bits, &changed).is_none()
                    && !changed.into_iter().any(is_touched)
            });
            let owes = |promise: &machine::Promise| {
                let var = promise.conjunct.var;
                promise.source == machine::PromiseSource::Normal
                    && self.machine.wrote(&state, var)
                    && !self.machine.wrote(&self.state, var)
                    && state.bits.field(&self.machine.layout, var) & !promise.conjunct.set != 0
            };
            steps_well
                && state.bits.field(&self.machine.layout, due.var) & !due.set == 0
                && !self.machine.promises.iter().any(owes)
        };
        let fits = |action: &&Restoring| {
            action.needs.holds(&self.machine.layout, &known.bits)
                && !self.is_verified(&action.name)
                && action.effects.iter().any(|effect| effect.var() == due.var)
                && makes_it_so(action)
        };
        self.machine.restoring.iter().filter(fits).collect()
    }

    /// What the acts that a shut gate offers change: somebody may be in the middle of one.
    pub(crate) fn offered(&self) -> BTreeSet<VarId> {
        let Some(Next::Shut(at)) = self.gate_asks() else { return BTreeSet::new() };
        let offers = self.offers(at, self.last_ms);
        offers.iter().flat_map(|offer| &offer.effects).map(|effect| effect.var()).collect()
    }

    /// Whether the shut gate offers an action still.
    pub(crate) fn is_offered(&self, action: &str, now_ms: i64) -> bool {
        let Some(Next::Shut(at)) = self.gate_asks() else { return false };
        self.offers(at, now_ms).iter().any(|offer| *offer.name == *action)
    }

    fn is_verified(&self, action: &str) -> bool {
        self.equipment().is_some_and(|equipment| equipment.role_verifying(action).is_some())
    }

    /// An action was done at the shut gate: the same look follows.
    pub(crate) fn restored(&mut self, action: &str, at_ms: i64) {
        let Some(Next::Shut(at)) = self.gate_asks() else { return };
        // What was offered when it was said stands.
        let found = self.machine.restoring.iter().find(|one| *one.name == *action).cloned();
        let Some(action) = found else { return };
        for effect in &action.effects {
            let changed = self.learned_in_gate(*effect);
            self.note_written(&changed, at_ms);
        }
        if let Some(look) = self.gate.as_mut().and_then(|gate| gate.looks.get_mut(at)) {
            look.answer = None;
            look.is_restored = true;
        }
    }

    /// An act wrote these.
    pub(crate) fn note_written(&mut self, vars: &[VarId], at_ms: i64) {
        for var in vars {
            if let Some(known) = self.known.get_mut(var.0 as usize) {
                known.since_ms = Some(at_ms);
                known.since = Since::Written;
            }
        }
    }
}
