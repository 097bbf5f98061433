//! Events in words for people at the machine: steps by their numbers, and everything of the equipment by what people call it.
//! Records keep the names.

use crate::event::{Because, Event};
use crate::state::Walk;
use crate::words::{apart, in_words, words};
use document::model::Name;

impl Walk {
    /// The last of the events of this walk, as many as `most`, in a line each; the first has to be the one with which it began.
    #[must_use]
    pub fn spoken(&self, events: &[(i64, Event)], most: usize) -> Vec<String> {
        let from = events.len().saturating_sub(most);
        let of = |(at, (ms, event)): (usize, &(i64, Event))| {
            (*ms, if at < from { event.clone() } else { self.called(event) })
        };
        let called: Vec<(i64, Event)> = events.iter().enumerate().map(of).collect();
        let lines = words(&called).into_iter().zip(&called).skip(from);
        lines.map(|(line, (_, event))| without_step(line, event)).collect()
    }

    /// An event in one line, by itself.
    pub(crate) fn spoken_alone(&self, event: &Event) -> String {
        let called = self.called(event);
        without_step(in_words(&called), &called)
    }

    /// The event with what people call things in the place of their names.
    fn called(&self, event: &Event) -> Event {
        let mut called = event.clone();
        match &mut called {
            Event::Seen { step, condition, .. } | Event::Looked { step, condition, .. } => {
                *condition = self.condition_words(condition);
                *step = self.place(step);
            }
            Event::Restored { step, action, condition } => {
                *condition = self.condition_words(condition);
                let known = self.equipment().and_then(|equipment| equipment.actions.get(action.as_str()));
                *action = match known {
                    Some(known) => self.filled(&known.act).trim_end_matches('.').to_owned(),
                    None => action.replace('-', " "),
                };
                *step = self.place(step);
            }
            Event::TakenBack { step, what } => {
                *what = self.labelled(apart(step, what));
                *step = self.place(step);
            }
            Event::Confirmed { condition, .. } | Event::LeavingLooked { condition, .. } => {
                *condition = self.condition_words(condition);
            }
            Event::NormalConfirmed { conditions } => {
                *conditions = conditions
                    .iter()
                    .map(|(name, value)| (self.condition_words(name), value.clone()))
                    .collect();
            }
            Event::GrownOld { step, conditions } => {
                for condition in conditions {
                    *condition = self.condition_words(condition);
                }
                *step = self.place(step);
            }
            Event::NeverProved { step, believed } => {
                for fact in believed {
                    *fact = self.labelled(fact);
                }
                *step = self.place(step);
            }
            Event::Variant { variant, .. } => *variant = variant.replace('-', " "),
            Event::Label { amount, input, .. } => {
                (*amount, *input) = (amount.replace('-', " "), input.replace('-', " "));
            }
            Event::NotVerified { step, role, .. }
            | Event::Verified { step, role, .. }
            | Event::Released { step, role, .. }
            | Event::Deviated { step, role, .. } => {
                *role = role.replace('-', " ");
                *step = self.place(step);
            }
            Event::CannotTell { step }
            | Event::ActBegun { step, .. }
            | Event::Done { step }
            | Event::Fastened { step, .. }
            | Event::TicksLooked { step, .. }
            | Event::Reading { step, .. }
            | Event::Answered { step, .. }
            | Event::Chosen { step }
            | Event::WaitStarted { step, .. }
            | Event::WaitOver { step }
            | Event::LimitReached { step }
            | Event::Noted { step, .. }
            | Event::Photographed { step, .. } => *step = self.place(step),
            Event::Returned { role, .. } => *role = role.replace('-', " "),
            Event::Begin(_)
            | Event::Paused
            | Event::Resumed { .. }
            | Event::Stopped { .. }
            | Event::LeavingDone { .. } => {}
        }
        called
    }

    fn condition_words(&self, condition: &str) -> String {
        self.equipment().map_or_else(|| condition.replace('-', " "), |equipment| equipment.label(condition))
    }

    /// Words in which names of conditions may stand, with what people call these.
    fn labelled(&self, words: &str) -> String {
        let known = |word: &&str| self.machine.layout.find(word).is_some();
        let word = |word: &str| {
            Some(word).filter(known).map_or_else(|| word.to_owned(), |word| self.condition_words(word))
        };
        words.split(' ').map(word).collect::<Vec<_>>().join(" ")
    }

    /// "Step 4", or what has to settle.
    fn place(&self, path: &str) -> String {
        let Some(node) = self.machine.nodes.iter().find(|node| node.path == path) else {
            return self.condition_words(path);
        };
        let number = machine::step_number(&node.pointer);
        if number.is_empty() {
            return node.path.replace('-', " ");
        }
        if *node.procedure == *self.begin.procedure {
            return format!("Step {number}");
        }
        let within = self.library.procedures.get(&Name::from(&*node.procedure));
        let title =
            within.map_or_else(|| node.procedure.replace('-', " "), |known| known.model.title.clone());
        format!("{title}, step {number}")
    }
}

/// What is asked before the first step or after the last belongs to none.
fn without_step(line: String, event: &Event) -> String {
    let Event::Seen { step, because: Because::BeforeStart | Because::ByRecord | Because::BeforeDone, .. } =
        event
    else {
        return line;
    };
    apart(step, &line).to_owned()
}
