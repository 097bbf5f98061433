//! Moves through the machine. Only its step function moves a walk.

use crate::event::Look;
use crate::state::{Running, Since, Walk};
use machine::{AbstractState, Choice, Conjunct, Cube, Effect, LookKind, Next, NodeKind, VarId};
use std::collections::{BTreeMap, BTreeSet};

impl Walk {
    /// What a choice leads to; `None` if the node has no such way or several states come of it.
    pub(crate) fn after(&self, choice: Choice) -> Option<Next> {
        self.after_from(&self.state, choice)
    }

    pub(crate) fn after_from(&self, state: &AbstractState, choice: Choice) -> Option<Next> {
        let outcomes = &self.machine.node(state.place.node).outcomes;
        let at = self.machine.open(state.place).find(|&at| outcomes[at].choice == choice)?;
        let mut steps = self.machine.step(state, at).into_iter();
        let next = steps.next()?;
        steps.next().is_none().then_some(next)
    }

    /// Takes the outcome with that choice. A choice that leads nowhere is refused before it is recorded; if a record says so
    /// all the same, the walk stays where it is.
    pub(crate) fn choose(&mut self, choice: Choice, at_ms: i64) {
        let Some(next) = self.after(choice) else { return };
        let node = self.machine.node(self.state.place.node);
        let from = node.path.clone();
        let Some(outcome) =
            self.machine.open(self.state.place).find(|&at| node.outcomes[at].choice == choice)
        else {
            return;
        };
        let effects = node.outcomes[outcome].effects.clone();
        let is_tick = matches!(node.kind, NodeKind::Tick(_));
        let is_act = matches!(node.kind, NodeKind::Act | NodeKind::InAct { .. });
        if effects.iter().any(|effect| effect.is_act()) {
            self.note_written(&next.changed, at_ms);
            if !is_act {
                // What an answer brought about beside what it says does not go back with it.
                self.given.clear();
            }
        }
        for effect in effects {
            self.note_seen(effect, is_tick, at_ms);
        }
        self.belief.step(&self.machine, outcome, &next.state);
        self.state = next.state;
        let to = self.node().path.clone();
        self.hands.came(&from, &to, &self.person);
        let waits_on = matches!(
            &self.node().kind,
            NodeKind::Tick(tick) if tick.look == LookKind::Until && tick.number > 1
        );
        if !waits_on {
            self.timer = None;
        }
        if !matches!(&self.node().kind, NodeKind::Tick(tick) if tick.number > 1) {
            self.page.clear();
        }
        self.ticks = 0;
        self.in_act = false;
    }

    /// Somebody looked at a condition, as part of a page.
    fn note_seen(&mut self, effect: Effect, is_tick: bool, at_ms: i64) {
        match effect {
            Effect::Write(_) | Effect::Open(_) => {}
            Effect::Look(_) | Effect::Find(_) | Effect::Lose(_) | Effect::Verify(_) => {
                if is_tick {
                    self.page.push(effect.var());
                    // Ticks of one page count from its last.
                    for var in &self.page {
                        if let Some(known) = self.known.get_mut(var.0 as usize) {
                            known.since_ms = Some(at_ms);
                        }
                    }
                }
                if let Some(known) = self.known.get_mut(effect.var().0 as usize) {
                    known.since_ms = Some(at_ms);
                    known.since = Since::Seen;
                }
            }
        }
    }

    /// The act is done: all that it writes, one after the other.
    pub(crate) fn act_done(&mut self, at_ms: i64) {
        self.choose(Choice::Done, at_ms);
        while matches!(self.node().kind, NodeKind::InAct { .. }) {
            let before = self.state.place;
            self.choose(Choice::Done, at_ms);
            if self.state.place == before {
                return;
            }
        }
    }

    /// The records in and after the act at the place of a record.
    pub(crate) fn stages_of_act(&self, at: &AbstractState) -> Vec<AbstractState> {
        self.steps_of_act(at).into_iter().map(|next| next.state).collect()
    }

    /// The steps of the act at the place of a record, each with what it may break.
    pub(crate) fn steps_of_act(&self, at: &AbstractState) -> Vec<Next> {
        let mut steps: Vec<Next> = Vec::new();
        let mut state = at.clone();
        while let Some(next) = self.after_from(&state, Choice::Done) {
            state = next.state.clone();
            steps.push(next);
            if !matches!(self.machine.node(state.place.node).kind, NodeKind::InAct { .. }) {
                break;
            }
        }
        steps
    }

