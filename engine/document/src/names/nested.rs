//! Groups in any order that lie inside one another by way of a performed procedure.

use crate::codes::N13;
use crate::diagnostic::Diagnostic;
use crate::library::{Document, Library, performed};
use crate::model::{Kind, Name, Procedure, Step};
use std::collections::BTreeSet;

/// Nobody could tell which items of which group are left, so it is refused here as it is within one procedure.
pub(super) fn check(library: &Library, found: &mut Vec<Diagnostic>) {
    for document in library.procedures.values() {
        for (name, at) in performed_in_groups(&document.model) {
            if let Some(inner) = with_group(library, name) {
                let message =
                    format!("a group in any order performs `{name}`, in which there is a group as well");
                let finding = Diagnostic::error(N13, document.place(&at), message)
                    .help("perform it before or after the group");
                let inner = inner.place(&group_of(&inner.model.steps, "/steps").unwrap_or_default());
                found.push(finding.note(inner, "the group inside"));
            }
        }
    }
}

/// The procedures performed inside a group, each with the pointer to where it is said.
fn performed_in_groups(procedure: &Procedure) -> Vec<(&Name, String)> {
    let in_group = |at: &String| at.contains("/any_order/");
    performed(procedure).into_iter().filter(|(_, at)| in_group(at)).collect()
}

/// The procedure, or one that it performs, if it has a group.
fn with_group<'a>(library: &'a Library, name: &'a Name) -> Option<&'a Document<Procedure>> {
    let mut open: Vec<&str> = vec![name];
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    while let Some(name) = open.pop() {
        let Some(document) = library.procedures.get(name).filter(|_| seen.insert(name)) else { continue };
        if group_of(&document.model.steps, "/steps").is_some() {
            return Some(document);
        }
        open.extend(performed(&document.model).into_iter().map(|(name, _)| &**name));
    }
    None
}

/// The pointer to the first group of a list.
fn group_of(steps: &[Step], at: &str) -> Option<String> {
    steps.iter().enumerate().find_map(|(index, step)| match &step.kind {
        Kind::AnyOrder(_) => Some(format!("{at}/{index}/any_order")),
        Kind::Repeat(repeat) => group_of(&repeat.steps, &format!("{at}/{index}/repeat/steps")),
        Kind::Do(_)
        | Kind::Action(_)
        | Kind::Confirm(_)
        | Kind::Measure(_)
        | Kind::Wait(_)
        | Kind::Ask(_)
        | Kind::Hold(_)
        | Kind::Fasten(_)
        | Kind::Perform(_) => None,
    })
}
