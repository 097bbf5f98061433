//! P04: a way to done does not leave what the procedure promises.

use crate::context::Context;
use crate::story::story;
use crate::words::{conjunct_words, values_words};
use document::Diagnostic;
use machine::{NodeId, PromiseSource, Trace, VarId};
use proof::Obligation;

pub(crate) const CODE: &str = "P04";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
    unkept(context, PromiseSource::Leaves)
        .into_iter()
        .map(|unkept| {
            let name = &context.machine.layout.var(unkept.conjunct.var).name;
            let message = format!("`{}` promises {}{}", context.machine.procedure, unkept.due, unkept.may);
            let promised = context.procedure.key_place(&format!("/leaves/{name}"));
            let mut finding = Diagnostic::error(CODE, promised, message);
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
pub(crate) struct Unkept {
    pub(crate) conjunct: machine::Conjunct,
    pub(crate) due: String,
    pub(crate) may: String,
    /// The step of the counterexample that last set or changed it.
    pub(crate) last: Option<NodeId>,
    pub(crate) trace: Vec<String>,
}

pub(crate) fn unkept(context: &Context<'_>, source: PromiseSource) -> Vec<Unkept> {
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

/// The last move of a trace that sets or changes a variable.
fn last_writer(context: &Context<'_>, trace: &Trace, var: VarId) -> Option<NodeId> {
    let layout = &context.machine.layout;
    let befores = std::iter::once(&trace.start).chain(trace.moves.iter().map(|step| &step.after));
    let mut steps: Vec<_> = trace.moves.iter().zip(befores).collect();
    steps.reverse();
    let writes = |(step, before): &(&machine::Move, &machine::Bits)| {
        let outcome = &context.node(step.place.node).outcomes[step.outcome];
        outcome.sets.iter().any(|set| set.var == var)
            || outcome.havoc.contains(&var)
            || before.field(layout, var) != step.after.field(layout, var)
    };
    steps.into_iter().find(writes).map(|(step, _)| step.place.node)
}
