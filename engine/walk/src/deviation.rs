//! An act done otherwise than written. It changes how a step is done and never what must be true after it: everything the
//! step leaves is asked at once, so that the belief is one the proof has covered. Gates, waits, readings and signatures
//! cannot be deviated from, nor an act of whose effects somebody could see nothing afterwards.

use crate::event::{Because, Event};
use crate::gate::{Gate, GateLook};
use crate::refusal::{Refusal, refuse};
use crate::stage::Stage;
use crate::state::Walk;
use document::same_person;
use machine::{Conjunct, Effect};

impl Walk {
    /// Whether the walk is at an act that may be done otherwise.
    #[must_use]
    pub fn may_deviate(&self) -> bool {
        matches!(self.stage(), Stage::Act | Stage::Fasten(_)) && self.left_by_act().is_some()
    }

    /// What the act here leaves; none if any of it cannot be seen then.
    fn left_by_act(&self) -> Option<Vec<Conjunct>> {
        let stages = self.stages_of_act(&self.state);
        let last = stages.last()?;
        let mut left = Vec::new();
        for place in std::iter::once(self.state.place).chain(stages.iter().map(|stage| stage.place)) {
            if place == last.place {
                break;
            }
            let node = self.machine.node(place.node);
            let done = node.outcomes.iter().filter(|outcome| outcome.choice == machine::Choice::Done);
            for effect in done.flat_map(|outcome| &outcome.effects) {
                if let Effect::Write(due) = *effect {
                    left.push(due);
                }
            }
        }
        left.iter().all(|due| self.can_see(last, due.var)).then_some(left)
    }

    pub(crate) fn deviate(&self, reason: &str, person: &str, role: &str) -> Result<Event, Refusal> {
        if reason.trim().is_empty() {
            return refuse("A deviation has a reason", "Say why, and what was done instead");
        }
        if same_person(person, self.person()) || self.hands.took_part(&self.here(), person) {
            return refuse(
                format!(
                    "{person} does the work, or did a part of it: somebody else must allow the deviation"
                ),
                "Another person with that role allows it",
            );
        }
        if self.left_by_act().is_none() {
            return refuse(
                "Nobody could see afterwards what this act leaves",
                "Do it as written, or stop work",
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

    /// That an act was done otherwise than written, which nothing was proved of; none where none was.
    #[must_use]
    pub fn not_proved_from_here(&self) -> Option<String> {
        let acts = match self.deviations {
            0 => return None,
            1 => "An act was".to_owned(),
            several => format!("{several} acts were"),
        };
        Some(format!("Not proved from here: {acts} done otherwise than written."))
    }

    /// The act counts as done, and what it was to leave is asked. Done otherwise it may have had any value in between: what that
    /// ends is asked and waited for, too.
    pub(crate) fn deviated(&mut self, at_ms: i64) {
        let left = self.left_by_act().unwrap_or_default();
        self.act_done(at_ms);
        self.deviations += 1;
        for due in &left {
            self.belief.apply(&self.machine, Effect::Lose(due.var));
        }
        let looks = left.into_iter().map(|due| GateLook::new(due, Because::Deviated)).collect();
        self.gate = Some(Gate::new(looks));
    }
}
