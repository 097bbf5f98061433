//! Answers a walk's questions as a willing technician would.

use crate::support::walks::good_reading;
use document::InputFile;
use document::model::Name;
use journal::Journal;
use walk::{Begin, DocumentText, Event, FORMAT, Input, LiveWalk, Look, Prompt};

pub(crate) const PERSON: &str = "Tomas Reeve";
pub(crate) const SECOND: &str = "Anneke Voss";
/// Walks of the demo library take far fewer answers.
const ANSWERS_MAX: usize = 2_000;

pub(crate) fn begin(procedure: &str, files: &[InputFile]) -> Begin {
    let reading = document::read(files);
    let model = &reading.library.procedures[&Name::from(procedure)].model;
    let relied_on = reading.library.relies_on(procedure);
    Begin {
        format: FORMAT,
        procedure: procedure.to_owned(),
        revision: model.revision,
        content: reading.library.content_hash(procedure).expect("a hash"),
        equipment: model.equipment.to_string(),
        serial: "OSK-0117".to_owned(),
        person: PERSON.to_owned(),
        training: true,
        rehearsal: true,
        certificate: None,
        documents: relied_on
            .iter()
            .map(|id| &reading.library.sources[id.0 as usize])
            .map(|source| DocumentText { name: source.name.clone(), text: source.text.clone() })
            .collect(),
    }
}

/// How the technician of a test decides where there is a choice.
pub(crate) struct Driver {
    pub(crate) now_ms: i64,
    /// Which variant values, answers and items to take: index modulo how many there are.
    pub(crate) choices: usize,
}

impl Driver {
    pub(crate) fn new() -> Self {
        Self { now_ms: 1_795_600_000_000, choices: 0 }
    }

    /// What would be said to a prompt.
    pub(crate) fn input(&mut self, live: &LiveWalk<'_>) -> Option<Input> {
        Some(match live.prompt() {
            Prompt::Variant { values, .. } => Input::Variant(values[self.choices % values.len()].clone()),
            Prompt::Look(_) | Prompt::AsLeft { .. } | Prompt::Shut { .. } => Input::Look(Look::Yes),
            Prompt::Act => Input::Done,
            Prompt::Fasten(tick) => Input::Fastener(tick.next().expect("one is open")),
            Prompt::Sign { .. } => Input::Sign(SECOND.to_owned()),
            Prompt::Reading(reading) => Input::Reading(good_reading(&reading)),
            Prompt::Answer { answers, .. } => Input::Answer(answers[self.choices % answers.len()].clone()),
            Prompt::Item(items) => Input::Item(items[self.choices % items.len()].clone()),
            Prompt::Settle { timer, .. } => {
                self.now_ms += i64::try_from(timer.millis).expect("a short wait");
                Input::TimerOver
            }
            Prompt::Wait(timer) if live.walk().timer_has_run() => {
                assert!(timer.until.is_some(), "a wait for nothing ends by itself");
                Input::Look(Look::Yes)
            }
            Prompt::Wait(timer) => {
                self.now_ms += i64::try_from(timer.millis).expect("a short wait");
                Input::TimerOver
            }
            Prompt::Paused => Input::Resume { person: PERSON.to_owned() },
            Prompt::Locked(_) | Prompt::Earlier => Input::Stop("nothing else is left".to_owned()),
            Prompt::Ended(_) => return None,
        })
    }

    /// Answers until the walk ends; gives what was recorded.
    pub(crate) fn finish(&mut self, live: &mut LiveWalk<'_>) -> Vec<Event> {
        let mut events = Vec::new();
        for _ in 0..ANSWERS_MAX {
            let Some(input) = self.input(live) else { return events };
            self.now_ms += 1_000;
            let event = live
                .answer(&input, self.now_ms)
                .unwrap_or_else(|error| panic!("{input:?} at {:?}: {error}", live.prompt()));
            events.push(event);
        }
        panic!("the walk does not end");
    }
}

/// A new walk in a journal.
pub(crate) fn start<'j>(journal: &'j mut Journal, procedure: &str, driver: &Driver) -> LiveWalk<'j> {
    walk::begin(journal, procedure, begin(procedure, &crate::support::demo::files()), driver.now_ms)
        .expect("the walk begins")
}
