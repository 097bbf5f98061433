//! What is looked at before anything else: before step 1, where work is taken up again, where a look is too old, after a
//! deviation, before done. With every answer yes the record is the one that was proved; else the gate stays shut, and what
//! was seen decides how the machine is left.

use crate::event::{Because, Look};
use crate::gate::{Gate, GateLook, Next};
use crate::state::{Since, Walk};
use machine::{AbstractState, Conjunct, Effect, Restoring, VarId, VarOrigin};
use std::collections::BTreeSet;

impl Walk {
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
        let can_be_answered = |look: &&GateLook| {
            look.answer.is_none()
                && (look.because == Because::ByRecord || self.can_see(&self.state, look.due.var))
        };
        if let Some(at) = gate.looks.iter().position(|look| can_be_answered(&look)) {
            return Some(Next::Look(at));
        }
        let is_shut = |look: &GateLook| look.answer.is_some_and(|answer| answer != Look::Yes);
        if let Some(at) = gate.looks.iter().position(is_shut) {
            return Some(Next::Shut(at));
        }
        let unseen = gate.looks.iter().find(|look| !look.is_open()).map(|look| look.due.var);
        if let Some(var) = gate.lost.first().copied().or(unseen) {
            return Some(Next::Lost(var));
        }
        let &(var, millis) = gate.waits.iter().max_by_key(|(_, millis)| *millis)?;
        Some(if self.time_counts(var) { Next::Wait(var, millis) } else { Next::Lost(var) })
    }

    fn time_counts(&self, var: VarId) -> bool {
        let of = self.machine.settling.iter().find(|settling| settling.var == var);
        of.is_some_and(|settling| {
            let holds = settling.holds.as_ref();
            holds.is_none_or(|cube| cube.holds(&self.machine.layout, &self.state.bits))
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
        let Some(look) = self.gate.as_ref().and_then(|gate| Some((gate, gate.looks.get(at)?))) else {
            return Vec::new();
        };
        let (gate, look) = look;
        let believed = match look.because {
            Because::BeforeStart | Because::ByRecord if look.failed == 0 => return Vec::new(),
            _ if look.failed == 0 => &gate.goal,
            _ => &self.state,
        };
        let field = believed.bits.field(&self.machine.layout, look.due.var);
        if field & seen == 0 { self.values(Conjunct { set: field, ..look.due }) } else { Vec::new() }
    }

    /// A look of the gate was answered.
    pub(crate) fn gate_answered(&mut self, at: usize, answer: Look, found: Option<&str>, at_ms: i64) {
        let Some(due) = self.gate.as_ref().and_then(|gate| Some(gate.looks.get(at)?.due)) else { return };
        let seen = self.seen_set(due, answer, found);
        let Some(gate) = &mut self.gate else { return };
        let Some(look) = gate.looks.get_mut(at) else { return };
        look.answer = Some(answer);
        if answer != Look::Yes {
            look.failed += 1;
        }
        let by_record = look.because == Because::ByRecord;
        let effect = seen.map_or(Effect::Lose(due.var), |set| Effect::Look(Conjunct { set, ..due }));
        self.machine.apply(&mut self.state, effect);
        self.no_more_doubt(due.var);
        // A yes that the record says already tells nothing new.
        let is_new = |gate: &Gate| gate.seen.bits.field(&self.machine.layout, due.var) & !due.set != 0;
        if answer != Look::Yes || self.gate.as_ref().is_some_and(is_new) {
            self.begin_anew(due.var, effect);
        }
        if let Some(known) = self.known.get_mut(due.var.0 as usize) {
            known.since_ms = Some(at_ms);
            known.since = if by_record { Since::ByRecord } else { Since::Seen };
        }
    }

    /// What hangs on a condition that was not as recorded, or not as was seen here before: put right or not, what the rest relies
    /// on is established anew or is lost. What keeps is no exception: it keeps through an interruption, not through what ends it.
    pub(crate) fn begin_anew(&mut self, var: VarId, effect: Effect) {
        let Some(mut gate) = self.gate.take() else { return };
        let before = gate.seen.clocks.clone();
        let changed = self.machine.apply(&mut gate.seen, effect).changed;
        let wrote = self.machine.all_wrote(&gate.goal);
        for (at, settling) in self.machine.settling.iter().enumerate() {
            let is_hidden = self.machine.sight(settling.var).is_hidden;
            if gate.seen.clocks[at] < gate.goal.clocks[at] && settling.var != var {
                if is_hidden && self.machine.reliance().relies(gate.goal.place, settling.var, &wrote) {
                    gate.waits.push((settling.var, settling.after));
                } else if gate.seen.clocks[at] < before[at] {
                    self.unlooked.insert(settling.var);
                }
            }
        }
        // What a cover hides stands as recorded while that was shut all the time.
        let layout = &self.machine.layout;
        let is_uncovered = |of: &VarId| {
            let sight = self.machine.sight(*of);
            let when = &sight.when;
            !sight.keeps
                && when.mentions(var)
                && !when.meets(layout, &gate.goal.bits)
                && when.meets(layout, &gate.seen.bits)
        };
        let uncovered = layout.ids().filter(is_uncovered);
        let touched: BTreeSet<VarId> = changed.into_iter().chain(uncovered).filter(|of| *of != var).collect();
        // What nothing relies on stays as it was proved; a plan does not count on it.
        self.unlooked.extend(&touched);
        let relies = |of: &VarId| self.machine.reliance().relies(gate.goal.place, *of, &wrote);
        for of in touched.into_iter().filter(relies) {
            if gate.waits.iter().any(|(waited, _)| *waited == of) || gate.lost.contains(&of) {
                continue;
            }
            let set = gate.goal.bits.field(&self.machine.layout, of);
            let is_asked = gate.looks.iter().any(|look| look.due.var == of);
            if set == self.machine.layout.all(of) || is_asked {
                continue;
            }
            if self.can_see(&gate.goal, of) || self.can_see(&self.state, of) {
                gate.looks.push(GateLook::new(Conjunct { var: of, set }, Because::TakenUp));
            } else {
                gate.lost.push(of);
            }
        }
        gate.waits.sort_unstable();
        gate.waits.dedup();
        self.gate = Some(gate);
    }

    /// Opens the gate if nothing is asked there any more.
    pub(crate) fn open_gate(&mut self) {
        if self.gate.is_none() || self.gate_asks().is_some() || self.is_undone() {
            return;
        }
        let Some(gate) = self.gate.take() else { return };
        // Looks of one page count from the last of them, and not from the end of a wait.
        let since = |look: &GateLook| self.known.get(look.due.var.0 as usize)?.since_ms;
        let last_ms = gate.looks.iter().filter_map(since).max();
        for look in &gate.looks {
            if let Some(known) = self.known.get_mut(look.due.var.0 as usize) {
                known.since_ms = known.since_ms.and(last_ms);
            }
        }
        self.state = gate.goal;
        self.timer = None;
        if self.node_id() == machine::DONE {
            self.done_seen = true;
        }
        if !self.has_started {
            self.has_started = true;
            self.hands.begins(&self.person);
        }
    }

    /// Whether an answer does not hold any more by what was seen or put right since: where each look was yes at once all hold
    /// together, but a cause that was seen to have come ends what was said before it, and what it feeds. That is looked at
    /// again, once; where nobody can, or it does not hold even then, nobody can tell any more.
    fn is_undone(&mut self) -> bool {
        let Some(mut gate) = self.gate.take() else { return false };
        let was_shut = gate.looks.iter().any(|look| look.failed > 0 || look.is_restored);
        let layout = &self.machine.layout;
        let (mut is_undone, mut lost) = (false, Vec::new());
        for look in gate.looks.iter_mut().filter(|_| was_shut) {
            let var = look.due.var;
            let proved = gate.goal.bits.field(layout, var);
            if self.state.bits.field(layout, var) & !proved == 0 {
                continue;
            }
            is_undone = true;
            if look.is_repeated || !self.machine.sight(var).reaches(layout, &self.state.bits) {
                lost.push(var);
                continue;
            }
            (look.answer, look.is_repeated) = (None, true);
            if look.because == Because::ByRecord {
                look.because = Because::BeforeStart;
            }
        }
        gate.lost.extend(lost);
        self.gate = Some(gate);
        is_undone
    }

    /// Shuts the gate before step 1: of what is not yet seen nothing is believed.
    pub(crate) fn shut_before_start(&mut self) {
        let all = |due: &Conjunct| due.set == self.machine.layout.all(due.var);
        let looks = self.machine.asked.iter().filter(|asked| !all(&asked.conjunct)).map(|asked| {
            let because = if asked.by_record { Because::ByRecord } else { Because::BeforeStart };
            GateLook::new(asked.conjunct, because)
        });
        let looks = looks.collect();
        let goal = self.state.clone();
        self.state = self.forgotten(&goal, false);
        self.gate = Some(Gate::new(goal, looks));
        self.open_gate();
    }

    /// A record of which nothing is known but the variants and, where it is `kept`, what keeps.
    pub(crate) fn forgotten(&self, state: &AbstractState, kept: bool) -> AbstractState {
        let layout = &self.machine.layout;
        if kept {
            return self.lost(state, &self.not_kept());
        }
        let is_condition = |var: &VarId| layout.var(*var).origin == VarOrigin::Condition;
        let all: Vec<VarId> = layout.ids().filter(is_condition).collect();
        self.lost(state, &all)
    }

    /// The conditions that an interruption leaves nobody sure of.
    pub(crate) fn not_kept(&self) -> BTreeSet<VarId> {
        let layout = &self.machine.layout;
        let is_lost =
            |var: &VarId| layout.var(*var).origin == VarOrigin::Condition && !self.machine.sight(*var).keeps;
        layout.ids().filter(is_lost).collect()
    }

    /// The record once nothing is known of these any more.
    pub(crate) fn lost<'v>(
        &self,
        state: &AbstractState,
        vars: impl IntoIterator<Item = &'v VarId>,
    ) -> AbstractState {
        let mut state = state.clone();
        for var in vars {
            self.machine.apply(&mut state, Effect::Lose(*var));
        }
        state
    }

    /// Shuts the gate before done: what is promised or was written by an act, can be seen, and was not looked at since, or too long ago.
    pub(crate) fn shut_before_done(&mut self) {
        let is_owed = |promise: &machine::Promise| match promise.source {
            machine::PromiseSource::Leaves => true,
            machine::PromiseSource::Normal => self.machine.wrote(&self.state, promise.conjunct.var),
        };
        let since = |var: VarId| self.known.get(var.0 as usize).map_or(Since::Seen, |known| known.since);
        let lapsed = self.lapsed(self.last_ms);
        let is_due = |due: &Conjunct| {
            (since(due.var) != Since::Seen || lapsed.contains(&due.var) || self.half.contains(&due.var))
                && due.set != self.machine.layout.all(due.var)
                && !self.machine.is_evidence(due.var)
                && self.can_see(&self.state, due.var)
        };
        let owed = self.machine.promises.iter().filter(|promise| is_owed(promise));
        let mut dues: Vec<Conjunct> = owed.map(|promise| promise.conjunct).collect();
        let is_written = |var: &VarId| since(*var) == Since::Written || self.half.contains(var);
        for var in self.machine.layout.ids().filter(is_written) {
            if !dues.iter().any(|due| due.var == var) {
                dues.push(Conjunct { var, set: self.field(var) });
            }
        }
        let looks = dues.into_iter().filter(is_due);
        let looks = looks.map(|due| GateLook::new(due, Because::BeforeDone)).collect();
        self.gate = Some(Gate::new(self.state.clone(), looks));
        self.open_gate();
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
        let wrote = self.machine.all_wrote(&gate.goal);
        let is_touched = |var: VarId| {
            var != due.var
                && (gate.looks.iter().any(|look| look.due.var == var)
                    || gate.waits.iter().any(|(waited, _)| *waited == var)
                    || self.machine.reliance().relies(gate.goal.place, var, &wrote))
        };
        let known = self.lost(&self.state, &self.lapsed(now_ms));
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
                    && !self.machine.wrote(&gate.goal, var)
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
            let changed = self.machine.apply(&mut self.state, *effect).changed;
            self.note_written(&changed, at_ms);
            self.begin_anew(effect.var(), *effect);
        }
        if let Some(look) = self.gate.as_mut().and_then(|gate| gate.looks.get_mut(at)) {
            look.answer = None;
            look.is_restored = true;
        }
    }

    /// Somebody looked at it, waited for it or wrote it: what was doubted of it before is over.
    pub(crate) fn no_more_doubt(&mut self, var: VarId) {
        self.unlooked.remove(&var);
        self.half.remove(&var);
    }

    /// An act wrote these.
    pub(crate) fn note_written(&mut self, vars: &[VarId], at_ms: i64) {
        for var in vars {
            self.no_more_doubt(*var);
            if let Some(known) = self.known.get_mut(var.0 as usize) {
                known.since_ms = Some(at_ms);
                known.since = Since::Written;
            }
        }
    }
}
