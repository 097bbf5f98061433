//! Things the equipment declares: work, hazards, tools, roles and so on.

use super::scope::Scope;
use crate::codes::{N05, N06};
use crate::diagnostic::{Diagnostic, Place};
use crate::model::{Equipment, Name};
use crate::words::meant;
use std::collections::BTreeSet;

/// The kinds of things that are declared by name.
#[derive(Clone, Copy)]
pub(super) enum Thing {
    Action,
    Fasteners,
    Hazard,
    Instrument,
    Role,
    Spare,
    Supply,
    Tool,
    Wear,
    Work,
}

impl Thing {
    /// What people call it, and the key under which it is declared.
    fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Action => ("action", "actions"),
            Self::Fasteners => ("group of fasteners", "fasteners"),
            Self::Hazard => ("hazard", "hazards"),
            Self::Instrument => ("instrument", "instruments"),
            Self::Role => ("role", "roles"),
            Self::Spare => ("spare", "spares"),
            Self::Supply => ("supply", "supplies"),
            Self::Tool => ("tool", "tools"),
            Self::Wear => ("piece of protective equipment", "wear"),
            Self::Work => ("type of work", "work"),
        }
    }

    fn declared(self, equipment: &Equipment, name: &str) -> bool {
        match self {
            Self::Action => equipment.actions.contains_key(name),
            Self::Fasteners => equipment.fasteners.contains_key(name),
            Self::Hazard => equipment.hazards.contains_key(name),
            Self::Instrument => equipment.instruments.contains_key(name),
            Self::Role => equipment.roles.contains_key(name),
            Self::Spare => equipment.spares.contains_key(name),
            Self::Supply => equipment.supplies.contains_key(name),
            Self::Tool => equipment.tools.contains_key(name),
            Self::Wear => equipment.wear.contains_key(name),
            Self::Work => equipment.work.contains_key(name),
        }
    }

    fn names(self, equipment: &Equipment) -> Vec<&str> {
        fn keys<T>(map: &indexmap::IndexMap<Name, T>) -> Vec<&str> {
            map.keys().map(|name| &**name).collect()
        }
        match self {
            Self::Action => keys(&equipment.actions),
            Self::Fasteners => keys(&equipment.fasteners),
            Self::Hazard => keys(&equipment.hazards),
            Self::Instrument => keys(&equipment.instruments),
            Self::Role => keys(&equipment.roles),
            Self::Spare => keys(&equipment.spares),
            Self::Supply => keys(&equipment.supplies),
            Self::Tool => keys(&equipment.tools),
            Self::Wear => keys(&equipment.wear),
            Self::Work => keys(&equipment.work),
        }
    }
}

impl Scope<'_> {
    /// One name as the value of a key.
    pub(super) fn declared(&mut self, at: &str, key: &str, name: &Name, thing: Thing) {
        if !thing.declared(&self.equipment.model, name) {
            self.undeclared(self.at(&format!("{at}/{key}")), name, thing);
        }
    }

    /// A role as the value of a key that may be left out.
    pub(super) fn role(&mut self, at: &str, key: &str, role: Option<&Name>) {
        if let Some(role) = role {
            self.declared(at, key, role, Thing::Role);
        }
    }

    /// One name as a key.
    pub(super) fn declared_key(&mut self, at: &str, name: &Name, thing: Thing) {
        if !thing.declared(&self.equipment.model, name) {
            self.undeclared(self.at_key(at), name, thing);
        }
    }

    /// A list of names, none twice.
    pub(super) fn all_declared(&mut self, at: &str, key: &str, names: &[Name], thing: Thing) {
        let mut seen = BTreeSet::new();
        for (index, name) in names.iter().enumerate() {
            match seen.insert(name) {
                true => self.declared(at, &format!("{key}/{index}"), name, thing),
                false => self.twice(name, self.at(&format!("{at}/{key}/{index}"))),
            }
        }
    }

    fn undeclared(&mut self, place: Place, name: &Name, thing: Thing) {
        let equipment = &self.equipment.model;
        let (word, key) = thing.words();
        let code = if matches!(thing, Thing::Role) { N06 } else { N05 };
        let finding = Diagnostic::error(code, place, format!("the equipment declares no {word} `{name}`"));
        let list = format!("/{key}");
        let finding = match self.equipment.places.key(&list) {
            None => finding.note(self.equipment.place("/equipment"), format!("this document has no `{key}`")),
            Some(_) => finding.note(self.equipment.key_place(&list), format!("`{key}` are declared here")),
        };
        self.tell_with(finding, || {
            Some(
                meant(name, thing.names(equipment))
                    .unwrap_or_else(|| format!("declare it under `{key}` of the equipment")),
            )
        });
    }
}
