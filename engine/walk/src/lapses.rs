//! What grows old: a look counts for so long by the clock, and is asked again before whatever relies on it.

use crate::event::{Because, Event};
use crate::gate::{Gate, GateLook};
use crate::refusal::Refusal;
use crate::state::Walk;
use machine::{Conjunct, LookKind, NodeKind, VarId};
use std::collections::BTreeSet;

impl Walk {
    /// Shuts a gate for looks that are too old for what comes next. Whether one is. A wait that has begun goes on: it is as long
    /// as it is, and would begin anew behind every gate.
    pub(crate) fn shut_for_lapses(&mut self) -> bool {
        if self.timer.is_some() {
            return false;
        }
        let aged = self.aged_here(self.last_ms);
        self.shut_for(aged)
    }

    /// What this step needs grew old while it was shown: these are looked at before it is answered. An act of which somebody said
    /// that it is done is under way, if not done.
    pub(crate) fn grew_old(&mut self, conditions: &[String]) {
        if self.gate.is_some() {
            return;
        }
        let known = conditions.iter().filter_map(|condition| self.machine.layout.find(condition));
        let aged = known.map(|var| Conjunct { var, set: self.field(var) }).collect();
        self.in_act = self.node().kind == NodeKind::Act;
        self.shut_for(aged);
    }

    /// Why what answers the step is not taken now: something that the step needs grew old since it was shown. With the event
    /// that has it looked at again.
    ///
    /// A wait is as long as it is, and what is looked at once it is over was judged when that came. What the act here changes
    /// itself, or uncovers or covers, is as it leaves it by now, and nobody can look at what it was.
    pub(crate) fn grown_old(&self, event: &Event, now_ms: i64) -> Option<(Event, Refusal)> {
        let waits = matches!(&self.node().kind, NodeKind::Tick(tick) if tick.look == LookKind::Until);
        if self.gate.is_some() || waits || !answers_step(event) {
            return None;
        }
        let changed = self.under_way();
        let is_changed = |var: VarId| {
            changed.contains(&var)
                || self.machine.sight(var).when.0.iter().any(|part| changed.contains(&part.var))
        };
        let aged = self.aged_here(now_ms).into_iter().map(|due| due.var).filter(|&var| !is_changed(var));
        let vars: Vec<_> = aged.map(|var| self.machine.layout.var(var)).collect();
        if vars.is_empty() {
            return None;
        }
        let labels: Vec<&str> = vars.iter().map(|var| &*var.label).collect();
        let conditions = vars.iter().map(|var| var.name.to_string()).collect();
        let refusal = Refusal::new(
            format!("Looked at too long ago by now: the {}", labels.join(", the ")),
            "Look again, then answer the step",
        );
        Some((Event::GrownOld { step: self.here(), conditions }, refusal))
    }

    /// What was looked at or written too long before a moment, whether anybody can look at it or not: nobody counts on it then.
    pub(crate) fn lapsed(&self, at_ms: i64) -> Vec<VarId> {
        let is_old = |(var, lapse): &&(VarId, u64)| {
            let since_ms = self.known.get(var.0 as usize).and_then(|known| known.since_ms);
            since_ms.is_some_and(|since| !is_fresh(since, at_ms, *lapse))
        };
        self.machine.lapses.iter().filter(is_old).map(|(var, _)| *var).collect()
    }

    fn shut_for(&mut self, aged: Vec<Conjunct>) -> bool {
        if aged.is_empty() {
            return false;
        }
        self.belief.doubt(aged.iter().map(|due| due.var));
        let looks = aged.into_iter().map(|due| GateLook::new(due, Because::Lapsed)).collect();
        self.gate = Some(Gate::new(looks));
        true
    }

    /// What this step needs and was looked at or written too long before a moment.
    fn aged_here(&self, now_ms: i64) -> Vec<Conjunct> {
        self.read_here().into_iter().filter_map(|var| self.aged(var, now_ms)).collect()
    }

