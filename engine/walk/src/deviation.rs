//! An act done otherwise than written. It changes how a step is done and never what must be true after it: everything the
//! step leaves is asked at once, so that the belief is one the proof has covered. Gates, waits, readings and signatures
//! cannot be deviated from.

use crate::advance;
use crate::event::Event;
use crate::lapses::ask_again;
use crate::refusal::{Refusal, refuse};
use crate::stage::Stage;
use crate::state::Walk;
use document::same_person;
use machine::{Choice, VarId};

impl Walk {
    /// Whether the walk is at an act that may be done otherwise.
    #[must_use]
    pub fn may_deviate(&self) -> bool {
        matches!(self.stage(), Stage::Act | Stage::Fasten(_))
    }

    pub(crate) fn deviate(&self, reason: &str, person: &str, role: &str) -> Result<Event, Refusal> {
        if reason.trim().is_empty() {
            return refuse("A deviation has a reason", "Say why, and what was done instead");
        }
        if same_person(person, self.person()) {
            return refuse(
                format!("{person} does the work: somebody else must allow the deviation"),
                "Another person with that role allows it",
            );
        }
        Ok(Event::Deviated {
            step: self.here(),
            reason: reason.trim().to_owned(),
            person: person.trim().to_owned(),
            role: role.to_owned(),
        })
    }

    /// How many acts were done otherwise than written.
    #[must_use]
    pub fn deviations(&self) -> u32 {
        self.deviations
    }
}

/// The act counts as done, and what it was to leave is asked.
pub(crate) fn deviated(walk: &mut Walk) {
    let done = walk.node().outcomes.iter().find(|outcome| outcome.choice == Choice::Done);
    let written: Vec<VarId> =
        done.map_or_else(Vec::new, |outcome| outcome.sets.iter().map(|set| set.var).collect());
    advance::choose(walk, Choice::Done);
    walk.deviations += 1;
    ask_again(walk, &written);
}
