//! An equipment document's own references.

use super::declared::Thing;
use super::scope::Scope;
use super::templates;
use crate::codes::N20;
use crate::diagnostic::Diagnostic;
use crate::library::Document;
use crate::mentions::texts_of_equipment;
use crate::model::{EnergySource, Equipment, Name};
use crate::places::pointer;
use std::collections::BTreeSet;

/// Everything an equipment document refers to is declared in it.
pub(super) fn check(document: &Document<Equipment>, found: &mut Vec<Diagnostic>) {
    let mut scope = Scope::of_equipment(document, found);
    let equipment = &document.model;
    for (name, values) in &equipment.variants {
        scope.variant(name, values);
    }
    for (name, condition) in &equipment.conditions {
        scope.condition(name, condition);
    }
    for (name, rule) in &equipment.never {
        let at = pointer("/never", name);
        scope.cube(&at, "when", &rule.when);
        scope.declared(&at, "hazard", &rule.hazard, Thing::Hazard);
        scope.role(&at, "released_by", rule.released_by.as_ref());
    }
    for (name, energy) in &equipment.energy {
        let at = pointer("/energy", name);
        // A new key does not compile until somebody says whether it names anything.
        let EnergySource { source: _, isolated, locked, stored } = energy;
        scope.cube(&at, "isolated", isolated);
        scope.cube(&at, "locked", locked);
        scope.cube(&at, "stored", stored);
    }
    for (name, work) in &equipment.work {
        let at = pointer("/work", name);
        scope.cube(&at, "requires", &work.requires);
        scope.all_declared(&at, "wear", &work.wear, Thing::Wear);
        if let Some(hazard) = &work.hazard {
            scope.declared(&at, "hazard", hazard, Thing::Hazard);
        }
        scope.role(&at, "by", work.by.as_ref());
        scope.role(&at, "verified_by", work.verified_by.as_ref());
    }
    for (name, action) in &equipment.actions {
        let at = pointer("/actions", name);
        if let Some(work) = &action.work {
            scope.declared(&at, "work", work, Thing::Work);
        }
        scope.cube(&at, "requires", &action.requires);
        scope.cube(&at, "leaves", &action.leaves);
        scope.conditions(&at, "disturbs", &action.disturbs);
        scope.all_declared(&at, "tools", &action.tools, Thing::Tool);
    }
    scope.role("", "release", equipment.release.as_ref());
    if let Some(state) = &equipment.safe_state {
        scope.cube("", "safe_state", state);
    }
    for (name, instrument) in &equipment.instruments {
        scope.instrument(name, instrument);
    }
    for (name, fasteners) in &equipment.fasteners {
        scope.fasteners(name, fasteners);
    }
    for (name, amount) in &equipment.amounts {
        scope.amount(name, amount);
    }
    templates::check(&mut scope, texts_of_equipment(equipment));
}

impl Scope<'_> {
    /// A variant's values differ, and its name means nothing else.
    fn variant(&mut self, name: &Name, values: &[String]) {
        let at = pointer("/variants", name);
        let mut seen = BTreeSet::new();
        for (index, value) in values.iter().enumerate() {
            if !seen.insert(value) {
                self.twice(value, self.at(&pointer(&at, index)));
            }
        }
        let equipment = &self.equipment.model;
        for (key, taken) in [
            ("conditions", equipment.conditions.contains_key(name)),
            ("amounts", equipment.amounts.contains_key(name)),
        ] {
            if taken {
                let finding = Diagnostic::error(
                    N20,
                    self.at_key(&at),
                    format!("`{name}` is a variant and stands under `{key}` too"),
                )
                .note(self.at_key(&pointer(&format!("/{key}"), name)), "the other meaning")
                .help("give one of the two another name");
                self.tell(finding);
            }
        }
    }
}
