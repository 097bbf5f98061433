//! Taking back the last answer: nothing is erased, and the walk is where it was before it.

use crate::event::Event;
use crate::refusal::{Refusal, refuse};
use crate::stage::Stage;
use crate::state::{Given, Walk};
use crate::words::in_words;
use machine::{NodeKind, VarId};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

impl Walk {
    /// What can be taken back here, in words; none where nothing can.
    #[must_use]
    pub fn can_take_back(&self) -> Option<&str> {
        let is_open = match self.stage() {
            Stage::Ended(_) | Stage::Paused | Stage::Earlier(_) => false,
            Stage::Variant(_)
            | Stage::Label(_)
            | Stage::Gate { .. }
            | Stage::Shut { .. }
            | Stage::Settle { .. }
            | Stage::BegunDoubted
            | Stage::TicksDoubted
            | Stage::Locked(_)
            | Stage::Look(_)
            | Stage::Wait { .. }
            | Stage::Act
            | Stage::Fasten(_)
            | Stage::Hold
            | Stage::Verification
            | Stage::Measure { .. }
            | Stage::Ask
            | Stage::Item => true,
        };
        self.given.last().filter(|_| is_open).map(|given| given.spoken.as_str())
    }

    pub(crate) fn take_back(&self) -> Result<Event, Refusal> {
        match (self.can_take_back(), self.given.last()) {
            (Some(_), Some(given)) => {
                Ok(Event::TakenBack { step: given.step.clone(), what: given.what.clone() })
            }
            _ => refuse(
                "Nothing can be taken back here",
                "What was done before the last act, an interruption or a signature stands; stop work if it is not so",
            ),
        }
    }

    /// The answers that can be taken back once an event is applied. Looks and choices back to the last act can, and that act:
    /// between, nothing was done to the machine. A reading stands (it is taken again where the step allows it), and so does what
    /// a second person said, what a clock measured, and everything before an interruption.
    pub(crate) fn before(&mut self, event: &Event) -> Vec<Given> {
        let is_act = match event {
            Event::Done { .. } | Event::Fastened { .. } => true,
            Event::Variant { .. }
            | Event::Label { .. }
            | Event::Seen { .. }
            | Event::CannotTell { .. }
            | Event::Answered { .. }
            | Event::Chosen { .. } => false,
            // The act here is under way, if not done.
            Event::GrownOld { .. } if self.node().kind == NodeKind::Act => return Vec::new(),
            // A timer that began is one that is not over; what grew old is what nobody said.
            Event::WaitStarted { .. } | Event::GrownOld { .. } | Event::NeverProved { .. } => {
                return std::mem::take(&mut self.given);
            }
            Event::Begin(_)
            | Event::Restored { .. }
            | Event::NotVerified { .. }
            | Event::ActBegun { .. }
            | Event::Confirmed { .. }
            | Event::NormalConfirmed { .. }
            | Event::Looked { .. }
            | Event::TicksLooked { .. }
            | Event::Verified { .. }
            | Event::Released { .. }
            | Event::Reading { .. }
            | Event::WaitOver { .. }
            | Event::LimitReached { .. }
            | Event::TakenBack { .. }
            | Event::Noted { .. }
            | Event::Photographed { .. }
            | Event::Deviated { .. }
            | Event::Paused
            | Event::Resumed { .. }
            | Event::Stopped { .. }
            | Event::LeavingDone { .. }
            | Event::LeavingLooked { .. }
            | Event::Returned { .. } => return Vec::new(),
        };
        let mut given = std::mem::take(&mut self.given);
        if is_act {
            given.clear();
        }
        let (what, spoken) = (in_words(event), self.spoken_alone(event));
        given.push(Given { step: self.here(), what, spoken, before: Arc::new(self.clone()) });
        given
    }

    /// The walk is where it was before its last answer.
    pub(crate) fn taken_back(&mut self, at_ms: i64) {
        let Some(Given { before, .. }) = self.given.pop() else { return };
        let given = std::mem::take(&mut self.given);
        let (position, person) = (self.position + 1, std::mem::take(&mut self.person));
        // With one fastener of several taken back the act is still in the same hands.
        let is_in_hand = self.ticks > 0;
        let in_act = |walk: &Self| if is_in_hand { BTreeSet::new() } else { walk.in_hand() };
        let mut made = if is_in_hand { BTreeMap::new() } else { self.made_in_hand() };
        // The act that is gone back from may have been begun; what was in doubt is in doubt still.
        let mut doubted: BTreeSet<VarId> = &in_act(self) | self.belief.doubted();
        *self =
            Self { given, position, person, last_ms: at_ms, surprise: None, ..Arc::unwrap_or_clone(before) };
        if !is_in_hand {
            for (var, field) in self.made_in_hand() {
                *made.entry(var).or_default() |= field;
            }
        }
        // What the act here may have changed a plan reckons with; the gate asks for what the rest relies on, and what that hangs on.
        let (here, relied_on) = (in_act(self), self.relied_on());
        let bears = |var: VarId| {
            let hangs = |of: &VarId| relied_on.contains(of) && self.hangs_on(*of, &BTreeSet::from([var]));
            relied_on.contains(&var) || here.iter().any(hangs)
        };
        doubted.extend(here.iter().copied().filter(|var| bears(*var)));
        self.in_act = !doubted.is_empty() && self.node().kind == NodeKind::Act;
        self.unmake(&made);
        self.belief.doubt(doubted);
        self.settle();
    }
}
