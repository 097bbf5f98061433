//! How each event changes what is known of a walk.

use crate::advance;
use crate::deviation;
use crate::event::{Event, ReadingVerdict};
use crate::lapses;
use crate::state::{Running, Walk};
use document::LabelFigure;
use document::model::Name;
use machine::{Choice, Conjunct, Cube};
use std::sync::Arc;

impl Walk {
    /// Applies a recorded event. Events come from [`Walk::accept`] or from the journal.
    pub(crate) fn apply(&mut self, event: &Event, at_ms: i64) {
        match event {
            Event::Begin(_) | Event::Noted { .. } | Event::Photographed { .. } => {}
            Event::Variant { variant, value } => {
                if let Some(var) = self.machine.layout.find(variant) {
                    self.variants_due.retain(|due| *due != var);
                    if let Some(set) = self.machine.layout.bit(var, value) {
                        self.narrow(&Cube(vec![Conjunct { var, set }]));
                    }
                }
            }
            Event::Label { procedure, amount, input, figure } => {
                let given = LabelFigure {
                    procedure: procedure.as_deref().map(Name::from),
                    amount: Name::from(amount.as_str()),
                    input: Name::from(input.as_str()),
                };
                self.labels_due.retain(|due| *due != given);
                given.fill(
                    Arc::make_mut(&mut self.library),
                    &Name::from(self.begin.equipment.as_str()),
                    figure,
                );
            }
            Event::Confirmed { condition, .. } => self.confirmed(condition),
            Event::NormalConfirmed { .. } => self.normals_due.clear(),
            Event::Looked { condition, yes, .. } => advance::looked(self, condition, *yes),
            Event::Done { .. } => advance::verified(self, Choice::Done),
            Event::Fastened { .. } => self.ticks += 1,
            Event::TicksLooked { yes, .. } => lapses::ticks_looked(self, *yes),
            Event::Verified { .. } => {
                if let Some(choice) = self.unverified.take() {
                    advance::choose(self, choice);
                }
            }
            Event::Released { .. } => advance::choose(self, Choice::Done),
            Event::Reading { verdict, .. } => match verdict {
                ReadingVerdict::Within => advance::verified(self, Choice::Pass),
                ReadingVerdict::Outside | ReadingVerdict::TooCloseToTell => {
                    advance::choose(self, Choice::Fail);
                }
            },
            Event::Answered { answer, .. } => advance::answered(self, answer),
            Event::Chosen { step } => advance::chosen(self, step),
            Event::WaitStarted { millis, .. } => {
                self.timer = Some(Running { since_ms: at_ms, millis: *millis, over: false });
            }
            Event::WaitOver { .. } => advance::wait_over(self),
            Event::LimitReached { .. } => advance::choose(self, Choice::Fail),
            Event::Paused => self.paused = true,
            Event::Resumed { person, unannounced } => lapses::resumed(self, person, *unannounced, at_ms),
            Event::Deviated { .. } => deviation::deviated(self),
            Event::Stopped { reason } => self.stopped = Some(reason.clone()),
            Event::LeavingDone { .. } | Event::LeavingLooked { .. } => self.leaving.push(event.clone()),
            Event::Returned { .. } => self.returned = true,
        }
        if !matches!(event, Event::Noted { .. } | Event::Photographed { .. }) {
            self.position += 1;
        }
        self.last_ms = at_ms;
        advance::silently(self);
    }

    fn confirmed(&mut self, condition: &str) {
        let Some(var) = self.machine.layout.find(condition) else { return };
        let gate = self.gate();
        self.start_due.retain(|due| due.var != var);
        self.lapsed.retain(|due| due.var != var);
        if let Some(conjunct) = gate.filter(|gate| gate.var == var) {
            self.narrow(&Cube(vec![conjunct]));
        }
    }
}
