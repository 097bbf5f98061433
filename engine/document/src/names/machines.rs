//! Every step is done on some machine: what limits it and what limits the steps around it leave a variant in common.

use super::scope::Scope;
use crate::codes::N23;
use crate::diagnostic::Diagnostic;
use crate::library::Library;
use crate::model::{Cube, Kind, Name, Step, either};
use crate::places::pointer;

/// What limits the steps around a step, outermost first, each with the pointer of the step that says it.
type Around<'a> = Vec<(String, &'a Cube)>;

/// Every step of a list, and of the lists inside it.
pub(super) fn check<'a>(
    scope: &mut Scope<'_>,
    library: &'a Library,
    at: &str,
    steps: &'a [Step],
    around: &mut Around<'a>,
) {
    for (index, step) in steps.iter().enumerate() {
        let at = pointer(at, index);
        if let Some((variant, other)) = excluded(step, around) {
            tell(scope, &at, step, variant, other, around);
            // What stands inside is done nowhere for the same reason.
            continue;
        }
        around.push((at.clone(), &step.common.only));
        if let Kind::Perform(name) = &step.kind
            && around.iter().any(|(_, only)| !only.is_empty())
            && does_nothing(library, name, around, &mut Vec::new())
        {
            let message = format!(
                "step `{}` performs `{name}`, every step of which is for other machines than this one is",
                step.common.id
            );
            let finding = Diagnostic::error(N23, scope.at_key(&format!("{at}/perform")), message).help(
                "perform it on the machines that its steps are for: look at `only` here, around it and there",
            );
            scope.tell(finding);
        }
        if let Some((segment, inner)) = step.inner() {
            check(scope, library, &format!("{at}{segment}"), inner, around);
        }
        around.pop();
    }
}

/// The variant of which a step has no value in common with what is around it, and the place in it that says so.
fn excluded<'s>(step: &'s Step, around: &Around<'_>) -> Option<(&'s Name, usize)> {
    step.common.only.iter().find_map(|(variant, values)| {
        let mut left: Vec<&String> = values.0.iter().collect();
        around.iter().enumerate().rev().find_map(|(place, (_, only))| {
            let others = only.get(variant)?;
            left.retain(|value| others.0.contains(value));
            left.is_empty().then_some((variant, place))
        })
    })
}

fn tell(scope: &mut Scope<'_>, at: &str, step: &Step, variant: &Name, other: usize, around: &Around<'_>) {
    let Some((place, only)) = around.get(other) else { return };
    let words = |cube: &Cube| cube.get(variant).map(|values| either(&values.0)).unwrap_or_default();
    let message = format!(
        "step `{}` is done on no machine: it is only for {} {}, and around it stands only {}",
        step.common.id,
        variant.words(),
        words(&step.common.only),
        words(only)
    );
    let key = |at: &str| pointer(&format!("{at}/only"), variant);
    let finding = Diagnostic::error(N23, scope.at_key(&key(at)), message)
        .note(scope.at_key(&key(place)), "what stands around it is done on these machines alone")
        .help("name under one of the two `only` a value that the other has too, or take the step out");
    scope.tell(finding);
}

/// Whether no step of a performed procedure is done on the machines that are left.
fn does_nothing<'a>(
    library: &'a Library,
    name: &'a Name,
    around: &Around<'a>,
    performing: &mut Vec<&'a Name>,
) -> bool {
    // One that performs itself is told elsewhere, and so is one that is not there.
    let Some(document) = library.procedures.get(name).filter(|_| !performing.contains(&name)) else {
        return false;
    };
    performing.push(name);
    let nothing = are_nothing(library, &document.model.steps, around, performing);
    performing.pop();
    nothing
}

fn are_nothing<'a>(
    library: &'a Library,
    steps: &'a [Step],
    around: &Around<'a>,
    performing: &mut Vec<&'a Name>,
) -> bool {
    steps.iter().all(|step| {
        if excluded(step, around).is_some() {
            return true;
        }
        let mut around = around.clone();
        around.push((String::new(), &step.common.only));
        match &step.kind {
            Kind::Perform(name) => does_nothing(library, name, &around, performing),
            Kind::AnyOrder(steps) => are_nothing(library, steps, &around, performing),
            Kind::Repeat(repeat) => are_nothing(library, &repeat.steps, &around, performing),
            Kind::Do(_)
            | Kind::Action(_)
            | Kind::Confirm(_)
            | Kind::Measure(_)
            | Kind::Wait(_)
            | Kind::Ask(_)
            | Kind::Hold(_)
            | Kind::Fasten(_) => false,
        }
    })
}
