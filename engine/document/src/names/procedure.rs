//! A procedure's references.

use super::declared::Thing;
use super::scope::Scope;
use super::{machines, routes, steps, templates, texts};
use crate::codes::{N01, N20, R14};
use crate::day::Day;
use crate::diagnostic::Diagnostic;
use crate::library::{Document, Library};
use crate::mentions::texts_of_procedure;
use crate::model::Procedure;
use crate::places::pointer;
use crate::words::meant;

/// Everything a procedure refers to is declared. Without its equipment only what it says of itself is looked at.
pub(super) fn check(library: &Library, document: &Document<Procedure>, found: &mut Vec<Diagnostic>) {
    let procedure = &document.model;
    let before = found.len();
    routes::check(library, document, found);
    if let Some(day) = procedure.effective.as_deref().filter(|day| Day::parse(day).is_err()) {
        found.push(
            Diagnostic::error(
                R14,
                document.place("/effective"),
                format!("`{day}` is not a day of the calendar"),
            )
            .help("a day is written year, month, day: `2026-11-02`"),
        );
    }
    let Some(equipment) = library.equipment.get(&procedure.equipment) else {
        let name = &procedure.equipment;
        if !library.faulty_equipment.contains_key(&**name) {
            let known: Vec<&str> = library
                .equipment
                .keys()
                .map(|name| &**name)
                .chain(library.faulty_equipment.keys().map(String::as_str))
                .collect();
            let help =
                meant(name, known).unwrap_or_else(|| "give its document to the same command".to_owned());
            found.push(
                Diagnostic::error(
                    N01,
                    document.place("/equipment"),
                    format!("no document given is the equipment `{name}`"),
                )
                .help(help),
            );
        }
        return;
    };
    let mut scope = Scope::of_procedure(document, equipment, found, before);
    for role in procedure.performers.keys() {
        scope.declared_key(&pointer("/performers", role), role, Thing::Role);
    }
    scope.time("/time", &procedure.time);
    for (key, listed, thing) in [
        ("tools", &procedure.tools, Thing::Tool),
        ("supplies", &procedure.supplies, Thing::Supply),
        ("spares", &procedure.spares, Thing::Spare),
        ("wear", &procedure.wear, Thing::Wear),
    ] {
        scope.all_declared("", key, listed.names(), thing);
    }
    scope.cube("", "requires", &procedure.requires);
    scope.cube("", "leaves", &procedure.leaves);
    for (name, amount) in &procedure.amounts {
        let at = pointer("/amounts", name);
        if equipment.model.amounts.contains_key(name) || equipment.model.variants.contains_key(name) {
            let finding = Diagnostic::error(
                N20,
                scope.at_key(&at),
                format!("the equipment uses the name `{name}` already"),
            )
            .help("give the procedure's own amount another name");
            scope.tell(finding);
        }
        scope.amount(name, amount);
    }
    steps::check(&mut scope, "/steps", &procedure.steps, library);
    machines::check(&mut scope, library, "/steps", &procedure.steps, &mut Vec::new());
    templates::check(&mut scope, texts_of_procedure(procedure));
    texts::check(&mut scope, "/steps", &procedure.steps, &mut Vec::new());
}
