//! What walks tell whoever wrote the procedure: where people stumbled, and what they said.

use crate::event::{Event, Look, ReadingVerdict};
use crate::words::surprise;
use serde::{Deserialize, Serialize};

/// A remark from the field, and the step it is about.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FieldRemark {
    /// The step.
    pub step: String,
    /// What was said or found there.
    pub text: String,
}

/// What an event tells; `at` is the step before it, none before step 1.
pub(crate) fn remark<'a>(event: &'a Event, at: Option<&'a str>) -> Option<(&'a str, String)> {
    let at = at.unwrap_or("before step 1");
    match event {
        Event::Noted { step, text } => Some((step, format!("note: {text}"))),
        Event::Photographed { step, caption, .. } => Some((step, format!("photo: {caption}"))),
        Event::Deviated { step, reason, person, .. } => {
            Some((step, format!("deviation, allowed by {person}: {reason}")))
        }
        Event::Reading { step, reading, attempt, verdict } if *verdict != ReadingVerdict::Within => {
            Some((step, format!("reading {attempt} was {reading}, {}", verdict.words())))
        }
        Event::LimitReached { step } => Some((step, "the limit of a wait was reached".to_owned())),
        Event::Looked { step, condition, yes: false, .. }
        | Event::Seen { step, condition, answer: Look::No, .. } => Some((step, not_so(condition, event))),
        Event::Seen { step, condition, answer: Look::CannotTell, .. } => {
            Some((step, format!("nobody could tell of {condition}")))
        }
        Event::CannotTell { step } => Some((step, "nobody could tell".to_owned())),
        Event::Restored { step, action, condition } => {
            Some((step, format!("{condition} was put right: {action}")))
        }
        Event::NotVerified { step, person, .. } => Some((step, format!("not so, said {person}"))),
        Event::TicksLooked { step, yes: false } => {
            Some((step, "the fasteners were not as they were left".to_owned()))
        }
        Event::TakenBack { step, what } => Some((step, format!("taken back: {what}"))),
        Event::NeverProved { step, believed } => Some((
            step,
            format!("shut, because what was believed here was never proved: {}", believed.join(", ")),
        )),
        Event::Stopped { reason, .. } => Some((at, format!("work stopped: {reason}"))),
        Event::Returned { person, remark, .. } => Some((at, format!("released by {person}: {remark}"))),
        Event::Begin(_)
        | Event::Variant { .. }
        | Event::Label { .. }
        | Event::Seen { answer: Look::Yes, .. }
        | Event::Confirmed { .. }
        | Event::NormalConfirmed { .. }
        | Event::Looked { yes: true, .. }
        | Event::ActBegun { .. }
        | Event::Done { .. }
        | Event::Fastened { .. }
        | Event::TicksLooked { yes: true, .. }
        | Event::Verified { .. }
        | Event::Released { .. }
        | Event::Reading { .. }
        | Event::Answered { .. }
        | Event::Chosen { .. }
        | Event::WaitStarted { .. }
        | Event::WaitOver { .. }
        | Event::GrownOld { .. }
        | Event::Paused
        | Event::Resumed { .. }
        | Event::LeavingDone { .. }
        | Event::LeavingLooked { .. } => None,
    }
}

/// That a condition was not as asked for, and what the record had said where it ruled that out.
fn not_so(condition: &str, event: &Event) -> String {
    match event {
        Event::Seen { recorded, .. } if !recorded.is_empty() => {
            format!("{condition} was not as asked for. {}", surprise(condition, recorded))
        }
        _ => format!("{condition} was not as asked for"),
    }
}

/// The step that an event belongs to.
#[must_use]
pub fn step_of(event: &Event) -> Option<&str> {
    match event {
        Event::Looked { step, .. }
        | Event::Seen { step, .. }
        | Event::CannotTell { step }
        | Event::Restored { step, .. }
        | Event::NotVerified { step, .. }
        | Event::ActBegun { step, .. }
        | Event::Done { step }
        | Event::Fastened { step, .. }
        | Event::TicksLooked { step, .. }
        | Event::Verified { step, .. }
        | Event::Released { step, .. }
        | Event::Reading { step, .. }
        | Event::Answered { step, .. }
        | Event::Chosen { step }
        | Event::WaitStarted { step, .. }
        | Event::WaitOver { step }
        | Event::LimitReached { step }
        | Event::GrownOld { step, .. }
        | Event::NeverProved { step, .. }
        | Event::TakenBack { step, .. }
        | Event::Noted { step, .. }
        | Event::Photographed { step, .. }
        | Event::Deviated { step, .. } => Some(step),
        Event::Begin(_)
        | Event::Variant { .. }
        | Event::Label { .. }
        | Event::Confirmed { .. }
        | Event::NormalConfirmed { .. }
        | Event::Paused
        | Event::Resumed { .. }
        | Event::Stopped { .. }
        | Event::LeavingDone { .. }
        | Event::LeavingLooked { .. }
        | Event::Returned { .. } => None,
    }
}