    /// What is asked of a condition again because it was looked at or written too long ago.
    fn aged(&self, var: VarId, now_ms: i64) -> Option<Conjunct> {
        let (_, lapse) = self.machine.lapses.iter().find(|(of, _)| *of == var)?;
        let since_ms = self.known.get(var.0 as usize)?.since_ms?;
        let set = self.field(var);
        let is_known = set != self.machine.layout.all(var);
        (!is_fresh(since_ms, now_ms, *lapse) && is_known && self.can_see(&self.state, var))
            .then_some(Conjunct { var, set })
    }

    /// What the present place relies on itself.
    fn read_here(&self) -> BTreeSet<VarId> {
        let node = self.node();
        let mut read: BTreeSet<VarId> = node.needs.iter().map(|need| need.conjunct.var).collect();
        match &node.kind {
            NodeKind::Act => {
                let written = self.under_way().into_iter().collect();
                let cubes = self.machine.consequences(written).looked_at;
                read.extend(cubes.iter().flat_map(|cube| &cube.0).map(|conjunct| conjunct.var));
            }
            NodeKind::Wait => {
                let under = self.machine.settling.iter().filter_map(|settling| settling.holds.as_ref());
                read.extend(under.flat_map(|cube| &cube.0).map(|conjunct| conjunct.var));
            }
            NodeKind::End => {
                read.extend(self.machine.promises.iter().map(|promise| promise.conjunct.var));
            }
            NodeKind::Route
            | NodeKind::Enter
            | NodeKind::InAct { .. }
            | NodeKind::Follows { .. }
            | NodeKind::Tick(_)
            | NodeKind::Measure { .. }
            | NodeKind::Ask
            | NodeKind::Hold
            | NodeKind::AnyOrder { .. }
            | NodeKind::Verify { .. } => {}
        }
        let under: Vec<VarId> = read.iter().flat_map(|&var| self.machine.rests_on(var)).collect();
        // Evidence stands by what would end it.
        let causes = self.machine.lost_when.iter().filter(|lost| read.contains(&lost.var));
        let causes: Vec<VarId> = causes.flat_map(|lost| &lost.when.0).map(|part| part.var).collect();
        read.extend(under.into_iter().chain(causes));
        read
    }
}

fn is_fresh(since_ms: i64, now_ms: i64, lapse: u64) -> bool {
    u64::try_from(now_ms - since_ms).is_ok_and(|passed| passed <= lapse)
}

/// Whether an event answers the step itself, and no gate before it.
pub(crate) fn answers_step(event: &Event) -> bool {
    match event {
        Event::Done { .. }
        | Event::Fastened { .. }
        | Event::Deviated { .. }
        | Event::Seen { because: Because::Step, .. }
        | Event::CannotTell { .. }
        | Event::Reading { .. }
        | Event::Answered { .. }
        | Event::Chosen { .. }
        | Event::LimitReached { .. }
        | Event::Verified { .. }
        | Event::NotVerified { .. }
        | Event::Released { .. } => true,
        Event::Begin(_)
        | Event::Variant { .. }
        | Event::Label { .. }
        | Event::Seen { .. }
        | Event::Restored { .. }
        | Event::ActBegun { .. }
        | Event::TicksLooked { .. }
        | Event::Confirmed { .. }
        | Event::NormalConfirmed { .. }
        | Event::Looked { .. }
        | Event::WaitStarted { .. }
        | Event::WaitOver { .. }
        | Event::GrownOld { .. }
        | Event::TakenBack { .. }
        | Event::Noted { .. }
        | Event::Photographed { .. }
        | Event::Paused
        | Event::Resumed { .. }
        | Event::Stopped { .. }
        | Event::LeavingDone { .. }
        | Event::LeavingLooked { .. }
        | Event::Returned { .. } => false,
    }
}
