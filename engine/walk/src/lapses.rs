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
        let old = self.old_by_now(now_ms);
        if old.is_empty() {
            return None;
        }
        let conditions = old.iter().map(|var| self.machine.layout.var(*var).name.to_string()).collect();
        let refusal = Refusal::new(self.too_long_ago(&old), "Look again, then answer the step");
        Some((Event::GrownOld { step: self.here(), conditions }, refusal))
    }

    /// What this step needs and was looked at too long before a moment, but for what the act here changes itself, uncovers or covers.
    pub(crate) fn old_by_now(&self, now_ms: i64) -> Vec<VarId> {
        let changed = self.under_way();
        let is_changed = |var: VarId| {
            changed.contains(&var)
                || self.machine.sight(var).when.0.iter().any(|part| changed.contains(&part.var))
        };
        self.aged_here(now_ms).into_iter().map(|due| due.var).filter(|&var| !is_changed(var)).collect()
    }

    /// In words.
    pub(crate) fn too_long_ago(&self, old: &[VarId]) -> String {
        let labels: Vec<&str> = old.iter().map(|var| &*self.machine.layout.var(*var).label).collect();
        format!("Looked at too long ago by now: the {}", labels.join(", the "))
    }

    /// What was looked at or written too long before a moment, whether anybody can look at it or not: nobody counts on it then.
    pub(crate) fn lapsed(&self, at_ms: i64) -> Vec<VarId> {
        self.machine.lapsed(|var| self.known.get(var.0 as usize)?.since_ms, at_ms)
    }

    fn shut_for(&mut self, aged: Vec<Conjunct>) -> bool {
        if aged.is_empty() {
            return false;
        }
        let looks = aged.into_iter().map(|due| GateLook::new(due, Because::Lapsed)).collect();
        self.gate = Some(Gate::new(looks));
        true
    }

    /// What this step needs, was looked at or written too long before a moment and can be looked at again.
    fn aged_here(&self, now_ms: i64) -> Vec<Conjunct> {
        let (read, mut lapsed) = (self.read_here(), self.lapsed(now_ms));
        lapsed.sort_unstable();
        let due = lapsed.into_iter().map(|var| Conjunct { var, set: self.field(var) });
        due.filter(|due| {
            let is_known = due.set != self.machine.layout.all(due.var);
            read.contains(&due.var) && is_known && self.can_see(&self.state, due.var)
        })
        .collect()
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
                read.extend(self.owed_at_done().map(|due| due.var));
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
        self.machine.with_what_bears(read)
    }
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
        | Event::NeverProved { .. }
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
