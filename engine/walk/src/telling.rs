//! What lists tell of a walk: it follows from the records, and is written with each of them.

use crate::event::{Event, FORMAT};
use crate::field::{FieldRemark, remark, step_of};
use crate::outline::Outline;
use crate::status::Status;
use serde::{Deserialize, Serialize};

/// A walk in a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Line {
    /// Version of its record format.
    pub format: u32,
    /// The procedure.
    pub procedure: String,
    /// Its revision.
    pub revision: u32,
    /// The hash of its content.
    pub content: String,
    /// The equipment.
    pub equipment: String,
    /// The serial number of the machine.
    pub serial: String,
    /// Who walks now, or walked last.
    pub person: String,
    /// Everybody who walked or signed, whoever began it first.
    pub people: Vec<String>,
    /// Where it stands.
    pub status: Status,
    /// Why work was stopped, if somebody stopped it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stopped: Option<String>,
    /// Whether the machine was released for use again after a stop.
    #[serde(default, skip_serializing_if = "is_not")]
    pub is_returned: bool,
    /// Whether it was training only and counts for nothing else.
    #[serde(default, skip_serializing_if = "is_not")]
    pub training: bool,
    /// Whether it was a rehearsal.
    #[serde(default, skip_serializing_if = "is_not")]
    pub rehearsal: bool,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde gives a reference")]
fn is_not(flag: &bool) -> bool {
    !*flag
}

/// What is told of a walk and no state of it holds.
#[derive(Clone, Debug, Default)]
pub(crate) struct Telling {
    people: Vec<String>,
    /// The step at which the last event was; none before step 1.
    at: Option<String>,
    remarks: Vec<FieldRemark>,
}

impl Telling {
    /// Of a walk of which nothing but the beginning is on record.
    pub(crate) fn new(person: &str) -> Self {
        Self { people: vec![person.to_owned()], ..Self::default() }
    }

    /// Notes an event after the beginning.
    pub(crate) fn note(&mut self, event: &Event) {
        if let Some(person) = takes_part(event)
            && self.people.iter().all(|known| known != person)
        {
            self.people.push(person.to_owned());
        }
        if let Some((step, text)) = remark(event, self.at.as_deref()) {
            self.remarks.push(FieldRemark { step: step.to_owned(), text });
        }
        if let Some(step) = step_of(event) {
            self.at = Some(step.to_owned());
        }
    }

    /// What lists tell. The walk is found again by the key it was begun under.
    pub(crate) fn summary(&self, outline: &Outline, key: Option<&str>) -> journal::Summary {
        let Outline { begin, title: _, person, status, stopped, is_returned } = outline;
        let line = Line {
            format: begin.format,
            procedure: begin.procedure.clone(),
            revision: begin.revision,
            content: begin.content.clone(),
            equipment: begin.equipment.clone(),
            serial: begin.serial.clone(),
            person: person.clone(),
            people: self.people.clone(),
            status: *status,
            stopped: stopped.clone(),
            is_returned: *is_returned,
            training: begin.training,
            rehearsal: begin.rehearsal,
        };
        journal::Summary {
            token: key.map(|key| token(&begin.procedure, key)),
            line: serde_json::to_string(&line).unwrap_or_default(),
            notes: serde_json::to_string(&self.remarks).unwrap_or_default(),
        }
    }
}

/// What the events of one walk tell whoever wrote the procedure, in their order.
#[must_use]
pub fn field_remarks<'a>(events: impl IntoIterator<Item = &'a Event>) -> Vec<FieldRemark> {
    let mut telling = Telling::default();
    events.into_iter().for_each(|event| telling.note(event));
    telling.remarks
}

/// By which a walk of a procedure is found that was begun under a key.
pub(crate) fn token(procedure: &str, key: &str) -> String {
    format!("{FORMAT} {procedure} {key}")
}

/// Who walks or signs by an event.
fn takes_part(event: &Event) -> Option<&str> {
    match event {
        Event::Verified { person, .. }
        | Event::NotVerified { person, .. }
        | Event::Released { person, .. }
        | Event::Deviated { person, .. }
        | Event::Returned { person, .. }
        | Event::Resumed { person, .. }
        | Event::Stopped { person: Some(person), .. } => Some(person),
        Event::Begin(_)
        | Event::Variant { .. }
        | Event::Label { .. }
        | Event::Seen { .. }
        | Event::Confirmed { .. }
        | Event::NormalConfirmed { .. }
        | Event::Looked { .. }
        | Event::CannotTell { .. }
        | Event::Restored { .. }
        | Event::ActBegun { .. }
        | Event::Done { .. }
        | Event::Fastened { .. }
        | Event::TicksLooked { .. }
        | Event::Reading { .. }
        | Event::Answered { .. }
        | Event::Chosen { .. }
        | Event::WaitStarted { .. }
        | Event::WaitOver { .. }
        | Event::LimitReached { .. }
        | Event::GrownOld { .. }
        | Event::NeverProved { .. }
        | Event::TakenBack { .. }
        | Event::Noted { .. }
        | Event::Photographed { .. }
        | Event::Paused
        | Event::Stopped { person: None, .. }
        | Event::LeavingDone { .. }
        | Event::LeavingLooked { .. } => None,
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
