//! What a step brings about that is no act.

use crate::rule::{Finding, Pointer, Rule};
use crate::written::WrittenProcedure;
use document::model::{Condition, Kind, SeenBy, either};
use document::pointer;

pub(super) const RULES: &[Rule] =
    &[rule!("P18", Error, "A step that is no act brings something about", Procedure(brought_about))];

fn brought_about(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let mut findings = Vec::new();
    for one in &written.steps {
        let Some(why) = no_act(&one.step.kind) else { continue };
        for (name, values) in one.step.common.leaves.iter() {
            let Some(condition) = written.equipment.conditions.get(name) else { continue };
            if condition.seen_by() == SeenBy::Nobody || is_evidence(condition) {
                continue;
            }
            let so = either(&values.0);
            let message = format!(
                "{why}: it does not leave {} {so}, and nobody does so here",
                written.equipment.label(name)
            );
            findings.push(Finding::at_key(pointer(&one.key("leaves"), name), message).help(format!(
                "take it out, and write it under `leaves` of the act that makes it so; or look: `confirm: {{ {name}: {so} }}`"
            )));
        }
    }
    findings
}

/// Why a step makes nothing so, if it is no act.
pub(super) fn no_act(kind: &Kind) -> Option<&'static str> {
    match kind {
        Kind::Do(_) | Kind::Action(_) | Kind::Fasten(_) => None,
        Kind::Confirm(_) | Kind::Measure(_) | Kind::Ask(_) => Some("this step only looks"),
        Kind::Hold(_) => Some("this step only releases"),
        Kind::Wait(_) => Some("this step only waits"),
        Kind::AnyOrder(_) | Kind::Repeat(_) | Kind::Perform(_) => {
            Some("this step only holds other steps, whose acts say it")
        }
    }
}

/// What is known once somebody has looked, and ends with its cause: the look itself makes it so.
fn is_evidence(condition: &Condition) -> bool {
    !condition.lost_when.is_empty() && condition.settles.is_none()
}
