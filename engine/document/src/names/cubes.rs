//! Conditions with their values, and variants with theirs.

use super::scope::Scope;
use crate::codes::{N02, N03, N04, N20};
use crate::diagnostic::{Diagnostic, Place};
use crate::model::{Cube, Name, Values};
use crate::places::pointer;
use crate::words::meant;
use std::collections::BTreeSet;

impl Scope<'_> {
    /// Every condition of a cube is declared, and can have the values given.
    pub(super) fn cube(&mut self, at: &str, key: &str, cube: &Cube) {
        for (name, values) in cube {
            let known = self.equipment.model.conditions.get(name).map(|condition| &condition.values);
            if known.is_some_and(|known| each_once(values, known)) {
                continue;
            }
            let at = pointer(&format!("{at}/{key}"), name);
            if let Some(condition) = self.equipment.model.conditions.get(name) {
                let declared = self.equipment.place(&format!("{}/values", pointer("/conditions", name)));
                for (value, place) in self.each(&at, values) {
                    self.value(name, &value, place, &condition.values, declared);
                }
            } else {
                let place = self.at_key(&at);
                self.unknown_condition(name, place);
            }
        }
    }

    /// Every condition of a list is declared and named once.
    pub(super) fn conditions(&mut self, at: &str, key: &str, names: &[Name]) {
        let mut seen = BTreeSet::new();
        for (index, name) in names.iter().enumerate() {
            let place = self.at(&format!("{at}/{key}/{index}"));
            if !self.equipment.model.conditions.contains_key(name) {
                self.unknown_condition(name, place);
            } else if !seen.insert(name) {
                self.twice(name, place);
            }
        }
    }

    /// A value that a condition should have.
    pub(super) fn value(
        &mut self,
        condition: &Name,
        value: &str,
        place: Place,
        known: &[String],
        declared: Place,
    ) {
        if !known.iter().any(|one| one == value) {
            let finding =
                Diagnostic::error(N03, place, format!("the condition `{condition}` has no value `{value}`"))
                    .note(declared, "its values");
            self.tell_with(finding, || meant(value, known.iter().map(String::as_str)));
        }
    }

    /// The variants for which a step is done.
    pub(super) fn only(&mut self, at: &str, key: &str, only: &Cube) {
        let variants = &self.equipment.model.variants;
        for (name, values) in only {
            let at = pointer(&format!("{at}/{key}"), name);
            let Some(known) = variants.get(name) else {
                let finding = Diagnostic::error(
                    N04,
                    self.at_key(&at),
                    format!("the equipment has no variant `{name}`"),
                )
                .note(self.equipment.key_place("/variants"), "variants are declared in this document");
                let condition = self.equipment.model.conditions.contains_key(name);
                self.tell_with(finding, || match condition {
                    true => Some(format!("`{name}` is a condition; `only` chooses by variants alone")),
                    false => meant(name, variants.keys().map(|name| &**name)),
                });
                continue;
            };
            for (value, place) in self.each(&at, values) {
                if !known.contains(&value) {
                    let finding =
                        Diagnostic::error(N04, place, format!("the variant `{name}` has no value `{value}`"))
                            .note(self.equipment.place(&pointer("/variants", name)), "its values");
                    self.tell_with(finding, || meant(&value, known.iter().map(String::as_str)));
                }
            }
        }
    }

    /// The values with their places; one given twice is told here.
    fn each(&mut self, at: &str, values: &Values) -> Vec<(String, Place)> {
        let mut seen = BTreeSet::new();
        let mut each = Vec::new();
        for (index, value) in values.0.iter().enumerate() {
            // A single value may stand without a list; then the place of the item is that of the value.
            let place = self.at(&pointer(at, index));
            match seen.insert(value) {
                true => each.push((value.clone(), place)),
                false => self.twice(value, place),
            }
        }
        each
    }

    /// A name or value that stands twice in one list.
    pub(super) fn twice(&mut self, name: &str, place: Place) {
        self.tell(
            Diagnostic::error(N20, place, format!("`{name}` stands twice in this list")).help("delete one"),
        );
    }

    fn unknown_condition(&mut self, name: &Name, place: Place) {
        let equipment = &self.equipment.model;
        let finding = Diagnostic::error(N02, place, format!("the equipment has no condition `{name}`"))
            .note(self.equipment.key_place("/conditions"), "conditions are declared here");
        self.tell_with(finding, || match equipment.variants.contains_key(name) {
            true => Some(format!("`{name}` is a variant; a step names variants under `only`")),
            false => meant(name, equipment.conditions.keys().map(|name| &**name)),
        });
    }
}

/// Whether values are known ones and none stands twice: nearly always so, and then no place is looked up.
fn each_once(values: &Values, known: &[String]) -> bool {
    let values = &values.0;
    values.iter().enumerate().all(|(at, value)| known.contains(value) && !values[..at].contains(value))
}
