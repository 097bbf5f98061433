//! One rule, one file, with its explanation in Markdown beside it.

pub(crate) mod accepted_for_nothing;
mod already_so;
mod answer_missing;
mod broken_promise;
pub(crate) mod cannot_be_accepted;
mod completeness;
mod dead_end;
mod endless_loop;
mod energy;
mod hazards;
mod listed;
mod never_done;
mod no_way_to_resume;
mod no_way_to_stop;
mod not_proved;
mod not_put_back;
mod not_seated;
mod people;
mod precondition_unmet;
mod rule_broken;
mod start_breaks_rule;
mod step_never_reached;
mod step_unreachable;
pub(crate) mod too_large;
mod tools;
mod variant_never_done;
mod writing;

pub(crate) use energy::Control;
pub(crate) use listed::{ENERGY_RULES, GROUND_RULES, TEXT_RULES, WRITING_RULES};

use crate::context::Context;
use document::Diagnostic;

/// Everything the rules find in one procedure. Rounds of a repeat tell the same fault once.
pub(crate) fn all(context: &Context<'_>) -> Vec<Diagnostic> {
    let rules: [fn(&Context<'_>) -> Vec<Diagnostic>; 17] = [
        step_unreachable::findings,
        dead_end::findings,
        endless_loop::findings,
        never_done::findings,
        precondition_unmet::findings,
        rule_broken::findings,
        start_breaks_rule::findings,
        broken_promise::findings,
        not_put_back::findings,
        answer_missing::findings,
        not_proved::findings,
        step_never_reached::findings,
        variant_never_done::findings,
        no_way_to_stop::findings,
        no_way_to_resume::findings,
        already_so::findings,
        not_seated::findings,
    ];
    let mut found: Vec<Diagnostic> = Vec::new();
    for rule in rules {
        for finding in rule(context) {
            // Of several rounds the shortest path is told.
            let same = |other: &&mut Diagnostic| {
                (other.code, other.place, &other.message) == (finding.code, finding.place, &finding.message)
            };
            match found.iter_mut().find(same) {
                Some(other) if finding.trace.len() < other.trace.len() => *other = finding,
                Some(_) => {}
                None => found.push(finding),
            }
        }
    }
    found
}
