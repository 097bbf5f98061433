//! After a stop: the way to leave the machine, act by act, and its release for use again.

use crate::event::Event;
use crate::inputs::{Refusal, refuse};
use crate::state::{Status, Walk};

/// Something said after work was stopped. What comes next on the way is worked out by whoever asks: it needs the planner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Leaving {
    /// An act or a wait of the way was done.
    Done(String),
    /// A condition that decides the way was looked at.
    Looked {
        /// The condition.
        condition: String,
        /// The values one of which it has.
        values: Vec<String>,
    },
    /// The machine is released for use again.
    Returned {
        /// Who releases it.
        person: String,
        /// In which role.
        role: String,
        /// What was found and put right.
        remark: String,
    },
}

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
