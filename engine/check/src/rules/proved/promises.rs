//! What a procedure leaves.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use crate::story::story;
use crate::words::{conjunct_words, values_words};
use document::Place;
use machine::{NodeId, PromiseSource, Trace, VarId};
use proof::Obligation;
use std::collections::BTreeSet;

pub(super) const RULES: &[Rule] = &[
    rule!("P04", Error, "A way to done does not leave what the procedure promises", Proof(broken_promise)),
    rule!("P05", Error, "A way to done leaves a condition away from its normal value", Proof(not_put_back)),
];

fn broken_promise(context: &Context<'_>) -> Vec<Finding<Place>> {
    unkept(context, PromiseSource::Leaves)
        .into_iter()
        .map(|unkept| {
            let name = &context.machine.layout.var(unkept.conjunct.var).name;
            let message = format!("`{}` promises {}{}", context.machine.procedure, unkept.due, unkept.may);
            let promised = context.procedure.key_place(&format!("/leaves/{name}"));
            let mut finding = Finding::at_place(promised, message);
            if let Some(last) = unkept.last {
                finding = finding.note(context.id_place(context.node(last)), "last changed here");
            }
            finding
                .help("make it so on every way to done, or promise what is really left")
                .trace(unkept.trace)
        })
        .collect()
}

/// A promise that some way to done does not keep.
struct Unkept {
    conjunct: machine::Conjunct,
    due: String,
    may: String,
    /// The step of the counterexample that last set or changed it.
    last: Option<NodeId>,
    trace: Vec<String>,
}

fn unkept(context: &Context<'_>, source: PromiseSource) -> Vec<Unkept> {
    let layout = &context.machine.layout;
    let mut unkept = Vec::new();
    for refuted in &context.proof.refuted {
        let Obligation::Promise(promise) = refuted.obligation else { continue };
        let promise = context.machine.promises[promise];
        if promise.source != source {
            continue;
        }
        let var = promise.conjunct.var;
        unkept.push(Unkept {
            conjunct: promise.conjunct,
            due: conjunct_words(layout, promise.conjunct),
            may: refuted.trace.as_ref().map_or_else(String::new, |trace| {
                format!(
                    ", but it may be {} at done",
                    values_words(layout, var, trace.last().field(layout, var))
                )
            }),
            last: refuted.trace.as_ref().and_then(|trace| last_writer(context, trace, var)),
            trace: refuted.trace.iter().flat_map(|trace| story(context, trace)).collect(),
        });
    }
    unkept
}

/// The last move of a trace that sets or changes a variable, or what its settling waits for.
fn last_writer(context: &Context<'_>, trace: &Trace, var: VarId) -> Option<NodeId> {
    let layout = &context.machine.layout;
    let settling = context.machine.settling.iter().filter(|settling| settling.var == var);
    let under = settling.filter_map(|settling| settling.holds.as_ref()).flat_map(|under| &under.0);
    let vars: BTreeSet<VarId> = under.map(|part| part.var).chain([var]).collect();
    let befores = std::iter::once(&trace.start).chain(trace.moves.iter().map(|step| &step.after));
    let mut steps: Vec<_> = trace.moves.iter().zip(befores).collect();
    steps.reverse();
    let writes = |(step, before): &(&machine::Move, &machine::Bits)| {
        let outcome = &context.node(step.place.node).outcomes[step.outcome];
        outcome.effects.iter().any(|effect| vars.contains(&effect.var()))
            || vars.iter().any(|&var| before.field(layout, var) != step.after.field(layout, var))
    };
    steps.into_iter().find(writes).map(|(step, _)| step.place.node)
}

fn not_put_back(context: &Context<'_>) -> Vec<Finding<Place>> {
    unkept(context, PromiseSource::Normal)
        .into_iter()
        .map(|unkept| {
            let name = &context.machine.layout.var(unkept.conjunct.var).name;
            let message =
                format!("`{}` has to end with {}{}", context.machine.procedure, unkept.due, unkept.may);
            let normal = context.equipment.place(&format!("/conditions/{name}/normal"));
            // The step that last moved it is where something is missing after; without one, the procedure as a whole.
            let place = unkept.last.map_or_else(
                || context.procedure.place("/procedure"),
                |last| context.id_place(context.node(last)),
            );
            Finding::at_place(place, message)
                .note(normal, "its normal value")
                .help(format!("put it back, or say under `leaves` how `{name}` is handed on"))
                .trace(unkept.trace)
        })
        .collect()
}
