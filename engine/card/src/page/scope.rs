//! What a card is made from, with the words for it.

use super::chosen::Chosen;
use super::fault::TextFault;
use crate::clean::clean_line;
use crate::prose::{Prose, Values};
use document::model::{Action, Cube, Equipment, Name, Procedure, Step, Values as ConditionValues, Work};
use document::{Document, Library};

/// The procedure with its equipment, and the faults met in their texts.
pub(super) struct Scope<'a> {
    pub(super) library: &'a Library,
    pub(super) procedure: &'a Document<Procedure>,
    pub(super) equipment: &'a Document<Equipment>,
    pub(super) chosen: &'a Chosen,
    pub(super) values: Values,
    pub(super) faults: Vec<TextFault>,
}

impl<'a> Scope<'a> {
    pub(super) fn machine(&self) -> &'a Equipment {
        &self.equipment.model
    }

    /// A text of the procedure at its pointer.
    pub(super) fn text(&mut self, pointer: &str, text: &str) -> Prose {
        self.prose(self.procedure.source, pointer, text)
    }

    /// A text of the equipment at its pointer.
    pub(super) fn machine_text(&mut self, pointer: &str, text: &str) -> Prose {
        self.prose(self.equipment.source, pointer, text)
    }

    fn prose(&mut self, source: document::SourceId, pointer: &str, text: &str) -> Prose {
        match Prose::authored(text, &self.values) {
            Ok(prose) => prose,
            Err(message) => {
                let pointer = pointer.to_owned();
                self.faults.push(TextFault { source, pointer, message });
                Prose::default()
            }
        }
    }

    /// The action of a step, if it is one.
    pub(super) fn action(&self, step: &Step) -> Option<(&'a Name, &'a Action)> {
        self.machine().actions.get_key_value(step.kind.action()?)
    }

    /// The types of work a step is: its own and its action's.
    pub(super) fn work(&self, step: &Step) -> Vec<(&'a Name, &'a Work)> {
        let own = step.common.work.as_ref();
        let of_action = self.action(step).and_then(|(_, action)| action.work.as_ref());
        let mut found: Vec<(&Name, &Work)> = Vec::new();
        for name in own.into_iter().chain(of_action) {
            if let Some((name, work)) = self.machine().work.get_key_value(name)
                && !found.iter().any(|(known, _)| *known == name)
            {
                found.push((name, work));
            }
        }
        found
    }

    /// What people call a condition.
    pub(super) fn label(&self, condition: &Name) -> String {
        let label = self.machine().conditions.get(condition).and_then(|condition| condition.label.as_deref());
        label.map_or_else(|| condition.words(), clean_line)
    }

    /// "tank contents: rinse or product".
    pub(super) fn statement(&self, condition: &Name, values: &ConditionValues) -> String {
        let values: Vec<String> = values.0.iter().map(|value| value_words(value)).collect();
        format!("{}: {}", self.label(condition), crate::count::joined(&values, "or"))
    }

    /// A conjunction as statements.
    pub(super) fn statements(&self, cube: &Cube) -> Vec<String> {
        cube.iter().map(|(condition, values)| self.statement(condition, values)).collect()
    }
}

/// A value for people: `in-range` reads "in range".
pub(crate) fn value_words(value: &str) -> String {
    clean_line(value).replace('-', " ")
}

/// The words for names of tools and the like; a name that is not declared is shown as words.
pub(super) fn named<'a>(
    names: impl IntoIterator<Item = &'a Name>,
    words: impl Fn(&Name) -> Option<&'a String>,
) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for name in names {
        let text = words(name).map_or_else(|| name.words(), |text| clean_line(text));
        if !found.contains(&text) {
            found.push(text);
        }
    }
    found
}

/// The people that a type of work asks for.
pub(crate) fn people_of(work: &Work) -> Vec<String> {
    let by = work.by.as_ref().map(|role| format!("done by the {}", role.words()));
    let people = work.people.map(|people| format!("at least {people} people together"));
    let verified = work.verified_by.as_ref().map(|role| format!("verified by the {}", role.words()));
    by.into_iter().chain(people).chain(verified).collect()
}
