//! What the steps of a procedure refer to in the equipment.

use super::declared::Thing;
use super::scope::Scope;
use crate::library::Library;
use crate::model::{Answer, Kind, Step};
use crate::places::pointer;

/// Every step of a list, and of the lists inside it.
pub(super) fn check(scope: &mut Scope<'_>, at: &str, steps: &[Step], library: &Library) {
    for (index, step) in steps.iter().enumerate() {
        let at = pointer(at, index);
        common(scope, &at, step);
        of_kind(scope, &at, &step.kind, library);
        if let Some((segment, inner)) = step.inner() {
            check(scope, &format!("{at}{segment}"), inner, library);
        }
    }
}

fn common(scope: &mut Scope<'_>, at: &str, step: &Step) {
    scope.cube(at, "requires", &step.common.requires);
    scope.cube(at, "leaves", &step.common.leaves);
    scope.conditions(at, "disturbs", &step.common.disturbs);
    if let Some(work) = &step.common.work {
        scope.declared(at, "work", work, Thing::Work);
    }
    scope.all_declared(at, "warn", &step.common.warn, Thing::Hazard);
    scope.all_declared(at, "tools", &step.common.tools, Thing::Tool);
    scope.all_declared(at, "supplies", &step.common.supplies, Thing::Supply);
    scope.all_declared(at, "spares", &step.common.spares, Thing::Spare);
    scope.role(at, "by", step.common.by.as_ref());
    scope.role(at, "verified_by", step.common.verified_by.as_ref());
    scope.only(at, "only", &step.common.only);
}

fn of_kind(scope: &mut Scope<'_>, at: &str, kind: &Kind, library: &Library) {
    match kind {
        Kind::Do(_) | Kind::AnyOrder(_) => {}
        Kind::Action(action) => scope.declared(at, "action", action, Thing::Action),
        Kind::Confirm(cube) => scope.cube(at, "confirm", cube),
        Kind::Measure(measure) => scope.measure(&format!("{at}/measure"), measure),
        Kind::Wait(wait) => scope.wait(&format!("{at}/wait"), wait),
        Kind::Ask(question) => {
            for (word, answer) in &question.answers {
                if let Answer::Shows(outcome) = answer {
                    scope.cube(&pointer(&format!("{at}/answers"), word), "shows", &outcome.shows);
                }
            }
        }
        Kind::Hold(hold) => scope.declared(at, "hold/released_by", &hold.released_by, Thing::Role),
        Kind::Fasten(fasten) => scope.fasten(&format!("{at}/fasten"), fasten),
        Kind::Repeat(repeat) => scope.cube(at, "repeat/until", &repeat.until),
        Kind::Perform(name) => scope.performed(&format!("{at}/perform"), name, library),
    }
}