    /// Whether a person may be in the middle of the act here.
    pub(crate) fn may_be_in_act(&self) -> bool {
        self.node().kind == NodeKind::Act && (self.gate.is_none() || self.in_act || self.ticks > 0)
    }

    /// What the act here writes or disturbs, and what that ends; nothing where none is.
    pub(crate) fn under_way(&self) -> Vec<VarId> {
        if self.node().kind != NodeKind::Act {
            return Vec::new();
        }
        // Where it may break a rule it is not followed further, and goes on all the same.
        let mut vars = self.machine.written_by_act(self.node_id());
        vars.extend(self.steps_of_act(&self.state).into_iter().flat_map(|next| next.changed));
        vars.into_iter().collect()
    }

    /// What somebody may have changed who is at work here and has not said so: the act here, or what the shut gate offers; with what
    /// hangs on that and does not keep.
    pub(crate) fn in_hand(&self) -> BTreeSet<VarId> {
        let act = if self.may_be_in_act() { self.under_way() } else { Vec::new() };
        let changed: BTreeSet<VarId> = act.into_iter().chain(self.offered()).collect();
        let mut not_kept = self.not_kept();
        let clocks = self.machine.settling.iter().zip(&self.belief.told().clocks);
        let half_run = clocks.filter(|(settling, clock)| **clock > 0 && **clock < settling.after);
        not_kept.extend(half_run.map(|(settling, _)| settling.var));
        let hangs =
            self.machine.layout.ids().filter(|var| not_kept.contains(var) && self.hangs_on(*var, &changed));
        let hanging: Vec<VarId> = hangs.collect();
        changed.into_iter().chain(hanging).collect()
    }

    /// What an act in hand makes or ends itself and no cause vouches for, with the values that it may have by then: evidence, and
    /// what nobody sees.
    pub(crate) fn made_in_hand(&self) -> BTreeMap<VarId, u64> {
        if !self.may_be_in_act() {
            return BTreeMap::new();
        }
        let stages = self.stages_of_act(self.belief.told());
        let is_whole = stages
            .last()
            .is_some_and(|last| !matches!(self.machine.node(last.place.node).kind, NodeKind::InAct { .. }));
        let layout = &self.machine.layout;
        let may_be = |var: VarId| {
            let fields = stages.iter().map(|stage| stage.bits.field(layout, var));
            if is_whole { fields.fold(0, |all, field| all | field) } else { layout.all(var) }
        };
        let is_untold = |var: &VarId| {
            self.machine.is_evidence(*var)
                || self.machine.sight(*var).is_hidden
                || !self.can_see(&self.state, *var)
        };
        let written = self.machine.written_by_act(self.node_id()).into_iter().filter(is_untold);
        written.map(|var| (var, may_be(var))).collect()
    }

    /// An act may have made or ended this itself: that what would end it has not come about says nothing of that, and no wait
    /// brings back what does not give way.
    pub(crate) fn unmake(&mut self, made: &BTreeMap<VarId, u64>) {
        let relied_on = self.relied_on();
        for (&var, &field) in made.iter().filter(|(var, _)| relied_on.contains(var)) {
            if self.machine.is_evidence(var) {
                self.belief.apply(&self.machine, Effect::Lose(var));
            } else {
                self.belief.widen(&self.machine, var, field);
            }
        }
    }

    /// Whether seeing the condition, its time or the evidence hangs on one of these.
    pub(crate) fn hangs_on(&self, var: VarId, vars: &BTreeSet<VarId>) -> bool {
        let names = |cube: &Cube| cube.0.iter().any(|part| vars.contains(&part.var));
        let settling = self.machine.settling.iter().find(|settling| settling.var == var);
        names(&self.machine.sight(var).when)
            || settling.and_then(|settling| settling.holds.as_ref()).is_some_and(names)
            || self.machine.lost_when.iter().any(|lost| lost.var == var && names(&lost.when))
    }

    /// Goes through places at which nobody is asked anything, and shuts the gates that stand in the way.
    pub(crate) fn settle(&mut self) {
        // A procedure has finitely many nodes and no silent loop without a question in it; the limit guards against a fault.
        for _ in 0..machine::NODE_LIMIT {
            if !self.variants_due.is_empty() || !self.labels_due.is_empty() || self.earlier.is_some() {
                return;
            }
            if !self.has_started && self.gate.is_none() {
                self.shut_before_start();
                continue;
            }
            self.open_gate();
            if self.gate.is_some() || self.doubt.is_some() || self.paused {
                return;
            }
            if self.node_id() == machine::STOP {
                return;
            }
            if self.node_id() == machine::DONE && !self.done_seen {
                self.shut_before_done();
                continue;
            }
            if self.shut_for_what_is_owed() {
                continue;
            }
            if self.shut_for_lapses() || !self.machine.unmet(&self.state).is_empty() || !self.go_on() {
                return;
            }
        }
    }

