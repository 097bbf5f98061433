//! What walks tell whoever wrote the procedure: where people stumbled, and what they said.

use crate::event::{Event, Look, ReadingVerdict};
use crate::words::surprise;

/// A remark from the field, and the step it is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FieldRemark {
    /// The step.
    pub step: String,
    /// What was said or found there.
    pub text: String,
}

/// What the events of one walk tell, in their order.
#[must_use]
pub fn field_remarks<'a>(events: impl IntoIterator<Item = &'a Event>) -> Vec<FieldRemark> {
    let mut remarks = Vec::new();
    let mut at = "before step 1";
    for event in events {
        if let Some((step, text)) = remark(event, at) {
            remarks.push(FieldRemark { step: step.to_owned(), text });
        }
        at = step_of(event).unwrap_or(at);
    }
    remarks
}

/// What an event tells; `at` is the step before it.
fn remark<'a>(event: &'a Event, at: &'a str) -> Option<(&'a str, String)> {
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

#[cfg(test)]
mod tests {
    use super::field_remarks;
    use crate::event::{Event, ReadingVerdict};

    #[test]
    fn deviations_notes_readings_and_stops_are_told_at_their_step() {
        let step = || "drain".to_owned();
        let looked = |yes| Event::Looked { step: step(), condition: "bowl".into(), values: Vec::new(), yes };
        let reading = |verdict| Event::Reading { step: step(), reading: "3 ohm".into(), attempt: 1, verdict };
        let events = [
            looked(true),
            looked(false),
            reading(ReadingVerdict::Within),
            reading(ReadingVerdict::Outside),
            Event::Noted { step: step(), text: "Dark.".into() },
            Event::Deviated {
                step: step(),
                reason: "By hand.".into(),
                person: "Gwen Adeyi".into(),
                role: "safety-officer".into(),
            },
            Event::Done { step: "shut".into() },
            Event::Stopped { reason: "A leak.".into(), person: None },
        ];
        let told: Vec<(String, String)> =
            field_remarks(&events).into_iter().map(|one| (one.step, one.text)).collect();
        let expected = [
            ("drain", "bowl was not as asked for"),
            ("drain", "reading 1 was 3 ohm, outside"),
            ("drain", "note: Dark."),
            ("drain", "deviation, allowed by Gwen Adeyi: By hand."),
            ("shut", "work stopped: A leak."),
        ];
        assert_eq!(told, expected.map(|(step, text)| (step.to_owned(), text.to_owned())));
        let stopped = [Event::Stopped { reason: "Rain.".into(), person: None }];
        assert_eq!(field_remarks(&stopped)[0].step, "before step 1");
    }
}
