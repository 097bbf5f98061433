//! What a step needs.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use crate::story::story;
use crate::words::{conjunct_words, cube_words, values_words};
use document::Place;
use machine::NeedSource;
use proof::Obligation;

pub(super) const RULES: &[Rule] = &[rule!(
    "P01",
    Error,
    "A step can be reached while something it needs is not so",
    Proof(precondition_unmet)
)];

fn precondition_unmet(context: &Context<'_>) -> Vec<Finding<Place>> {
    let layout = &context.machine.layout;
    let mut findings = Vec::new();
    for refuted in &context.proof.refuted {
        let Obligation::Need { node, need } = refuted.obligation else { continue };
        let node = context.node(node);
        let need = &node.needs[need];
        let name = &layout.var(need.conjunct.var).name;
        let needed = conjunct_words(layout, need.conjunct);
        let (key, why) = match &need.source {
            NeedSource::Step => (format!("requires/{name}"), String::new()),
            NeedSource::Work(work) => ("work".to_owned(), format!(" for the work `{work}`")),
            NeedSource::Action(action) => ("action".to_owned(), format!(" for the action `{action}`")),
            NeedSource::Procedure(procedure) => ("perform".to_owned(), format!(" to perform `{procedure}`")),
            NeedSource::Sight(seen) => {
                let var = layout.find(seen);
                let label = var.map_or_else(|| seen.words(), |var| layout.var(var).label.clone());
                (context.look_key(node).to_owned(), format!(" so that {label} can be seen"))
            }
        };
        let may = refuted.trace.as_ref().map_or_else(String::new, |trace| {
            let value =
                values_words(layout, need.conjunct.var, trace.last().field(layout, need.conjunct.var));
            format!(", but it may be {value} there")
        });
        let message = format!("{} needs {needed}{why}{may}", context.step_words(node));
        let mut finding = Finding::at_place(context.key(node, &key), message);
        finding = match &need.source {
            NeedSource::Step => finding,
            NeedSource::Work(work) => finding.note(
                context.equipment.key_place(&format!("/work/{work}/requires/{name}")),
                "asked for here",
            ),
            NeedSource::Action(action) => finding.note(
                context.equipment.key_place(&format!("/actions/{action}/requires/{name}")),
                "asked for here",
            ),
            NeedSource::Sight(seen) => finding.note(
                context.equipment.key_place(&format!("/conditions/{seen}/seen_when/{name}")),
                "asked for here",
            ),
            NeedSource::Procedure(procedure) => match context.library.procedures.get(procedure) {
                Some(inner) => finding.note(inner.key_place(&format!("/requires/{name}")), "asked for here"),
                None => finding,
            },
        };
        let help = match context.machine.settling.iter().find(|settling| settling.var == need.conjunct.var) {
            Some(settling) if need.conjunct.set & settling.from == 0 => {
                let time = calc::quantity::Duration::from_millis(settling.after);
                match &settling.holds {
                    Some(under) => {
                        format!("before it, wait {time} with {} all the while", cube_words(layout, under))
                    }
                    None => format!("wait {time} between what sets it and this step"),
                }
            }
            _ => format!("before it, put a step that leaves {needed}, or a `confirm` of it"),
        };
        findings.push(
            finding.help(help).trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()),
        );
    }
    findings
}