    /// Leaves a place at which nobody is asked anything; whether it was one.
    fn go_on(&mut self) -> bool {
        let choice = match &self.node().kind {
            NodeKind::Enter | NodeKind::Follows { .. } => Choice::Done,
            NodeKind::Route if self.after(Choice::Applies).is_some() => Choice::Applies,
            NodeKind::Route => Choice::PassedOver,
            NodeKind::AnyOrder { .. } if self.after(Choice::AllItems).is_some() => Choice::AllItems,
            NodeKind::AnyOrder { .. }
            | NodeKind::End
            | NodeKind::Act
            | NodeKind::InAct { .. }
            | NodeKind::Tick(_)
            | NodeKind::Measure { .. }
            | NodeKind::Wait
            | NodeKind::Ask
            | NodeKind::Hold
            | NodeKind::Verify { .. } => return false,
        };
        let before = self.state.place;
        if self.breaks(choice).is_some() {
            return false;
        }
        self.choose(choice, self.last_ms);
        self.state.place != before
    }

    /// Why a way would not be one that was proved: a rule that may be broken, or that was found broken and is not ended.
    pub(crate) fn breaks(&self, choice: Choice) -> Option<String> {
        let steps = match (&self.node().kind, choice) {
            (NodeKind::Act, Choice::Done) => self.steps_of_act(&self.state),
            _ => self.after(choice).into_iter().collect(),
        };
        if steps.is_empty() {
            return Some("nothing leads on from here".to_owned());
        }
        let broken = steps.iter().flat_map(|next| &next.broken).next();
        let rule = broken.and_then(|rule| self.machine.rules.get(*rule));
        if let Some(rule) = rule {
            return Some(format!("it may break the rule `{}`", rule.name));
        }
        let is_unmended = steps.iter().any(|next| next.unmended);
        is_unmended.then(|| "a rule was found broken and this does not end it".to_owned())
    }

    /// A timer ran its time: of a gate, or of a wait.
    pub(crate) fn wait_over(&mut self, at_ms: i64) {
        let Some(timer) = self.timer else { return };
        if self.gate.is_some() {
            let waits = self.gate.iter().flat_map(|gate| &gate.waits);
            let over: Vec<VarId> =
                waits.filter(|(_, millis)| *millis <= timer.millis).map(|(var, _)| *var).collect();
            self.belief.waited(&self.machine, &over, timer.millis);
            self.timer = None;
            return;
        }
        self.timer = Some(Running { over: true, ..timer });
        if self.node().kind == NodeKind::Wait {
            self.choose(Choice::Done, at_ms);
        }
    }

    /// The items of the any-order block that are still open, by the names of their steps.
    pub(crate) fn open_items(&self) -> Vec<(Choice, String)> {
        let outcomes = &self.node().outcomes;
        self.machine
            .open(self.state.place)
            .filter(|&at| outcomes[at].choice.item().is_some())
            .map(|at| (outcomes[at].choice, self.machine.node(outcomes[at].to.node).path.clone()))
            .collect()
    }

    /// The way of a look. A value that the machine does not ask on is one of those that its "no" leaves.
    pub(crate) fn choice(&self, var: VarId, answer: Look, found: Option<&str>) -> Choice {
        let number =
            found.and_then(|value| self.machine.layout.var(var).values.iter().position(|of| of == value));
        let is = number.map(|number| Choice::Is(number as u32));
        let known = is.filter(|is| self.node().outcomes.iter().any(|outcome| outcome.choice == *is));
        match answer {
            Look::Yes => Choice::Pass,
            Look::No => known.unwrap_or(Choice::Fail),
            Look::CannotTell => Choice::CannotTell,
        }
    }

    /// The values that a look leaves; none where nobody can tell.
    pub(crate) fn seen_set(&self, due: Conjunct, answer: Look, found: Option<&str>) -> Option<u64> {
        let layout = &self.machine.layout;
        match answer {
            Look::Yes => Some(due.set),
            Look::No => {
                let found = found.and_then(|value| layout.bit(due.var, value));
                Some(found.unwrap_or(layout.all(due.var) & !due.set))
            }
            Look::CannotTell => None,
        }
    }
}
