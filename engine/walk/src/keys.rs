//! The keys of answers: whoever did not hear what became of one sends it again, and it is taken once.

use crate::event::Event;
use crate::input::Input;
use crate::said_before::came_of;
use std::collections::BTreeMap;

/// What became of an answer under its key.
#[derive(Clone, Debug)]
struct Used {
    /// The number of its record.
    record: u64,
    event: Event,
    /// Whether it was taken back since.
    is_taken_back: bool,
}

/// The keys of the answers of a walk that were taken.
#[derive(Clone, Debug, Default)]
pub(crate) struct Keys(BTreeMap<String, Used>);

impl Keys {
    /// An event was recorded, under a key or without one.
    pub(crate) fn note(&mut self, key: Option<String>, record: u64, event: &Event) {
        if let Event::TakenBack { .. } = event {
            let is_answer = |used: &&mut Used| {
                let stays = matches!(
                    used.event,
                    Event::Noted { .. } | Event::Photographed { .. } | Event::TakenBack { .. }
                );
                !stays && !used.is_taken_back
            };
            let last = self.0.values_mut().filter(is_answer).max_by_key(|used| used.record);
            if let Some(last) = last {
                last.is_taken_back = true;
            }
        }
        self.0.extend(key.map(|key| (key, Used { record, event: event.clone(), is_taken_back: false })));
    }

    /// The number of the record, if this answer was taken under that key before and stands.
    pub(crate) fn taken(&self, input: &Input, key: &str) -> Option<u64> {
        let used = self.0.get(key)?;
        (!used.is_taken_back && came_of(&used.event, input)).then_some(used.record)
    }

    /// Whether the key was used for another answer, or for one that was taken back. A stop is taken whatever its key.
    pub(crate) fn is_used_up(&self, input: &Input, key: &str) -> bool {
        let stops = matches!(input, Input::Stop(_) | Input::StopAway { .. });
        !stops && self.0.contains_key(key) && self.taken(input, key).is_none()
    }
}
