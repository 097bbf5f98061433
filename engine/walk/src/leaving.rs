//! After a stop: the way to leave the machine, act by act, and its release for use again.

use crate::belief::{Belief, lost};
use crate::event::Event;
use crate::input::Leaving;
use crate::refusal::{Refusal, refuse};
use crate::state::Walk;
use crate::status::Status;
use machine::{AbstractState, Choice, NodeKind, VarId};
use std::collections::BTreeSet;

impl Walk {
    pub(crate) fn leave(&self, said: &Leaving) -> Result<Event, Refusal> {
        if self.status() != Status::Stopped {
            return refuse("Work is not stopped", "Do what the step says, or stop work");
        }
        if self.returned {
            return refuse("The machine was released already", "Begin a new walk");
        }
        Ok(match said {
            Leaving::Done(act) => Event::LeavingDone { act: act.clone() },
            Leaving::Looked { condition, values } => {
                Event::LeavingLooked { condition: condition.clone(), values: values.clone() }
            }
            Leaving::Returned { remark, .. } if remark.trim().is_empty() => {
                return refuse("A release says what was found", "Say what was found and put right");
            }
            Leaving::Returned { person, role, remark } => Event::Returned {
                person: person.clone(),
                role: role.clone(),
                remark: remark.trim().to_owned(),
            },
        })
    }

    /// Everything the machine may be like where work stops: records, of which one is so. An act here may have been begun, and
    /// any of its conditions may have changed. What nobody has verified yet may not be so. Nothing counts that was seen before an
    /// interruption, but what keeps, nor what was looked at too long ago when work stopped; where the way to leave the machine was
    /// left, not even that: its acts may have changed it.
    #[must_use]
    pub fn possible(&self) -> Vec<AbstractState> {
        let is_asked = self.has_started || self.gate.is_some();
        if self.earlier.is_some() || !is_asked || self.way_left || self.is_never_proved() {
            return vec![self.nothing_known().told().clone()];
        }
        let mut unknown = self.offered();
        unknown.extend(self.lapsed(self.stopped_ms.unwrap_or(self.last_ms)));
        let may_be = |belief: &Belief, unknown: &BTreeSet<VarId>| belief.may_be(&self.machine, unknown);
        if self.left_alone || self.paused || self.doubt.is_some() {
            unknown.extend(self.not_kept());
            unknown.extend(self.in_hand());
            let mut belief = self.belief.clone();
            belief.begin_clocks_anew(&self.machine);
            return vec![may_be(&belief, &unknown)];
        }
        let others = if matches!(self.node().kind, NodeKind::Verify { .. }) {
            self.after_from(self.belief.told(), Choice::Fail).into_iter().map(|next| next.state).collect()
        } else if self.may_be_in_act() && self.gate.is_none() {
            self.stages_of_act(self.belief.told())
        } else {
            Vec::new()
        };
        let is_followed = |stage: &AbstractState| {
            !matches!(self.machine.node(stage.place.node).kind, NodeKind::InAct { .. })
        };
        if self.may_be_in_act() && !others.last().is_some_and(is_followed) {
            unknown.extend(self.under_way());
        }
        let mut possible = vec![may_be(&self.belief, &unknown)];
        let doubted: BTreeSet<VarId> = &unknown | self.belief.doubted();
        for state in others {
            let mut state = lost(&self.machine, &state, &doubted);
            state.place = self.state.place;
            if !possible.contains(&state) {
                possible.push(state);
            }
        }
        possible
    }

    /// The walk as it is for somebody who comes to it and has taken up nothing.
    #[must_use]
    pub fn as_found(&self) -> Self {
        let way_left = self.way_left || self.status() == Status::Stopped;
        Self { left_alone: true, way_left, leaving: Vec::new(), ..self.clone() }
    }

    /// What was said on the way to leave the machine, in order, since somebody last took it up; with the time of each in
    /// milliseconds since 1970.
    #[must_use]
    pub fn leaving(&self) -> &[(i64, Event)] {
        &self.leaving
    }

    /// When a condition was last looked at or written before work stopped, in milliseconds since 1970; none if never.
    #[must_use]
    pub fn since(&self, var: VarId) -> Option<i64> {
        self.known.get(var.0 as usize)?.since_ms
    }

    /// Whether the machine was released for use again after the stop.
    #[must_use]
    pub fn is_returned(&self) -> bool {
        self.returned
    }
}
