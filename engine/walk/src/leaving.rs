//! After a stop: the way to leave the machine, act by act, and its release for use again.

use crate::event::Event;
use crate::input::Leaving;
use crate::refusal::{Refusal, refuse};
use crate::state::Walk;
use crate::status::Status;

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

    /// What was said on the way to leave the machine, in order.
    #[must_use]
    pub fn leaving(&self) -> &[Event] {
        &self.leaving
    }

    /// Whether the machine was released for use again after the stop.
    #[must_use]
    pub fn is_returned(&self) -> bool {
        self.returned
    }
}
