//! The way through the steps: ids, targets, answers and groups.

use super::scope::keep;
use crate::codes::{N09, N10};
use crate::diagnostic::{Diagnostic, Place};
use crate::library::{Document, Library};
use crate::model::{Equipment, Kind, Procedure, Step, Target};
use crate::places::pointer;
use crate::words::meant;
use std::collections::BTreeMap;

/// The targets that are no steps.
const ENDS: [&str; 2] = ["done", "stop"];

/// Every way through the steps leads somewhere.
pub(super) fn check(library: &Library, document: &Document<Procedure>, found: &mut Vec<Diagnostic>) {
    let before = found.len();
    let equipment = library.equipment.get(&document.model.equipment).map(|equipment| &equipment.model);
    let mut routes = Routes { document, equipment, ids: BTreeMap::new(), found, before };
    routes.name("/steps", &document.model.steps);
    routes.list("/steps", &document.model.steps, &mut Vec::new(), None);
}

pub(super) struct Routes<'a> {
    document: &'a Document<Procedure>,
    /// What it works on, if that is there.
    pub(super) equipment: Option<&'a Equipment>,
    /// Every step's id, with the step that had it first.
    ids: BTreeMap<&'a str, Spot>,
    found: &'a mut Vec<Diagnostic>,
    before: usize,
}

/// A step by its list and its number in it.
struct Spot {
    list: String,
    index: usize,
}

impl Spot {
    fn id(&self) -> String {
        format!("{}/{}/id", self.list, self.index)
    }
}

impl<'a> Routes<'a> {
    /// Ids are unique in the whole procedure, so that a record can name a step.
    fn name(&mut self, list: &str, steps: &'a [Step]) {
        for (index, step) in steps.iter().enumerate() {
            let at = pointer(list, index);
            let id: &'a str = &step.common.id;
            let place = |routes: &Self| routes.place(&format!("{at}/id"));
            if ENDS.contains(&id) {
                self.tell(
                    Diagnostic::error(
                        N10,
                        place(self),
                        format!("a step cannot be named `{id}`, which ends a procedure"),
                    )
                    .help("give the step another name"),
                );
            } else if let Some(first) = self.ids.get(id) {
                let finding =
                    Diagnostic::error(N10, place(self), format!("another step is named `{id}` as well"))
                        .note(self.place(&first.id()), "the first")
                        .help("give one of the two another name");
                self.tell(finding);
            } else {
                self.ids.insert(id, Spot { list: list.to_owned(), index });
            }
            if let Some((segment, inner)) = step.inner() {
                self.name(&format!("{at}{segment}"), inner);
            }
        }
    }

    /// The steps of one list. `open` are the lists whose steps can be reached: this one and those around it.
    /// `group` is the id of the closest group in any order that this list is inside of.
    fn list(&mut self, at: &str, steps: &'a [Step], open: &mut Vec<String>, group: Option<&'a str>) {
        let around = open.len();
        // In a group every item is done, and in no given order: there is nothing to skip to among them.
        if !at.ends_with("/any_order") {
            open.push(at.to_owned());
        }
        for (index, step) in steps.iter().enumerate() {
            let at = pointer(at, index);
            self.step(&at, step, open);
            let inside = if let Kind::AnyOrder(items) = &step.kind {
                self.group(&at, step, items, group);
                Some(&*step.common.id)
            } else {
                group
            };
            if let Some((segment, inner)) = step.inner() {
                self.list(&format!("{at}{segment}"), inner, open, inside);
            }
        }
        open.truncate(around);
    }

    fn step(&mut self, at: &str, step: &Step, open: &[String]) {
        for (key, target) in [("then", &step.common.then), ("otherwise", &step.common.otherwise)] {
            if let Some(target) = target {
                self.target(&format!("{at}/{key}"), target, open);
            }
        }
        for (word, answer) in step.kind.answers() {
            let at = pointer(&format!("{at}/answers"), word);
            let at = match answer {
                crate::model::Answer::Goes(_) => at,
                crate::model::Answer::Shows(_) => format!("{at}/then"),
            };
            self.target(&at, answer.target(), open);
        }
        self.otherwise(at, step);
        self.answers(at, step);
    }

    fn target(&mut self, at: &str, target: &Target, open: &[String]) {
        let name = &*target.0;
        if ENDS.contains(&name) {
            return;
        }
        let place = self.place(at);
        match self.ids.get(name) {
            Some(step) if open.contains(&step.list) => {}
            Some(step) => {
                let beside = step.list.ends_with("/any_order") && at.strip_prefix(&step.list).is_some();
                let why = match beside {
                    true => "the items of its group are done in any order, so none can be gone to",
                    false => "it is inside another group of steps",
                };
                let finding = Diagnostic::error(
                    N09,
                    place,
                    format!("no way leads from here to the step `{name}`: {why}"),
                )
                .note(self.place(&step.id()), "the step")
                .help("lead to a step of this list, to one of a list around it, to `done` or to `stop`");
                self.tell(finding);
            }
            None => {
                let known: Vec<&str> = self
                    .ids
                    .iter()
                    .filter(|(_, step)| open.contains(&step.list))
                    .map(|(&id, _)| id)
                    .chain(ENDS)
                    .collect();
                let finding = Diagnostic::error(N09, place, format!("no step is named `{name}`"));
                keep(self.found, self.before, finding, || meant(name, known));
            }
        }
    }

    fn place(&self, pointer: &str) -> Place {
        self.document.place(pointer)
    }

    pub(super) fn key(&self, pointer: &str) -> Place {
        self.document.key_place(pointer)
    }

    /// The place of a key, if the document has it.
    pub(super) fn written(&self, pointer: &str) -> Option<Place> {
        let span = self.document.places.key(pointer)?;
        Some(Place { source: self.document.source, span })
    }

    pub(super) fn tell(&mut self, finding: Diagnostic) {
        keep(self.found, self.before, finding, || None);
    }
}
